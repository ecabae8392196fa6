package sizing

import (
	"fmt"
	"iter"
	"reflect"
	"slices"
	"strings"
)

// Given returns the build that was assessed, as far as the assessment tells: Build
// without what was filled in for it. Assessing it gives the same assessment, assumptions
// and all, which Build with everything filled in would not.
func (a *Assessment) Given() Build {
	b := a.Build
	b.made = nil
	inDoubt := b.InDoubt().List
	for _, as := range a.Assumptions {
		for path := range strings.SplitSeq(as.Field, ", ") {
			if path == "" || slices.ContainsFunc(inDoubt, func(d Doubt) bool { return d.Path == path }) {
				continue
			}
			silent := b
			without(reflect.ValueOf(&silent).Elem(), "", path)
			// Where the field holds what was given, it does not come back.
			if reflect.DeepEqual(silent.filled(), b.filled()) {
				b = silent
			}
		}
	}
	return b
}

// without takes the value of a field out of a table that lies at path. Slices and what
// pointers point to are copied on the way.
func without(v reflect.Value, path, field string) {
	for f := range sheetFields(v) {
		at := pathTo(path, f.name)
		switch {
		case at == field:
			f.value.SetZero()
		case !inside(at, field):
		case f.value.Kind() == reflect.Pointer && !f.value.IsNil():
			own := reflect.New(f.value.Type().Elem())
			own.Elem().Set(f.value.Elem())
			f.value.Set(own)
			without(own.Elem(), at, field)
		case f.value.Kind() == reflect.Slice && isSheetTable(f.value.Type().Elem()):
			own := reflect.MakeSlice(f.value.Type(), f.value.Len(), f.value.Len())
			reflect.Copy(own, f.value)
			f.value.Set(own)
			for i := range own.Len() {
				without(own.Index(i), fmt.Sprintf("%s[%d]", at, i+1), field)
			}
		case isSheetTable(f.value.Type()):
			without(f.value, at, field)
		}
	}
}

// fieldOfSheet is a field of a table of the sheet.
type fieldOfSheet struct {
	name     string
	required bool
	value    reflect.Value
}

// sheetFields gives the fields of a table of the sheet, in order.
func sheetFields(v reflect.Value) iter.Seq[fieldOfSheet] {
	return func(yield func(fieldOfSheet) bool) {
		for i := range v.NumField() {
			name, options, _ := strings.Cut(v.Type().Field(i).Tag.Get("sheet"), ",")
			if name != "" && !yield(fieldOfSheet{name, options == "required", v.Field(i)}) {
				return
			}
		}
	}
}

// isSheetTable reports whether values of a type are tables of the sheet.
func isSheetTable(typ reflect.Type) bool { return typ.Kind() == reflect.Struct && !readsText(typ) }
