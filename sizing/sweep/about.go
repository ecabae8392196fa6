package sweep

// About says in a few words what the result is, empty for one known by its path alone.
func (r Result) About() string { return abouts[r.Name] }

// abouts says what each result is.
var abouts = map[string]string{
	"fuel mass flow":              "fuel the engine needs by mass, allowance included",
	"fuel volume flow":            "the same by volume, at the fuel's temperature",
	"crank power":                 "it moves with boost, but not with the fuel",
	"injector duty":               "share of the time between injections that an injector is open, dead time counted; duty for short",
	"pump margin":                 "fuel that reaches the rail at its set pressure over fuel needed; below zero it falls short",
	"injector margin":             "fuel the injectors pass at the largest duty allowed over fuel needed",
	"least margin":                "margin of the part that has the least",
	"rail over manifold pressure": "as found: where the pumps fall short the rail sags",
	"power supported":             "power for which the fuel delivered suffices",
	"bsfc":                        "fuel needed over crank power",
	"power route":                 "fuel needed by brake specific fuel consumption",
	"energy route":                "fuel needed by brake efficiency and heating value",
	"air route":                   "fuel needed by air flow and mixture",
	"static flow":                 "of an injector held open, on this fuel at this pressure",
	"pulse width":                 "of an injection, dead time counted",
	"differential pressure":       "rail over manifold, as the injectors see it",
	"idle pulse":                  "pulse width at idle",
	"inlet margin":                "pressure at the pump inlet over the fuel's vapour pressure; below zero it boils",
	"electric load":               "current of the pumps, the injectors and what else is known",
	"most power":                  "power up to which all parts keep the margins asked for",
}
