package sizing

import (
	"bytes"
	"encoding"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"example.com/railbook/sizing/quantity"
)

// WriteSheet writes b as a build sheet, from which [Read] makes the same build: fields at
// their zero value are left out, fields in doubt are given as they were, and values stand
// in the units in which they are shortest. Text that is not UTF-8 loses what is not.
//
// The error is a [*BuildError] where b is not valid, one that names the field of a value
// that no sheet can hold, or that of w.
func (b Build) WriteSheet(w io.Writer) error {
	data, err := b.sheet()
	if err != nil {
		return err
	}
	back, err := Read("", data)
	if err != nil {
		return fmt.Errorf("the build cannot be written as a sheet: %w", err)
	}
	if again, err := back.sheet(); err != nil || !bytes.Equal(again, data) {
		return fmt.Errorf("the build cannot be written as a sheet: it would read as another")
	}
	_, err = w.Write(data)
	return err
}

// sheet writes b without making sure that it reads back.
func (b Build) sheet() ([]byte, error) {
	s := sheetWriter{sys: b.Job.Units, doubts: map[string]string{}}
	doubts := b.InDoubt()
	for _, d := range doubts.List {
		s.doubts[d.Path] = d.Text
	}
	s.fields("", "", reflect.ValueOf(b))
	for i, c := range doubts.Correlations {
		s.table("correlation", "[[correlation]]", fmt.Sprintf("correlation[%d]", i+1), reflect.ValueOf(c))
	}
	return s.out.Bytes(), s.err
}

// sheetWriter writes a sheet by the tags that it is read by.
type sheetWriter struct {
	out    bytes.Buffer
	sys    quantity.System
	doubts map[string]string // the texts of fields in doubt, by path
	err    error             // the first
}

// fields writes the fields of the table that is headed name and lies at path, which differ
// where there is more than one of it: first those with a value of their own, then the
// tables in it.
func (s *sheetWriter) fields(name, path string, v reflect.Value) {
	type table struct {
		name, path string
		value      reflect.Value
		many       bool
	}
	var tables []table
	for f := range sheetFields(v) {
		at, head := pathTo(path, f.name), pathTo(name, f.name)
		value := f.value
		for value.Kind() == reflect.Pointer && !value.IsNil() {
			value = value.Elem()
		}
		switch {
		case value.Kind() == reflect.Pointer: // nil
		case isSheetTable(value.Type()):
			if f.value.Kind() == reflect.Pointer || f.required || !value.IsZero() {
				tables = append(tables, table{head, at, value, false})
			}
		case value.Kind() == reflect.Slice && isSheetTable(value.Type().Elem()) && name == "":
			tables = append(tables, table{head, at, value, true})
		default:
			if _, doubted := s.doubts[at]; doubted || f.required || f.value.Kind() == reflect.Pointer || !value.IsZero() {
				fmt.Fprintf(&s.out, "%s = %s\n", f.name, s.value(at, value))
			}
		}
	}
	for _, t := range tables {
		if !t.many {
			s.table(t.name, "["+t.name+"]", t.path, t.value)
			continue
		}
		for i := range t.value.Len() {
			s.table(t.name, "[["+t.name+"]]", fmt.Sprintf("%s[%d]", t.path, i+1), t.value.Index(i))
		}
	}
}

// table writes a table with its heading.
func (s *sheetWriter) table(name, heading, path string, v reflect.Value) {
	if s.out.Len() > 0 {
		s.out.WriteByte('\n')
	}
	s.out.WriteString(heading + "\n")
	s.fields(name, path, v)
}

