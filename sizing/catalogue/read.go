package catalogue

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/internal/near"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/uncertainty/spread"
)

// Read reads the lists in a folder: those of injectors.csv, pumps.csv, hoses.csv,
// regulators.csv and filters.csv that are there. Files that do not end in .csv are left
// alone; any other .csv file is refused, since it may be one of these misspelt.
//
// The error joins a [*ListError] for each list with mistakes, which lists them all, and
// tells of a folder that cannot be read or holds no list. The lists are then empty.
func Read(folder fs.FS) (Lists, error) {
	entries, err := fs.ReadDir(folder, ".")
	if err != nil {
		return Lists{}, fmt.Errorf("cannot read the folder of parts lists: %w", err)
	}
	var l Lists
	var errs []error
	currencies := map[string]string{} // the first file that has each
	found := 0
	for _, e := range entries {
		name := e.Name()
		if e.IsDir() || !strings.EqualFold(path.Ext(name), ".csv") {
			continue
		}
		found++
		f, err := folder.Open(name)
		if err != nil {
			errs = append(errs, fmt.Errorf("cannot open the parts list: %w", err))
			continue
		}
		var currency string
		switch name {
		case injectorList.file:
			l.Injectors, currency, err = injectorList.read(name, f)
		case pumpList.file:
			l.Pumps, currency, err = pumpList.read(name, f)
		case hoseList.file:
			l.Hoses, currency, err = hoseList.read(name, f)
		case filterList.file:
			l.Filters, currency, err = filterList.read(name, f)
		case regulatorList.file:
			l.Regulators, currency, err = regulatorList.read(name, f)
		default:
			err = unknownFile(name)
		}
		errs = append(errs, err, f.Close())
		if currency != "" && currencies[currency] == "" {
			currencies[currency] = name
			if l.Currency != "" {
				errs = append(errs, fmt.Errorf("%s: prices in %s, where %s has %s; want one currency in all lists", name, currency, currencies[l.Currency], l.Currency))
			}
			l.Currency = cmp.Or(l.Currency, currency)
		}
	}
	if found == 0 {
		errs = append(errs, fmt.Errorf("the folder holds no parts list; want one or more of %s", strings.Join(fileNames, ", ")))
	}
	if err := errors.Join(errs...); err != nil {
		return Lists{}, err
	}
	return l, nil
}

var fileNames = []string{injectorList.file, pumpList.file, hoseList.file, regulatorList.file, filterList.file}

func unknownFile(name string) error {
	hint := ""
	for _, known := range fileNames {
		if near.Distance(strings.ToLower(name), known) <= 3 {
			hint = fmt.Sprintf(", perhaps %q is meant", known)
		}
	}
	return fmt.Errorf("%s is no parts list%s; want no .csv file but %s", name, hint, strings.Join(fileNames, ", "))
}

// ReadInjectors reads a list of injectors; file stands in messages. The error is a
// [*ListError], and the list then empty.
func ReadInjectors(file string, r io.Reader) ([]Injector, error) {
	list, _, err := injectorList.read(file, r)
	return list, err
}

// ReadPumps is [ReadInjectors] for pumps.
func ReadPumps(file string, r io.Reader) ([]Pump, error) {
	list, _, err := pumpList.read(file, r)
	return list, err
}

// ReadHoses is [ReadInjectors] for hoses.
func ReadHoses(file string, r io.Reader) ([]Hose, error) {
	list, _, err := hoseList.read(file, r)
	return list, err
}

// ReadFilters is [ReadInjectors] for filters.
func ReadFilters(file string, r io.Reader) ([]Filter, error) {
	list, _, err := filterList.read(file, r)
	return list, err
}

// ReadRegulators is [ReadInjectors] for regulators.
func ReadRegulators(file string, r io.Reader) ([]Regulator, error) {
	list, _, err := regulatorList.read(file, r)
	return list, err
}

// read reads the parts of a list and the currency of their prices.
func (l *list[T]) read(file string, r io.Reader) (parts []T, currency string, err error) {
	p := &problems{ListError{File: file}}
	rows, ok := p.table(r)
	if !ok {
		return nil, "", p.err()
	}
	header := l.header(p, rows[0])
	if len(rows) == 1 {
		p.add(rows[0].line, "part", "", "no part stands below the header", "one line per part")
	}
	seen := map[string]int{}
	for _, row := range rows[1:] {
		if len(row.cells) != len(rows[0].cells) {
			p.add(row.line, "row", row.cells[0], fmt.Sprintf("has %d fields", len(row.cells)), fmt.Sprintf("%d fields, as the header has", len(rows[0].cells)))
			continue
		}
		part, name := l.part(p, header, row)
		if name == "" {
			continue
		}
		if before := seen[name]; before != 0 {
			p.add(row.line, "part", name, fmt.Sprintf("stands in line %d too", before), "each part once")
			continue
		}
		seen[name] = row.line
		if c := row.cell(header, "currency"); c != "" {
			switch {
			case !isCurrency(c):
				p.add(row.line, "currency", c, "is no currency", `three capital letters such as "EUR"`)
			case currency != "" && c != currency:
				p.add(row.line, "currency", c, "is not that of the prices before, "+currency, "one currency in all lists")
			default:
				currency = c
			}
		}
		parts = append(parts, part)
	}
	if err := p.err(); err != nil {
		return nil, "", err
	}
	return parts, currency, nil
}

