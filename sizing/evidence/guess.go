package evidence

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"

	"example.com/railbook/sizing/evidence/table"
	"example.com/railbook/sizing/quantity"
)

// Guess is what a log's columns may be, to be looked at and decided on by a person.
type Guess struct {
	Shape   table.Shape     `json:"shape"`
	Columns []table.Column  `json:"columns"`
	Found   []GuessedColumn `json:"found"`  // in the order of a mapping
	Unused  []string        `json:"unused"` // heads of the other columns

	told table.Options // what was not left to be found
}

// GuessedColumn is a column that may be a quantity.
type GuessedColumn struct {
	Channel string   `json:"channel"` // its name in a mapping
	Column  string   `json:"column"`
	Unit    string   `json:"unit"` // of the header; empty where it has none
	Fits    bool     `json:"unit_fits"`
	Others  []string `json:"others,omitempty"` // other columns that may be it
}

// clue is what the name of a channel's column is known by.
type clue struct {
	channel channel
	names   []string // in order of falling certainty: words that have to stand together
	not     []string // words that speak against it
	fits    []scaleFunc
}

// clues are in the order in which columns are given away: a fuel temperature is none of
// the engine's, and a duty of the second set not that of the first.
var clues = []clue{
	{timeChannel, []string{"time", "t", "elapsed", "timestamp", "zeit", "seconds"}, []string{"injection", "inj", "dead", "lap", "open"}, []scaleFunc{scaleOf[quantity.Time]}},
	{speedChannel, []string{"engine speed", "rpm", "engine rpm", "revs", "drehzahl", "motordrehzahl", "crank speed", "n", "n mot", "nmot"}, []string{"wheel", "vehicle", "turbo", "road", "limit", "target", "idle", "pump"}, []scaleFunc{scaleOf[quantity.AngularSpeed]}},
	{secondPulseChannel, []string{"secondary pulse width", "secondary pulse", "pulse width 2", "pw 2", "pw2", "stage 2 pulse"}, []string{"dead"}, []scaleFunc{scaleOf[quantity.Time]}},
	{secondDutyChannel, []string{"secondary duty", "secondary injector duty", "duty 2", "stage 2 duty"}, []string{"wastegate", "boost", "pump", "fan"}, []scaleFunc{scaleOf[quantity.Ratio]}},
	{pulseChannel, []string{"injector pulse width", "pulse width", "pulsewidth", "injection time", "inj pw", "pw", "pulse", "einspritzzeit", "ti", "inj time"}, []string{"dead", "battery", "boost", "effective"}, []scaleFunc{scaleOf[quantity.Time]}},
	{dutyChannel, []string{"injector duty cycle", "injector duty", "inj duty", "idc", "duty cycle", "duty"}, []string{"wastegate", "boost", "pump", "fan", "alternator", "idle", "valve", "cam"}, []scaleFunc{scaleOf[quantity.Ratio]}},
	{railChannel, []string{"fuel rail pressure", "rail pressure", "fuel pressure", "fuel press", "kraftstoffdruck", "fuel p", "p fuel", "p rail", "frp"}, []string{"target", "set", "demand", "error", "temp"}, []scaleFunc{scaleOf[quantity.PressureDiff], scaleOf[quantity.Pressure]}},
	{manifoldChannel, []string{"manifold absolute pressure", "manifold pressure", "map", "inlet manifold", "boost pressure", "boost", "ladedruck", "saugrohrdruck", "p man", "intake pressure"}, []string{"target", "duty", "error", "temp", "control", "fuel", "exhaust"}, []scaleFunc{scaleOf[quantity.PressureDiff], scaleOf[quantity.Pressure]}},
	{ethanolChannel, []string{"ethanol content", "ethanol", "flex fuel", "flex", "fuel content", "alcohol", "e content"}, []string{"temp", "pressure", "trim"}, []scaleFunc{scaleOf[quantity.VolumeFraction]}},
	{lambdaChannel, []string{"lambda", "λ", "afr", "air fuel ratio", "wideband", "o2"}, []string{"target", "error", "trim", "correction", "temp", "volt"}, []scaleFunc{func(unit string) (string, scale, error) { return scaleOf[quantity.Ratio](plainUnit(unit)) }}},
	{fuelTemperatureChannel, []string{"fuel temperature", "fuel temp", "kraftstofftemperatur", "t fuel"}, []string{"trim"}, []scaleFunc{scaleOf[quantity.Temperature]}},
	{powerChannel, []string{"engine power", "power", "wheel power", "hp", "whp", "kw", "leistung", "p mot"}, []string{"supply", "steering", "voltage", "target"}, []scaleFunc{scaleOf[quantity.CrankPower], scaleOf[quantity.WheelPower]}},
	{torqueChannel, []string{"engine torque", "torque", "drehmoment", "tq", "trq"}, []string{"target", "limit", "request", "driver"}, []scaleFunc{scaleOf[quantity.Torque]}},
	{voltageChannel, []string{"battery voltage", "battery", "supply voltage", "vbat", "batt", "ubat", "bordspannung", "voltage", "ecu voltage"}, []string{"sensor", "lambda", "tps", "map", "pump"}, []scaleFunc{scaleOf[quantity.Voltage]}},
	{throttleChannel, []string{"throttle position", "throttle", "tps", "drosselklappe", "pedal"}, []string{"target", "volt", "rate"}, []scaleFunc{scaleOf[quantity.Ratio]}},
}

