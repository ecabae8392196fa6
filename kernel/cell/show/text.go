package show

import (
	"reflect"
	"sort"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Text returns a value as text: what it says of itself, or Go syntax.
func Text(v any) string {
	if isNil(v) {
		return "nil"
	}
	if s, ok := v.(string); ok && strings.Contains(s, "\n") && utf8.ValidString(s) {
		return s // lines are to be read
	}
	if s, ok := said(v); ok {
		if _, bad := v.(error); bad {
			s = "error: " + s
		}
		return s
	}
	p := printer{seen: map[seen]bool{}}
	return p.text(reflect.ValueOf(v), 0, true)
}

// isNil reports whether there is nothing behind v.
func isNil(v any) bool {
	if v == nil {
		return true
	}
	switch r := reflect.ValueOf(v); r.Kind() {
	case reflect.Pointer, reflect.Map, reflect.Slice, reflect.Func, reflect.Chan:
		return r.IsNil()
	}
	return false
}

// said returns what a value says of itself.
func said(v any) (text string, ok bool) {
	defer func() {
		if recover() != nil {
			text, ok = "", false
		}
	}()
	switch v := v.(type) {
	case error:
		return v.Error(), true
	case interface{ String() string }:
		return v.String(), true
	}
	return "", false
}

// What is printed of large things.
const (
	lineWidth = 88  // of what is put on one line
	mostItems = 100 // of a list or map
	mostDepth = 8
	mostText  = 10_000 // of a string in a larger thing
)

// printer writes values in Go syntax.
type printer struct{ seen map[seen]bool }

// seen is a pointer that is being followed.
type seen struct {
	at  uintptr
	typ reflect.Type
}

// text prints a value; typed tells to name its type.
func (p *printer) text(v reflect.Value, depth int, typed bool) string {
	if !v.IsValid() {
		return "nil"
	}
	if depth > 0 && v.CanInterface() {
		if k := v.Kind(); k != reflect.Pointer && k != reflect.Interface || !v.IsNil() {
			if s, ok := said(v.Interface()); ok && s != "" && !strings.Contains(s, "\n") {
				return s
			}
		}
	}
	switch v.Kind() {
	case reflect.Bool:
		return strconv.FormatBool(v.Bool())
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return strconv.FormatInt(v.Int(), 10)
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		return strconv.FormatUint(v.Uint(), 10)
	case reflect.Uintptr:
		return "0x" + strconv.FormatUint(v.Uint(), 16)
	case reflect.Float32:
		return strconv.FormatFloat(v.Float(), 'g', -1, 32)
	case reflect.Float64:
		return strconv.FormatFloat(v.Float(), 'g', -1, 64)
	case reflect.Complex64:
		return strconv.FormatComplex(v.Complex(), 'g', -1, 64)
	case reflect.Complex128:
		return strconv.FormatComplex(v.Complex(), 'g', -1, 128)
	case reflect.String:
		return quote(v.String())
	case reflect.Func, reflect.Chan, reflect.UnsafePointer:
		if v.IsNil() {
			return "nil"
		}
		return v.Type().String()
	case reflect.Interface:
		if v.IsNil() {
			return "nil"
		}
		return p.text(v.Elem(), depth, true)
	case reflect.Pointer:
		return p.pointer(v, depth)
	}
	if depth >= mostDepth {
		return v.Type().String() + "{…}"
	}
	switch v.Kind() {
	case reflect.Slice:
		if v.IsNil() {
			return "nil"
		}
		if v.Type().Elem().Kind() == reflect.Uint8 {
			return name(v.Type(), typed) + bytesText(v.Bytes())
		}
		return p.list(v, depth, typed)
	case reflect.Array:
		return p.list(v, depth, typed)
	case reflect.Map:
		if v.IsNil() {
			return "nil"
		}
		return p.table(v, depth, typed)
	default:
		return p.structure(v, depth, typed)
	}
}

// name is a type's name, or nothing where the place says it.
func name(t reflect.Type, typed bool) string {
	if !typed {
		return ""
	}
	return strings.ReplaceAll(t.String(), "main.", "")
}

func quote(s string) string {
	more := ""
	if len(s) > mostText {
		cut := mostText
		for cut > 0 && !utf8.RuneStart(s[cut]) {
			cut--
		}
		s, more = s[:cut], "…"
	}
	if strings.Contains(s, `"`) && strconv.CanBackquote(s) {
		return "`" + s + "`" + more
	}
	return strconv.QuoteToGraphic(s) + more
}

// bytesText prints bytes that are text as text, others as numbers.
func bytesText(b []byte) string {
	if utf8.Valid(b) && strings.IndexFunc(string(b[:min(len(b), mostText)]), func(r rune) bool { return r < ' ' && r != '\n' && r != '\t' && r != '\r' }) < 0 {
		return "(" + quote(string(b)) + ")"
	}
	items := make([]string, 0, mostItems)
	for _, c := range b[:min(len(b), mostItems)] {
		items = append(items, "0x"+strconv.FormatUint(uint64(c), 16))
	}
	return braces(items, len(b)-len(items))
}

func (p *printer) pointer(v reflect.Value, depth int) string {
	if v.IsNil() {
		return "nil"
	}
	at := seen{v.Pointer(), v.Type()}
	if p.seen[at] || depth >= mostDepth {
		return "&" + v.Type().Elem().String() + "{…}" // a ring
	}
	p.seen[at] = true
	defer delete(p.seen, at)
	return "&" + p.text(v.Elem(), depth+1, true)
}

func (p *printer) list(v reflect.Value, depth int, typed bool) string {
	n := min(v.Len(), mostItems)
	items := make([]string, n)
	inner := v.Type().Elem().Kind() == reflect.Pointer || v.Type().Elem().Kind() == reflect.Interface
	for i := range n {
		items[i] = p.text(v.Index(i), depth+1, inner)
	}
	return name(v.Type(), typed) + braces(items, v.Len()-n)
}

func (p *printer) table(v reflect.Value, depth int, typed bool) string {
	items := make([]string, 0, v.Len())
	for it := v.MapRange(); it.Next(); {
		items = append(items, p.text(it.Key(), depth+1, false)+": "+p.text(it.Value(), depth+1, false))
	}
	sortKeys(v, items)
	n := min(len(items), mostItems)
	return name(v.Type(), typed) + braces(items[:n], len(items)-n)
}

// sortKeys sorts the lines of a map, numbers by value.
func sortKeys(v reflect.Value, items []string) {
	number := func(s string) (float64, bool) {
		key, _, _ := strings.Cut(s, ":")
		n, err := strconv.ParseFloat(key, 64)
		return n, err == nil
	}
	sort.Slice(items, func(i, j int) bool {
		a, aok := number(items[i])
		b, bok := number(items[j])
		if aok && bok && a != b {
			return a < b
		}
		return items[i] < items[j]
	})
}

func (p *printer) structure(v reflect.Value, depth int, typed bool) string {
	t := v.Type()
	var items []string
	for i := range t.NumField() {
		f := t.Field(i)
		if f.Name == "_" || v.Field(i).IsZero() {
			continue
		}
		items = append(items, f.Name+": "+p.text(v.Field(i), depth+1, f.Type.Kind() != reflect.Struct))
	}
	return name(t, typed || depth == 0) + braces(items, 0)
}

// braces puts items on one line where they fit, else each on its own.
func braces(items []string, more int) string {
	if more > 0 {
		items = append(items, "… "+strconv.Itoa(more)+" more")
	}
	width := 0
	for _, item := range items {
		width += utf8.RuneCountInString(item) + 2
		if strings.Contains(item, "\n") {
			width = lineWidth + 1
			break
		}
	}
	if width <= lineWidth || short(items) {
		return "{" + wrap(items, width) + "}"
	}
	var b strings.Builder
	b.WriteString("{\n")
	for _, item := range items {
		b.WriteString("\t" + strings.ReplaceAll(item, "\n", "\n\t") + ",\n")
	}
	b.WriteString("}")
	return b.String()
}

// short reports whether many items are so short that each on its own line would
// waste the page.
func short(items []string) bool {
	for _, item := range items {
		if len(item) > 24 || strings.ContainsAny(item, "\n:") {
			return false
		}
	}
	return true
}

// wrap joins items, over several lines where one does not hold them.
func wrap(items []string, width int) string {
	if width <= lineWidth {
		return strings.Join(items, ", ")
	}
	var b strings.Builder
	line := lineWidth
	for _, item := range items {
		n := utf8.RuneCountInString(item) + 2
		if line+n > lineWidth {
			b.WriteString("\n\t")
			line = 0
		} else {
			b.WriteByte(' ')
		}
		b.WriteString(item + ",")
		line += n
	}
	return b.String() + "\n"
}
