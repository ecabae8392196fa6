package fuel

import (
	"strconv"
	"strings"
	"testing"
)

func TestEmbeddedTablesLoad(t *testing.T) {
	table, err := loaded()
	if err != nil {
		t.Fatal(err)
	}
	if len(table.species) == 0 {
		t.Fatal("no constituent")
	}
	for _, s := range table.species {
		for _, v := range s.values {
			if v.Source.Citation == "" {
				t.Errorf("%s %s has no source", s.name, v.Property)
			}
		}
	}
}

// TestDamagedConstituents damages the table in one place at a time. The row that
// the error has to name is counted here from the text, not by the loader.
func TestDamagedConstituents(t *testing.T) {
	for _, test := range []struct {
		name             string
		intact, damaged  string // a text that occurs once, and what replaces it
		column, complain string
	}{
		{"letters for a number", "ethanol,latent heat,,918.6", "ethanol,latent heat,,9l8.6", "value", `"9l8.6" is not a number`},
		{"no number", "ethanol,latent heat,,918.6", "ethanol,latent heat,,", "value", "it is empty"},
		{"NaN", "ethanol,latent heat,,918.6", "ethanol,latent heat,,NaN", "value", "no plausible latent heat"},
		{"wrong unit", "ethanol,latent heat,,918.6,kJ/kg", "ethanol,latent heat,,918.6,kg/m3", "unit", "unknown unit"},
		{"shifted decimal", "ethanol,latent heat,,918.6", "ethanol,latent heat,,9.186", "value", "no plausible latent heat of ethanol"},
		{"unknown property", "\nethanol,latent heat", "\nethanol,latent hate", "property", `unknown property "latent hate"`},
		{"given twice", "ethanol,latent heat,,918.6,kJ/kg", "ethanol,higher heating value,,29.6814,MJ/kg", "property", "given twice"},
		{"temperature of a scalar", "\nethanol,latent heat,,", "\nethanol,latent heat,25 °C,", "at", "not tabulated against temperature"},
		{"unknown source", "918.6,kJ/kg,crc-vap", "918.6,kJ/kg,hearsay", "source", `"hearsay" is not in sources.csv`},
		{"no source", "918.6,kJ/kg,crc-vap", "918.6,kJ/kg,", "source", "not in sources.csv"},
		{"no temperature", "\nethanol,density,15 °C", "\nethanol,density,", "at", "no number found"},
		{"temperature twice", "\nethanol,density,15 °C", "\nethanol,density,10 °C", "at", "twice at 10 °C"},
		{"digits swapped", "ethanol,density,15 °C,793.506", "ethanol,density,15 °C,739.506", "value", "at 15 °C lies 7.3 % off the curve"},
		{"one density off", "ethanol,density,60 °C,754.52", "ethanol,density,60 °C,734.52", "value", "off the curve"},
		{"density beyond all bounds", "ethanol,density,60 °C,754.52", "ethanol,density,60 °C,75.452", "value", "no plausible density of ethanol"},
		{"flash point without a scale", "isooctane,flash point,,-12,degC", "isooctane,flash point,,-12,", "value", "unit"},
		{"viscosity off", "ethanol,viscosity,40 °C,0.8102", "ethanol,viscosity,40 °C,0.8702", "value", "off the curve"},
		{"viscosity rises", "gasoline,viscosity,20 °C,0.4073", "gasoline,viscosity,20 °C,0.7073", "value", "goes the wrong way from -20 °C to 20 °C"},
		{"pressure falls", "ethanol,vapour pressure,40 °C,18.035", "ethanol,vapour pressure,40 °C,1.8035", "value", "at 40 °C lies 900 % off the curve"},
		{"heating values swapped", "ethanol,higher heating value,,29.6814", "ethanol,higher heating value,,26.0", "value", "not above the lower"},
		{"heating value off", "ethanol,higher heating value,,29.6814", "ethanol,higher heating value,,30.6814", "value", "its hydrogen makes water worth 2.87 MJ/kg"},
		{"wrong carbon", "ethanol,carbon,,52.2", "ethanol,carbon,,62.2", "value", "52.14 % of carbon by its formula"},
		{"wrong formula", "ethanol,formula,,C2H6O", "ethanol,formula,,C2H6N", "value", "no formula of C, H and O"},
		{"formula of another", "methanol,molar mass,,32.04", "methanol,molar mass,,46.04", "value", "32.042 g/mol by its formula"},
		{"limits swapped", "ethanol,lower flammable limit,,3.1", "ethanol,lower flammable limit,,31", "value", "not below the upper"},
		{"alias of another", "ethanol,alias,,EtOH", "ethanol,alias,,MeOH", "value", "used twice"},
		{"no constituent", "ethanol,alias,,EtOH", ",alias,,EtOH", "constituent", "it is empty"},
		{"unknown family", "\nethanol,family,,alcohol", "\nethanol,family,,spirit", "value", `"spirit" is none of`},
		{"family of another", "\nethanol,family,,alcohol", "\nethanol,family,,hydrocarbon", "value", "C2H6O is no hydrocarbon"},
		{"water of carbon", "toluene,family,,hydrocarbon", "toluene,family,,water", "value", "C7H8 is no water"},
		{"family twice", "toluene,alias,,toluol", "toluene,family,,hydrocarbon", "property", "the family of toluene is given twice"},
		{"unknown base", "winter gasoline,base,,gasoline", "winter gasoline,base,,petrol", "value", `"petrol" does not stand above winter gasoline`},
		{"base of itself", "winter gasoline,base,,gasoline", "winter gasoline,base,,winter gasoline", "value", "does not stand above"},
		{"base further down", "winter gasoline,base,,gasoline", "winter gasoline,base,,toluene", "value", `"toluene" does not stand above`},
		{"base twice", "winter gasoline,alias,,winter petrol", "winter gasoline,base,,gasoline", "property", "the base of winter gasoline is given twice"},
		{"no base", "winter gasoline,base,,gasoline", "winter gasoline,base,,", "value", "it is empty"},
		{"boiling point off", "toluene,boiling point,,383.78", "toluene,boiling point,,373.78", "value", "has a vapour pressure of"},
		{"a column less", "ethanol,alias,,EtOH,,,", "ethanol,alias,,EtOH,,", "source", "6 columns instead of 7"},
	} {
		t.Run(test.name, func(t *testing.T) {
			// The row that is blamed is the damaged one. Where two rows clash
			// it is the later of them, wherever that is.
			text, row := damage(t, constituentsCSV, test.intact, test.damaged)
			_, err := load(text, sourcesCSV)
			if err == nil {
				t.Fatal("the damage was not found")
			}
			message := err.Error()
			for _, want := range []string{"constituents.csv", "column " + test.column, test.complain} {
				if !strings.Contains(message, want) {
					t.Errorf("error %q does not contain %q", message, want)
				}
			}
			if test.name == "alias of another" {
				_, row = damage(t, constituentsCSV, "methanol,alias,,MeOH", "")
			}
			if want := "row " + strconv.Itoa(row) + ":"; !strings.Contains(message, want) {
				t.Errorf("error %q does not name %q", message, want)
			}
		})
	}
}

