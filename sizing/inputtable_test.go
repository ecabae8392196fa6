package sizing_test

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// TestInputsAreComplete wants every field that a build states to be
// shown in some row of the table of inputs, but those that are about the job.
func TestInputsAreComplete(t *testing.T) {
	for name, b := range arrangements(t) {
		a := assess(t, b)
		table := a.InputTable(quantity.SI)
		if len(table.Fields) != len(table.Rows) {
			t.Fatalf("%s: %d rows, fields of %d", name, len(table.Rows), len(table.Fields))
		}
		var shown []string
		for i, paths := range table.Fields {
			if len(paths) == 0 {
				t.Errorf("%s: row %q shows no field", name, table.Rows[i])
			}
			for _, p := range paths {
				if !isSheetPath(p) {
					t.Errorf("%s: row %q shows %q, which is no path of the sheet", name, table.Rows[i], p)
				}
			}
			shown = append(shown, paths...)
		}
		for _, path := range setPaths(reflect.ValueOf(b), "") {
			if strings.HasPrefix(path, "job.") || strings.HasPrefix(path, "revisions[") || path == "policy.band" && b.Fuel.BSFC != 0 {
				continue
			}
			if !covered(path, shown) {
				t.Errorf("%s: %s is in no row", name, path)
			}
		}
	}
}

// covered reports whether a path, or a table that it lies in, is in the list.
func covered(path string, list []string) bool {
	for _, p := range list {
		if rest, ok := strings.CutPrefix(path, p); ok && (rest == "" || rest[0] == '.' || rest[0] == '[') {
			return true
		}
	}
	return false
}

// setPaths lists the paths of the fields of a build that have a value.
func setPaths(v reflect.Value, path string) []string {
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			return nil
		}
		return setPaths(v.Elem(), path)
	case reflect.Slice:
		var list []string
		for i := range v.Len() {
			list = append(list, setPaths(v.Index(i), fmt.Sprintf("%s[%d]", path, i+1))...)
		}
		return list
	case reflect.Struct:
		var list []string
		tagged := false
		for i := range v.NumField() {
			tag, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("sheet"), ",")
			if tag != "" {
				tagged = true
				list = append(list, setPaths(v.Field(i), strings.TrimPrefix(path+"."+tag, "."))...)
			}
		}
		if tagged {
			return list
		}
	}
	if v.IsZero() {
		return nil
	}
	return []string{path}
}
