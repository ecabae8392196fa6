package outside

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// number is what every unit is tried with: a power of two, so that it is exact, and
// below one, as fractions have to be.
const number = "0.125"

// dimensions reads a text as each quantity and says in which unit GNU units is to
// give the same.
var dimensions = map[string]struct {
	read func(text string) (float64, error)
	unit string
}{
	"Pressure":            {read[quantity.Pressure], "Pa"},
	"PressureDiff":        {read[quantity.PressureDiff], "Pa"},
	"Temperature":         {read[quantity.Temperature], "K"},
	"TemperatureDiff":     {read[quantity.TemperatureDiff], "K"},
	"Length":              {read[quantity.Length], "m"},
	"Area":                {read[quantity.Area], "m^2"},
	"Volume":              {read[quantity.Volume], "m^3"},
	"Mass":                {read[quantity.Mass], "kg"},
	"MolarMass":           {read[quantity.MolarMass], "kg/mol"},
	"Time":                {read[quantity.Time], "s"},
	"AngularSpeed":        {read[quantity.AngularSpeed], "radian/s"},
	"Velocity":            {read[quantity.Velocity], "m/s"},
	"Acceleration":        {read[quantity.Acceleration], "m/s^2"},
	"MassFlow":            {read[quantity.MassFlow], "kg/s"},
	"VolumeFlow":          {read[quantity.VolumeFlow], "m^3/s"},
	"Density":             {read[quantity.Density], "kg/m^3"},
	"Viscosity":           {read[quantity.Viscosity], "Pa s"},
	"CrankPower":          {read[quantity.CrankPower], "W"},
	"WheelPower":          {read[quantity.WheelPower], "W"},
	"Torque":              {read[quantity.Torque], "N m"},
	"SpecificConsumption": {read[quantity.SpecificConsumption], "kg/J"},
	"SpecificEnergy":      {read[quantity.SpecificEnergy], "J/kg"},
	"EnergyDensity":       {read[quantity.EnergyDensity], "J/m^3"},
	"Power":               {read[quantity.Power], "W"},
	"SpecificHeat":        {read[quantity.SpecificHeat], "J/(kg K)"},
	"Voltage":             {read[quantity.Voltage], "V"},
	"Current":             {read[quantity.Current], "A"},
	"Resistance":          {read[quantity.Resistance], "ohm"},
	"Ratio":               {read[quantity.Ratio], "1"},
	"VolumeFraction":      {read[quantity.VolumeFraction], "1"},
	"MassFraction":        {read[quantity.MassFraction], "1"},
}

func read[Q quantity.Quantity](text string) (float64, error) {
	q, err := quantity.Parse[Q](text)
	return float64(q), err
}

// TestUnitsAgainstGNU compares every spelling of every unit with GNU units.
func TestUnitsAgainstGNU(t *testing.T) {
	rows := table(t, "gnu-units.csv", []string{"type", "spelling", "meaning", "tolerance", "note"})
	var questions []string
	for _, r := range rows {
		have := number + " (" + r[2] + ")"
		if strings.Contains(r[2], "#") {
			have = strings.ReplaceAll(r[2], "#", number)
		}
		questions = append(questions, have, dimensions[r[0]].unit)
	}
	answers := askUnits(t, questions)
	for i, r := range rows {
		got, err := dimensions[r[0]].read(number + " " + r[1])
		if err != nil {
			t.Errorf("%s: %v", r[0], err)
			continue
		}
		tolerance, err := strconv.ParseFloat(r[3], 64)
		if err != nil || tolerance > 1e-9 && r[4] == "" {
			t.Errorf("%s %q: tolerance %q without a note or no number", r[0], r[1], r[3])
		}
		if want := answers[i]; math.Abs(got-want) > tolerance*math.Abs(want) {
			t.Errorf("%s: %s %s is %.12g, GNU units has %.12g %s for %q", r[0], number, r[1], got, want, dimensions[r[0]].unit, r[2])
		}
	}
}

