package sheet

import (
	"encoding"
	"errors"
	"fmt"
	"maps"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"example.com/railbook/sizing/internal/near"
	"example.com/railbook/sizing/quantity"
)

// Accepter is implemented by text fields that can say in a phrase what they
// accept; quantities are known without it.
type Accepter interface{ Accepts() string }

// Decode fills the struct that into points to and returns every problem found;
// fields with a problem keep their value.
//
// A field is named by its tag `sheet:"name"`, with ",required" where it must be
// given; fields without the tag are not part of the document. A field may be a
// string, an int, a struct (a TOML table), a slice of or a pointer to any of
// these, or anything that reads itself from text; the last also takes a bare TOML
// number. A slice of text also takes a single text.
func (d *Document) Decode(into any) []Problem {
	w := walker{doc: d}
	w.table("", d.tree, reflect.ValueOf(into).Elem())
	return w.problems
}

type walker struct {
	doc      *Document
	problems []Problem
}

func (w *walker) add(path string, value any, reason, accepted string) {
	p := Problem{Line: w.doc.Line(path), Field: path, Reason: reason, Accepted: accepted}
	if value != nil {
		p.Value = show(value)
	}
	w.problems = append(w.problems, p)
}

// show prints a TOML value as a person would write it, shortened.
func show(v any) string {
	var s string
	switch v := v.(type) {
	case string:
		s = strconv.Quote(v)
	case map[string]any:
		s = "a table"
	case []any:
		s = "an array"
	default:
		s = fmt.Sprint(v)
	}
	if r := []rune(s); len(r) > 60 {
		s = string(r[:57]) + "…"
	}
	return s
}

type field struct {
	name     string
	required bool
	index    int
}

func fieldsOf(t reflect.Type) []field {
	var list []field
	for i := range t.NumField() {
		tag, ok := t.Field(i).Tag.Lookup("sheet")
		if !ok {
			continue
		}
		name, options, _ := strings.Cut(tag, ",")
		list = append(list, field{name: name, required: options == "required", index: i})
	}
	return list
}

func (w *walker) table(path string, tree map[string]any, v reflect.Value) {
	fields := fieldsOf(v.Type())
	names := make([]string, len(fields))
	for i, f := range fields {
		names[i] = f.name
		at := f.name
		if path != "" {
			at = path + "." + f.name
		}
		value, given := tree[f.name]
		if !given {
			if f.required {
				w.add(at, nil, "is missing", wanted(at, v.Field(f.index).Type()))
			}
			continue
		}
		w.value(at, value, v.Field(f.index))
	}
	if path == "" {
		names = append(names, w.doc.taken...)
	}
	for _, key := range slices.Sorted(maps.Keys(tree)) {
		if slices.Contains(names, key) {
			continue
		}
		at := key
		where := "the sheet"
		if path != "" {
			at, where = path+"."+key, path
		}
		reason := "unknown name in " + where
		if near := Nearest(key, names); near != "" {
			reason += fmt.Sprintf(", perhaps %q is meant", near)
		}
		w.add(at, tree[key], reason, "one of "+strings.Join(names, ", "))
	}
}

var textType = reflect.TypeFor[encoding.TextUnmarshaler]()