// value writes the value of a field.
func (s *sheetWriter) value(path string, v reflect.Value) string {
	if text, ok := s.doubts[path]; ok {
		return tomlQuote(text)
	}
	switch {
	case v.Kind() == reflect.Slice:
		list := make([]string, v.Len())
		for i := range list {
			list[i] = s.value(fmt.Sprintf("%s[%d]", path, i+1), v.Index(i))
		}
		if v.Len() > 0 && isSheetTable(v.Type().Elem()) {
			return "[\n  " + strings.Join(list, ",\n  ") + ",\n]"
		}
		return "[" + strings.Join(list, ", ") + "]"
	case isSheetTable(v.Type()):
		var list []string
		for f := range sheetFields(v) {
			at := pathTo(path, f.name)
			if _, doubted := s.doubts[at]; doubted || f.required || !f.value.IsZero() {
				list = append(list, f.name+" = "+s.value(at, f.value))
			}
		}
		return "{ " + strings.Join(list, ", ") + " }"
	case v.Kind() == reflect.Int && kinds[v.Type()] == wholeNumber{}:
		return strconv.FormatInt(v.Int(), 10)
	case v.Type() == reflect.TypeFor[quantity.Ratio]():
		return s.ratio(path, v.Float())
	case v.Type() == reflect.TypeFor[string]():
		return tomlQuote(v.String())
	}
	text, err := shortText(v, s.sys)
	if err != nil && s.err == nil {
		s.err = fmt.Errorf("%s cannot be written: %w", path, err)
	}
	return tomlQuote(text)
}

// ratio writes a plain number, without quotes.
func (s *sheetWriter) ratio(path string, v float64) string {
	if _, err := quantity.Ratio(v).MarshalText(); err != nil && s.err == nil {
		s.err = fmt.Errorf("%s: %w", path, err)
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}

// shortText is the shortest text that a value reads back from.
func shortText(v reflect.Value, sys quantity.System) (string, error) {
	if k, ok := kinds[v.Type()].(interface {
		kind
		symbols() []string
	}); ok {
		if text := shortQuantity(k, k.symbols(), v.Float(), []string{k.unit(sys), k.unit(quantity.SI), k.unit(quantity.US)}); text != "" {
			return text, nil
		}
	}
	m, ok := v.Interface().(encoding.TextMarshaler)
	if !ok {
		return "", fmt.Errorf("%s has no text", v.Type())
	}
	exact, err := m.MarshalText()
	if err != nil {
		return "", err
	}
	// What it prints for people will do where it loses nothing.
	var printed []string
	for _, other := range []quantity.System{sys, quantity.SI, quantity.US} {
		if f, ok := m.(interface{ Format(quantity.System) string }); ok {
			printed = append(printed, f.Format(other))
		}
	}
	if f, ok := m.(fmt.Stringer); ok {
		printed = append(printed, f.String())
	}
	for _, text := range printed {
		back := reflect.New(v.Type())
		u, ok := back.Interface().(encoding.TextUnmarshaler)
		if ok && len(text) < len(exact) && u.UnmarshalText([]byte(text)) == nil && reflect.DeepEqual(back.Elem().Interface(), v.Interface()) {
			return text, nil
		}
	}
	return string(exact), nil
}

// symbols are those of the units that a quantity reads.
func (kindOf[Q]) symbols() []string { return quantity.Symbols[Q]() }

// shortQuantity is a number and a unit from which just si reads back: the shortest number,
// of these the one whose unit is preferred most, and of these the one with the fewest
// digits. It is empty where there is none.
func shortQuantity(k kind, symbols []string, si float64, preferred []string) string {
	best, least := "", [3]int{1 << 30}
	for _, symbol := range symbols {
		_, number, _, err := k.scale(symbol)
		if err != nil {
			continue
		}
		for _, digits := range []int{15, 16, 17} {
			text := strconv.FormatFloat(number(si), 'g', digits, 64)
			whole := strings.TrimSpace(text + " " + symbol)
			if back, err := k.parse(whole); err != nil || back != si {
				continue
			}
			cost := [3]int{len(text), slices.Index(preferred, symbol), significant(text)}
			if cost[1] < 0 {
				cost[1] = len(preferred)
			}
			if slices.Compare(cost[:], least[:]) < 0 {
				best, least = whole, cost
			}
			break
		}
	}
	return best
}

// significant counts the digits of a number between its first and its last that is no
// zero.
func significant(number string) int {
	mantissa, _, _ := strings.Cut(number, "e")
	return len(strings.Trim(strings.NewReplacer(".", "", "-", "").Replace(mantissa), "0"))
}

// tomlQuote writes a basic string of TOML.
func tomlQuote(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range strings.ToValidUTF8(text, string(utf8.RuneError)) {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r < ' ' || r == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// pathTo is the path of a field of a table.
func pathTo(table, field string) string {
	if table == "" {
		return field
	}
	return table + "." + field
}