// askUnits puts pairs of what is had and wanted to GNU units and returns the numbers.
// It skips the test where the program is not installed.
func askUnits(t *testing.T, questions []string) []float64 {
	t.Helper()
	path, err := exec.LookPath("units")
	if err != nil {
		t.Skip("GNU units is not installed; Debian has it as units")
	}
	cmd := exec.Command(path, "--quiet", "--terse", "--output-format", "%.17g")
	cmd.Env = append(cmd.Environ(), "LC_ALL=C", "UNITS_ENGLISH=US")
	cmd.Stdin = strings.NewReader(strings.Join(questions, "\n") + "\n")
	var out, complaint bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &complaint
	if err := cmd.Run(); err != nil {
		t.Fatalf("units: %v: %s", err, complaint.String())
	}
	lines := strings.Fields(out.String())
	if len(lines) != len(questions)/2 {
		t.Fatalf("units answers %d of %d questions: %.300s", len(lines), len(questions)/2, out.String())
	}
	answers := make([]float64, len(lines))
	for i, line := range lines {
		if answers[i], err = strconv.ParseFloat(line, 64); err != nil {
			t.Fatalf("units does not convert %q to %q: %s", questions[2*i], questions[2*i+1], line)
		}
	}
	return answers
}

// TestEverySpellingIsCompared wants each unit and alias that stands in the source of
// the parser to stand in the table too.
func TestEverySpellingIsCompared(t *testing.T) {
	listed := map[string]bool{}
	for _, r := range table(t, "gnu-units.csv", []string{"type", "spelling", "meaning", "tolerance", "note"}) {
		key := r[0] + " " + r[1]
		if listed[key] {
			t.Errorf("%q stands twice", key)
		}
		if dimensions[r[0]].read == nil {
			t.Errorf("%q is no quantity", r[0])
		}
		listed[key] = true
	}
	spellings := spellings(t)
	if len(spellings) != len(dimensions) {
		t.Errorf("the parser has %d quantities, this test %d", len(spellings), len(dimensions))
	}
	for name, list := range spellings {
		for _, spelling := range list {
			if !listed[name+" "+spelling] {
				t.Errorf("%s: the spelling %q is not in gnu-units.csv", name, spelling)
			}
		}
	}
}

// spellings reads the unit tables of package quantity from its source: symbol and
// aliases of every unit, by the name of the type.
func spellings(t *testing.T) map[string][]string {
	t.Helper()
	files, _ := filepath.Glob("../quantity/*.go")
	tables, owner := map[string][]string{}, map[string]string{} // by variable
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		for _, decl := range f.Decls {
			switch d := decl.(type) {
			case *ast.FuncDecl: // func (Pressure) dimension() *dimension { return pressureUnits }
				if d.Name.Name == "dimension" && d.Recv != nil {
					result := d.Body.List[0].(*ast.ReturnStmt).Results[0].(*ast.Ident)
					owner[result.Name] = d.Recv.List[0].Type.(*ast.Ident).Name
				}
			case *ast.GenDecl: // var pressureUnits = &dimension{ … }
				for _, spec := range d.Specs {
					if v, ok := spec.(*ast.ValueSpec); ok && strings.HasSuffix(v.Names[0].Name, "Units") {
						tables[v.Names[0].Name] = names(v)
					}
				}
			}
		}
	}
	list := map[string][]string{}
	for variable, name := range owner {
		if len(tables[variable]) == 0 {
			t.Errorf("no units found in %s", variable)
		}
		list[name] = tables[variable]
	}
	return list
}

// names collects the values of symbol and aliases below a node.
func names(node ast.Node) []string {
	var list []string
	ast.Inspect(node, func(n ast.Node) bool {
		pair, ok := n.(*ast.KeyValueExpr)
		if !ok {
			return true
		}
		if key, ok := pair.Key.(*ast.Ident); ok && (key.Name == "symbol" || key.Name == "aliases") {
			ast.Inspect(pair.Value, func(n ast.Node) bool {
				if text, ok := n.(*ast.BasicLit); ok && text.Kind == token.STRING {
					s, _ := strconv.Unquote(text.Value)
					list = append(list, s)
				}
				return true
			})
		}
		return true
	})
	return list
}

// TestMolarMassAgainstGNU compares the molar masses with the atomic masses of GNU
// units, which are of other years.
func TestMolarMassAgainstGNU(t *testing.T) {
	var questions []string
	for _, name := range fuel.Names() {
		atoms := lookup(t, name).Atoms()
		questions = append(questions, fmt.Sprintf("%v carbon + %v hydrogen + %v oxygen", atoms.C, atoms.H, atoms.O), "1")
	}
	for i, want := range askUnits(t, questions) {
		c := lookup(t, fuel.Names()[i])
		if got := c.MolarMass().In(quantity.GramPerMole); math.Abs(got/want-1) > 5e-5 {
			t.Errorf("%s: %.6g g/mol, GNU units has %.6g", c, got, want)
		}
	}
}

func lookup(t *testing.T, name string) fuel.Constituent {
	t.Helper()
	c, err := fuel.Lookup(name)
	if err != nil {
		t.Fatal(err)
	}
	return c
}
