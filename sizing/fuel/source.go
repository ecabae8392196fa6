package fuel

import (
	_ "embed"
	"fmt"
	"strings"
)

//go:embed sources.csv
var sourcesCSV string

// Standing says how a value came from its source.
type Standing string

const (
	// Definition is what the name itself says, such as a molecular formula.
	Definition Standing = "definition"
	// Secondary is a value read in a copy or a data set that names the source.
	Secondary Standing = "secondary"
	// Memory is a value from memory, not confirmed in the source.
	Memory Standing = "memory"
)

// Source is where a value of the table comes from.
type Source struct {
	Key      string // short name, as the table of constituents uses it
	Standing Standing
	Citation string
}

// String returns the citation.
func (s Source) String() string { return s.Citation }

var sourceColumns = []string{"key", "standing", "citation"}

// loadSources reads the table of sources, by key.
func loadSources(text string) (map[string]Source, error) {
	rows, err := readTable("sources.csv", text, sourceColumns)
	if err != nil {
		return nil, err
	}
	sources := map[string]Source{}
	for _, r := range rows {
		s := Source{Key: r.text["key"], Standing: Standing(r.text["standing"]), Citation: r.text["citation"]}
		if s.Key == "" {
			return nil, r.fail("key", "it is empty")
		}
		if _, twice := sources[s.Key]; twice {
			return nil, r.fail("key", "%q is given twice", s.Key)
		}
		switch s.Standing {
		case Definition, Secondary, Memory:
		default:
			return nil, r.fail("standing", "%q is none of %s, %s, %s", s.Standing, Definition, Secondary, Memory)
		}
		if strings.TrimSpace(s.Citation) == "" {
			return nil, r.fail("citation", "it is empty")
		}
		sources[s.Key] = s
	}
	return sources, nil
}

// Value is one value of the table as it was published, for showing where a
// result comes from.
type Value struct {
	Property string // such as "density"
	At       string // the temperature it holds at, such as "15 °C", or ""
	Value    string // with its unit, such as "793.506 kg/m3"
	Source   Source
	Note     string
}

// String returns the value with its source: "density at 15 °C: 745 kg/m3 (...)".
func (v Value) String() string {
	at := ""
	if v.At != "" {
		at = " at " + v.At
	}
	return fmt.Sprintf("%s%s: %s (%s)", v.Property, at, v.Value, v.Source.Citation)
}