// damage replaces a text that occurs once and returns its row.
func damage(t *testing.T, text, intact, damaged string) (string, int) {
	t.Helper()
	if n := strings.Count(text, intact); n != 1 {
		t.Fatalf("%q occurs %d times", intact, n)
	}
	before, after, _ := strings.Cut(text, intact)
	return before + damaged + after, 1 + strings.Count(before+intact, "\n")
}

func TestMissingRowsAreNamed(t *testing.T) {
	for _, property := range []string{"formula", "family", "lower heating value", "higher heating value", "latent heat",
		"density", "viscosity", "vapour pressure", "flash point"} {
		var kept []string
		for _, line := range strings.SplitAfter(constituentsCSV, "\n") {
			if !strings.HasPrefix(line, "toluene,"+property+",") {
				kept = append(kept, line)
			}
		}
		_, err := load(strings.Join(kept, ""), sourcesCSV)
		if err == nil {
			t.Errorf("toluene without %s is accepted", property)
			continue
		}
		if m := err.Error(); !strings.Contains(m, "toluene") || !strings.Contains(m, property) {
			t.Errorf("without %s: error %q names not both", property, m)
		}
	}
}

func TestOtherDamage(t *testing.T) {
	for _, test := range []struct {
		name, constituents, sources, want string
	}{
		{"shares that add up to 100.4 %", strings.NewReplacer("ethanol,carbon,,52.2", "ethanol,carbon,,52.28",
			"ethanol,hydrogen,,13.1", "ethanol,hydrogen,,13.28", "ethanol,oxygen,,34.7", "ethanol,oxygen,,34.85").Replace(constituentsCSV),
			sourcesCSV, "column value: carbon, hydrogen and oxygen of ethanol add up to 100.4 %"},
		{"empty", "", sourcesCSV, "row 1: the columns are not"},
		{"empty sources", constituentsCSV, "", "sources.csv: row 1"},
		{"renamed column", strings.Replace(constituentsCSV, ",unit,", ",units,", 1), sourcesCSV, "row 1: the columns are not"},
		{"open quote", constituentsCSV + `"`, sourcesCSV, "constituents.csv"},
		{"source twice", constituentsCSV, sourcesCSV + "afdc,memory,x\n", `column key: "afdc" is given twice`},
		{"source of no standing", constituentsCSV, sourcesCSV + "x,rumour,x\n", `column standing: "rumour" is none of`},
		{"source without citation", constituentsCSV, sourcesCSV + "x,memory, \n", "column citation: it is empty"},
		{"source without key", constituentsCSV, sourcesCSV + ",memory,x\n", "column key: it is empty"},
		{"too many constituents", constituentsCSV + manyConstituents(), sourcesCSV, "is one more than the 16 there is room for"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := load(test.constituents, test.sources)
			if err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("error %v does not contain %q", err, test.want)
			}
		})
	}
}

// manyConstituents are rows of more constituents than there is room for.
func manyConstituents() string {
	var rows strings.Builder
	for i := range maxSpecies {
		rows.WriteString("constituent " + strconv.Itoa(i) + ",alias,,alias " + strconv.Itoa(i) + ",,,\n")
	}
	return rows.String()
}