// GuessMapping looks at the header of a log. It reads no further than the beginning. The
// error is that of a text that is no table.
func GuessMapping(text io.Reader, o table.Options) (Guess, error) {
	t, err := table.NewReader(text, o)
	if err != nil {
		return Guess{}, err
	}
	g := guess(t.Shape(), t.Columns())
	g.told = o
	return g, nil
}

func guess(shape table.Shape, columns []table.Column) Guess {
	g := Guess{Shape: shape, Columns: columns}
	words := make([]string, len(columns))
	for i, c := range columns {
		words[i] = " " + strings.Join(wordsOf(c.Name), " ") + " "
	}
	used := make([]bool, len(columns))
	found := map[channel]GuessedColumn{}
	for _, c := range clues {
		type candidate struct {
			index, rank int
			fits        bool
		}
		var list []candidate
		for i := range columns {
			if rank, ok := c.rank(words[i]); ok && !used[i] && columns[i].Name != "" {
				list = append(list, candidate{i, rank, c.fitting(columns[i].Unit)})
			}
		}
		// A unit of the right kind tells more than a name.
		slices.SortStableFunc(list, func(a, b candidate) int {
			if a.fits != b.fits {
				if a.fits {
					return -1
				}
				return 1
			}
			return a.rank - b.rank
		})
		if len(list) == 0 || !list[0].fits && columns[list[0].index].Unit != "" {
			continue // nothing, or a unit of another kind
		}
		best := list[0]
		used[best.index] = true
		col := GuessedColumn{Channel: c.channel.String(), Column: nameFor(columns, best.index), Unit: columns[best.index].Unit, Fits: best.fits}
		for _, other := range list[1:] {
			if other.fits == best.fits {
				col.Others = append(col.Others, nameFor(columns, other.index))
			}
		}
		found[c.channel] = col
	}
	for c := range channels {
		if col, ok := found[c]; ok {
			g.Found = append(g.Found, col)
		}
	}
	for i, c := range columns {
		if !used[i] && c.Head != "" {
			g.Unused = append(g.Unused, c.Head)
		}
	}
	return g
}

// nameFor is how a mapping names a column: by its name, or by its place where others have
// the same or it has none.
func nameFor(columns []table.Column, index int) string {
	name := columns[index].Name
	for i, c := range columns {
		if i != index && strings.EqualFold(c.Name, name) {
			return fmt.Sprintf("column %d", index+1)
		}
	}
	return name
}

// rank tells how well a name's words fit, 0 is best.
func (c clue) rank(words string) (int, bool) {
	for _, w := range c.not {
		if strings.Contains(words, " "+w+" ") {
			return 0, false
		}
	}
	for i, n := range c.names {
		if words == " "+n+" " {
			return i, true
		}
	}
	for i, n := range c.names {
		if len(n) > 1 && strings.Contains(words, " "+n+" ") {
			return len(c.names) + i, true
		}
	}
	return 0, false
}

// fitting reports whether a unit is of a kind that the channel has.
func (c clue) fitting(unit string) bool {
	if c.channel == timeChannel && slices.Contains(clocks, strings.ToLower(unit)) {
		return true
	}
	for _, of := range c.fits {
		if _, _, err := of(unit); err == nil {
			return true
		}
	}
	return false
}

// wordsOf cuts a name into lower-case words: at anything that is no letter or digit, and
// before capitals within a word.
func wordsOf(name string) []string {
	var words []string
	var word []rune
	end := func() {
		if len(word) > 0 {
			words = append(words, strings.ToLower(string(word)))
			word = word[:0]
		}
	}
	var last rune
	for _, r := range name {
		switch {
		case !unicode.IsLetter(r) && !unicode.IsDigit(r):
			end()
		default:
			if unicode.IsUpper(r) && unicode.IsLower(last) || unicode.IsDigit(r) && unicode.IsLetter(last) {
				end()
			}
			word = append(word, r)
		}
		last = r
	}
	end()
	return words
}