func isCurrency(s string) bool {
	return len(s) == 3 && strings.Trim(s, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == ""
}

// header finds where each column stands, by its name.
func (l *list[T]) header(p *problems, row sheetRow) map[string]int {
	var names []string
	for _, c := range l.columns {
		names = append(names, c.name)
	}
	at := map[string]int{}
	for i, given := range row.cells {
		name := strings.ToLower(given)
		_, twice := at[name]
		switch {
		case name == "":
			p.add(row.line, fmt.Sprintf("column %d", i+1), "", "has no name", "one of "+strings.Join(names, ", "))
		case !slices.Contains(names, name):
			reason := "unknown column"
			if hint := nearest(name, names); hint != "" {
				reason += fmt.Sprintf(", perhaps %q is meant", hint)
			}
			p.add(row.line, given, "", reason, "one of "+strings.Join(names, ", "))
		case twice:
			p.add(row.line, name, "", "stands twice in the header", "each column once")
		default:
			at[name] = i
		}
	}
	for _, c := range l.columns {
		if _, ok := at[c.name]; c.required && !ok {
			p.add(row.line, c.name, "", "column is missing", fmt.Sprintf("%s: %s, such as %q", c.name, c.about, c.example))
		}
	}
	return at
}

// nearest is the one of the names that is spelt most like a word, or none.
func nearest(word string, names []string) string {
	best, least := "", 3
	for _, n := range names {
		if d := near.Distance(word, n); d < least {
			best, least = n, d
		}
	}
	return best
}

// cell is what the row has in a column, empty where there is none.
func (r *sheetRow) cell(header map[string]int, name string) string {
	if i, ok := header[name]; ok {
		return r.cells[i]
	}
	return ""
}

// part reads a row. The name is empty where there is none.
func (l *list[T]) part(p *problems, header map[string]int, row sheetRow) (part T, name string) {
	it := any(&part).(interface{ item() *Item }).item()
	it.Price = Unpriced
	it.given = map[string]string{}
	before := len(p.Problems) + p.More
	for _, c := range l.columns {
		text := row.cell(header, c.name)
		if text == "" {
			if _, there := header[c.name]; c.required && there {
				p.add(row.line, c.name, "", "is missing", fmt.Sprintf("%s, such as %q", c.about, c.example))
			}
			continue
		}
		it.given[c.name] = text
		if c.field != "" && spread.Stated(text) {
			p.add(row.line, c.name, text, "is a range or a tolerance, which a parts list does not take", fmt.Sprintf("one value, such as %q", c.example))
			continue
		}
		if err := c.set(&part, text); err != nil {
			reason, accepted := explain(err, c.example)
			p.add(row.line, c.name, text, reason, accepted)
		}
	}
	if len(p.Problems)+p.More == before {
		l.sound(p, &part, row, header)
	}
	if it.Part == "" {
		return part, ""
	}
	return part, it.Name()
}

// explain splits an error into what is wrong and what would be accepted.
func explain(err error, example string) (reason, accepted string) {
	if pe, ok := errors.AsType[*quantity.ParseError](err); ok {
		return strings.TrimPrefix(strings.TrimSuffix(err.Error(), "; want "+pe.Accepted), fmt.Sprintf("%q: ", pe.Text)), pe.Accepted
	}
	return err.Error(), fmt.Sprintf("such as %q", example)
}

// sound wants a part that could stand in a build sheet: what a sheet would be refused
// for is refused here, with the column in place of the field.
func (l *list[T]) sound(p *problems, part *T, row sheetRow, header map[string]int) {
	found := l.place(template(), part).Validate()
	var list []sizing.Problem
	if be, ok := errors.AsType[*sizing.BuildError](found); ok {
		list = be.Problems
	}
	if l.check != nil {
		list = append(list, l.check(part)...)
	}
	said := map[string]bool{}
	for _, one := range list {
		one.Line = row.line
		if inner, ok := strings.CutPrefix(one.Field, l.table+"."); ok {
			inner = inner[:cmp.Or(strings.IndexAny(inner, ".[")+1, len(inner)+1)-1]
			for _, c := range l.columns {
				if c.field == inner {
					one.Field = c.name
				}
			}
		}
		if said[one.Field] {
			continue
		}
		said[one.Field] = true
		if text := row.cell(header, one.Field); text != "" {
			one.Value = quote(text)
		}
		p.put(one)
	}
}

// template is a valid build without wiring, for parts to be put into.
var template = sync.OnceValue(func() sizing.Build {
	b, err := sizing.Read("template", []byte(sizing.Template))
	if err != nil {
		panic("catalogue: the template of build sheets is not valid: " + err.Error())
	}
	return b
})