func (w *walker) value(path string, value any, v reflect.Value) {
	switch {
	case v.Kind() == reflect.Pointer:
		target := reflect.New(v.Type().Elem())
		before := len(w.problems)
		if w.value(path, value, target.Elem()); len(w.problems) == before {
			v.Set(target)
		}
	case v.Addr().Type().Implements(textType):
		text, ok := asText(value)
		if !ok {
			w.add(path, value, "is not text", accepted(v.Type()))
			return
		}
		if err := v.Addr().Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(text)); err != nil {
			reason, want := explain(err)
			if want == "" {
				want = accepted(v.Type())
			}
			w.add(path, value, reason, want)
		}
	case v.Kind() == reflect.Struct:
		sub, ok := value.(map[string]any)
		if !ok {
			w.add(path, value, "is not a table", wanted(path, v.Type()))
			return
		}
		w.table(path, sub, v)
	case v.Kind() == reflect.Slice:
		list, ok := value.([]any)
		if !ok {
			if _, text := asText(value); !text || isTable(v.Type().Elem()) {
				w.add(path, value, "is not an array", wanted(path, v.Type()))
				return
			}
			list = []any{value}
		}
		out := reflect.MakeSlice(v.Type(), len(list), len(list))
		for i, element := range list {
			w.value(path+"["+strconv.Itoa(i+1)+"]", element, out.Index(i))
		}
		v.Set(out)
	case v.Kind() == reflect.String:
		text, ok := value.(string)
		if !ok {
			w.add(path, value, "is not text", "text in quotes")
			return
		}
		v.SetString(text)
	case v.Kind() == reflect.Int:
		n, ok := value.(int64)
		if !ok || n < math.MinInt32 || n > math.MaxInt32 {
			w.add(path, value, "is not a whole number", "a whole number without quotes")
			return
		}
		v.SetInt(n)
	default:
		panic("sheet: field of unsupported type " + v.Type().String())
	}
}

// asText gives the text of a TOML string or number.
func asText(value any) (string, bool) {
	switch v := value.(type) {
	case string:
		return v, true
	case int64:
		return strconv.FormatInt(v, 10), true
	case float64:
		return strconv.FormatFloat(v, 'g', -1, 64), true
	}
	if d, ok := value.(fmt.Stringer); ok { // a TOML date
		return d.String(), true
	}
	return "", false
}

// explain takes the parts of an error that names them, or its whole text.
func explain(err error) (reason, accepted string) {
	var pe *quantity.ParseError
	if errors.As(err, &pe) {
		return pe.Reason, pe.Accepted
	}
	return err.Error(), ""
}

// isTable reports whether a value of type t is written as a TOML table.
func isTable(t reflect.Type) bool {
	return t.Kind() == reflect.Struct && !reflect.PointerTo(t).Implements(textType)
}

// wanted says what the field at path, of type t, takes.
func wanted(path string, t reflect.Type) string {
	switch {
	case isTable(t):
		return "a table [" + path + "] with " + accepted(t)
	case t.Kind() == reflect.Slice && isTable(t.Elem()) && !strings.Contains(path, "["):
		return "one table [[" + path + "]] or more, each with " + accepted(t.Elem())
	}
	return accepted(t)
}

// accepted says what a field of type t takes.
func accepted(t reflect.Type) string {
	v := reflect.New(t)
	if a, ok := v.Interface().(Accepter); ok {
		return a.Accepts()
	}
	switch t.Kind() {
	case reflect.String:
		return "text in quotes"
	case reflect.Int:
		return "a whole number"
	case reflect.Slice:
		return "an array of " + accepted(t.Elem())
	case reflect.Struct:
		if !v.Type().Implements(textType) {
			var names []string
			for _, f := range fieldsOf(t) {
				names = append(names, f.name)
			}
			return strings.Join(names, ", ")
		}
	}
	// A text field that cannot say: let it refuse an impossible text and quote it.
	if u, ok := v.Interface().(encoding.TextUnmarshaler); ok {
		if err := u.UnmarshalText([]byte("?")); err != nil {
			_, want := explain(err)
			return want
		}
	}
	return ""
}

// Nearest returns the name that a mistyped one most likely means, or "".
func Nearest(name string, names []string) string {
	limit := 1
	if len(name) > 3 {
		limit = max(2, len(name)/3) // a swap of two letters costs two
	}
	best, least := "", limit+1
	for _, n := range names {
		if d := near.Distance(strings.ToLower(name), strings.ToLower(n)); d < least {
			best, least = n, d
		}
	}
	return best
}