// Mapping prints the guess as a mapping to save, look at and complete. What a header
// cannot tell, such as what a pressure is measured from, is left open, so that the file is
// refused until someone has said it.
func (g Guess) Mapping() string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("# Guessed from the names and units of the columns. Look at every line: a wrong one")
	line("# gives wrong numbers. Lines with a ? have to be decided before the file is taken.")
	line("")
	line("# The log: %s.", g.Shape)
	line("[log]")
	if g.told.Encoding != "" {
		line("encoding = %s", tomlText(string(g.told.Encoding)))
	}
	switch g.told.Decimal {
	case '.':
		line(`decimal = "point"`)
	case ',':
		line(`decimal = "comma"`)
	}
	has := func(c channel) bool {
		return slices.ContainsFunc(g.Found, func(f GuessedColumn) bool { return f.Channel == c.String() })
	}
	if !has(timeChannel) {
		line(`interval = "?"                  # between two rows, such as "10 ms": no column of time was found`)
	}
	line("# valves_per_cylinder = 4       # for the record of pulls")
	line("")
	line("[columns]")
	for _, f := range g.Found {
		text := "column = " + tomlText(f.Column)
		remark := "the header says " + f.Unit
		if f.Unit == "" {
			remark = "the header has no unit"
		}
		if !f.Fits {
			text += `, unit = "?"`
		}
		switch f.Channel {
		case railChannel.String():
			text += ", reference = " + tomlText(referenceIn(f.Unit, "? absolute, gauge or manifold"))
		case manifoldChannel.String():
			text += ", reference = " + tomlText(referenceIn(f.Unit, "? absolute or gauge"))
		case powerChannel.String(), torqueChannel.String():
			text += `, at = "? crank, or wheels and then loss beside it"`
		case lambdaChannel.String():
			if strings.Contains(strings.ToLower(f.Column+f.Unit), "afr") || strings.Contains(strings.ToLower(f.Column), "air") {
				text += `, stoichiometric = "?"`
				remark += "; give what the meter shows at lambda 1, such as 14.7, or leave stoichiometric out if it shows lambda"
			}
		case pulseChannel.String(), secondPulseChannel.String():
			remark += `; add dead_time = "left out" if the pulse is logged without it`
		}
		if len(f.Others) > 0 {
			remark += "; or " + quoted(f.Others, 5)
		}
		switch {
		case f.Channel == dutyChannel.String() && has(pulseChannel), f.Channel == torqueChannel.String() && has(powerChannel), f.Channel == secondDutyChannel.String() && has(secondPulseChannel):
			line("# %s = { %s } # in place of the one above; %s", f.Channel, text, remark)
		default:
			line("%s = { %s } # %s", f.Channel, text, remark)
		}
	}
	missing := []struct {
		channel channel
		say     string
	}{
		{speedChannel, "needed"},
		{pulseChannel, "needed, or duty"},
		{railChannel, "else the regulator's set point is taken, and a sagging rail is not seen"},
		{manifoldChannel, "needed on a boosted engine"},
		{ethanolChannel, "else the sheet's fuel is taken"},
		{lambdaChannel, "else the air cannot be told"},
		{powerChannel, "or torque; else there is no consumption"},
		{fuelTemperatureChannel, "else the sheet's is taken"},
		{voltageChannel, "else the sheet's is taken"},
	}
	for _, m := range missing {
		if has(m.channel) || m.channel == pulseChannel && has(dutyChannel) || m.channel == powerChannel && has(torqueChannel) {
			continue
		}
		line("# %s = { column = \"?\" } # not found; %s", m.channel, m.say)
	}
	if len(g.Unused) > 0 {
		line("")
		line("# Not used: %s.", quoted(g.Unused, 60))
	}
	line("")
	line("# How far each instrument may be off. Limits; \"1 %% standard\" and \"2 %% k=2\" are understood too.")
	line("# These are common practice, no source: give those of the instruments.")
	line("[uncertainty]")
	for _, d := range uncertaintyDefaults() {
		line("# %s", d)
	}
	return b.String()
}

// referenceIn is what a unit tells of a pressure's reference, or open.
func referenceIn(unit, open string) string {
	folded := strings.ToLower(strings.NewReplacer(" ", "", "(", "", ")", "").Replace(unit))
	switch {
	case folded == "":
	case strings.HasSuffix(folded, "abs"), strings.HasSuffix(folded, "psia"), strings.HasSuffix(folded, "bara"), strings.HasSuffix(folded, "kpaa"):
		return "absolute"
	case strings.HasSuffix(folded, "gauge"), strings.HasSuffix(folded, "psig"), strings.HasSuffix(folded, "barg"), strings.HasSuffix(folded, "kpag"):
		return "gauge"
	}
	return open
}

// tomlText writes a text as TOML does.
func tomlText(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case unicode.IsControl(r):
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
