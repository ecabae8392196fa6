package main

import (
	"encoding/json"
	"io"
	"strings"
	"unicode/utf8"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
)

// listed is a field or a result as listed.
type listed struct {
	Name    string            `json:"name"`
	Meaning string            `json:"meaning,omitempty"`
	Units   map[string]string `json:"units"` // by unit system
}

// listSweep lists what can be swept and what can be shown, in the units of the sheet if
// one is given and otherwise in those of both systems.
func listSweep(w io.Writer, sheets []string, asJSON bool) error {
	systems := []quantity.System{quantity.US, quantity.SI}
	if len(sheets) > 0 {
		b, err := sizing.Open(sheets[0])
		if err != nil {
			return err
		}
		systems = []quantity.System{b.Job.Units}
	}
	named, paths, err := listFields(systems)
	if err != nil {
		return err
	}
	results := listResults(systems)
	if asJSON {
		enc := json.NewEncoder(w)
		enc.SetIndent("", "  ")
		enc.SetEscapeHTML(false)
		return enc.Encode(map[string][]listed{"fields": append(named, paths...), "results": results})
	}
	out := &printer{w: w}
	out.print("%s\n", listTable("Fields for --over", named, systems).Text())
	out.print("%s\n", listTable("Results for --show", results, systems).Text())
	out.print("Any number of the build sheet is a field, too, by its path (with its unit):\n\n")
	var names []string
	for _, p := range paths {
		name := p.Name
		if u := p.Units[systems[0].String()]; u != "" {
			name += " (" + u + ")"
		}
		names = append(names, name)
	}
	out.print("%s\n", wrapped(names, 80))
	out.print("%s", `Of a list such as pumps the path means all its elements; pumps[1].wear means the
first one's. Any number that assess --json prints is a result, too, by its path,
such as delivery.pump_rise or parts[pumps].margin.
`)
	return out.err
}

// listFields lists the fields that hold a number: those that have a name of their own,
// and the others of the sheet by their paths.
func listFields(systems []quantity.System) (named, paths []listed, err error) {
	add := func(list *[]listed, name string, meaning bool) error {
		f, err := sizing.FieldNamed(name)
		if err != nil || !f.Numeric() {
			return err
		}
		l := listed{Name: f.Name(), Units: map[string]string{}}
		if meaning {
			l.Meaning = f.About()
		}
		for _, s := range systems {
			l.Units[s.String()] = f.Unit(s)
		}
		*list = append(*list, l)
		return nil
	}
	for _, name := range sizing.FieldNames() {
		if err := add(&named, name, true); err != nil {
			return nil, nil, err
		}
	}
	for _, path := range sizing.SheetPaths() {
		if err := add(&paths, path, false); err != nil {
			return nil, nil, err
		}
	}
	return named, paths, nil
}

func listResults(systems []quantity.System) []listed {
	var list []listed
	for _, r := range sweep.Results {
		l := listed{Name: r.Name, Meaning: r.About(), Units: map[string]string{}}
		for _, s := range systems {
			l.Units[s.String()] = r.Unit(s)
		}
		list = append(list, l)
	}
	return list
}

func listTable(caption string, list []listed, systems []quantity.System) sizing.Table {
	t := sizing.Table{Caption: caption, Columns: []sizing.Column{{Name: "Name"}}}
	for _, s := range systems {
		name := "Unit"
		if len(systems) > 1 {
			name = s.String() + " unit"
		}
		t.Columns = append(t.Columns, sizing.Column{Name: name})
	}
	t.Columns = append(t.Columns, sizing.Column{Name: "Meaning"})
	for _, l := range list {
		row := []string{l.Name}
		for _, s := range systems {
			row = append(row, l.Units[s.String()])
		}
		t.Rows = append(t.Rows, append(row, l.Meaning))
	}
	return t
}

// wrapped sets words with commas between them in lines of a width.
func wrapped(words []string, width int) string {
	var b strings.Builder
	line := 0
	for i, w := range words {
		if i < len(words)-1 {
			w += ","
		}
		n := utf8.RuneCountInString(w)
		switch {
		case line == 0:
		case line+1+n > width:
			b.WriteString("\n")
			line = 0
		default:
			b.WriteString(" ")
			line++
		}
		b.WriteString(w)
		line += n
	}
	return b.String() + "\n"
}
