package sizing

import (
	"encoding"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	"example.com/railbook/sizing/quantity"
)

// step is one step along a path in a build: a field of a struct, and where it is a
// slice which of its elements, all of them where none is named.
type step struct {
	name    string
	index   int
	element int // -1: every one
}

// sheetField makes the field of a path in the build sheet, such as
// "pumps[1].wear"; ok is false where there is none.
func sheetField(path string) (f Field, ok bool) {
	typ := reflect.TypeFor[Build]()
	var steps []step
	for name := range strings.SplitSeq(path, ".") {
		for typ.Kind() == reflect.Pointer || typ.Kind() == reflect.Slice {
			typ = typ.Elem()
		}
		if typ.Kind() != reflect.Struct || readsText(typ) {
			return Field{}, false
		}
		s := step{name: name, element: -1}
		if plain, index, found := strings.Cut(strings.TrimSuffix(name, "]"), "["); found {
			n, err := strconv.Atoi(index)
			if err != nil || n < 1 {
				return Field{}, false
			}
			s.name, s.element = plain, n-1
		}
		at, found := tagged(typ, s.name)
		if !found || s.element >= 0 && at.Type.Kind() != reflect.Slice {
			return Field{}, false
		}
		s.index = at.Index[0]
		steps, typ = append(steps, s), at.Type
	}
	f = Field{name: path, about: "field of the build sheet", moves: stageOf(steps), check: checkOf(steps)}
	f.remade = slices.ContainsFunc(steps, func(s step) bool { return s.name == "curves" || s.name == "count" })
	target := typ
	if target.Kind() == reflect.Pointer {
		target = target.Elem()
	}
	if k, found := kinds[target]; found {
		f.kind = k
		f.set = func(b *Build, si float64) error {
			err := along(reflect.ValueOf(b).Elem(), steps, func(v reflect.Value) error { return store(v, si) })
			if err != nil {
				return fmt.Errorf("%s: %w", path, err)
			}
			return nil
		}
		f.number = func(b Build) (si float64, ok bool) { return numberAlong(reflect.ValueOf(b), steps) }
		return f, true
	}
	list := target.Kind() == reflect.Slice && readsText(target.Elem())
	if !list && !readsText(target) && target.Kind() != reflect.String {
		return Field{}, false
	}
	f.read = func(b Build, text string) (Build, error) {
		err := along(reflect.ValueOf(&b).Elem(), steps, func(v reflect.Value) error { return readInto(v, text) })
		if err != nil {
			return Build{}, err
		}
		return b, nil
	}
	return f, true
}

// readInto reads text into a value: a list of texts from its elements with semicolons
// in between.
func readInto(v reflect.Value, text string) error {
	switch {
	case v.Kind() == reflect.String:
		v.SetString(text)
		return nil
	case v.Kind() == reflect.Slice:
		list := reflect.MakeSlice(v.Type(), 0, 4)
		for part := range strings.SplitSeq(text, ";") {
			e := reflect.New(v.Type().Elem())
			if err := e.Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(strings.TrimSpace(part))); err != nil {
				return err
			}
			list = reflect.Append(list, e.Elem())
		}
		v.Set(list)
		return nil
	}
	return v.Addr().Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(text))
}

// readsText reports whether values of a type read themselves from text and are no
// numbers.
func readsText(typ reflect.Type) bool {
	return kinds[typ] == nil && reflect.PointerTo(typ).Implements(reflect.TypeFor[encoding.TextUnmarshaler]())
}

// tagged finds the field of a struct with a name in the sheet.
func tagged(typ reflect.Type, name string) (reflect.StructField, bool) {
	for i := range typ.NumField() {
		if tag, _, _ := strings.Cut(typ.Field(i).Tag.Get("sheet"), ","); tag != "" && tag == name {
			return typ.Field(i), true
		}
	}
	return reflect.StructField{}, false
}

// along changes what lies at the end of the steps. Slices and what pointers point to
// are copied on the way, so that a build that shares them does not change with it.
func along(v reflect.Value, steps []step, change func(reflect.Value) error) error {
	switch v.Kind() {
	case reflect.Pointer:
		own := reflect.New(v.Type().Elem())
		if !v.IsNil() {
			own.Elem().Set(v.Elem())
		}
		v.Set(own)
		return along(own.Elem(), steps, change)
	case reflect.Slice:
		if len(steps) == 0 && readsText(v.Type().Elem()) {
			return change(v)
		}
		own := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
		reflect.Copy(own, v)
		v.Set(own)
		if v.Len() == 0 {
			return fmt.Errorf("the build has none")
		}
		for i := range own.Len() {
			if err := along(own.Index(i), steps, change); err != nil {
				return err
			}
		}
		return nil
	}
	if len(steps) == 0 {
		return change(v)
	}
	next := v.Field(steps[0].index)
	if e := steps[0].element; e >= 0 {
		own := reflect.MakeSlice(next.Type(), next.Len(), next.Len())
		reflect.Copy(own, next)
		next.Set(own)
		if e >= own.Len() {
			return fmt.Errorf("the build has %d of %s", own.Len(), steps[0].name)
		}
		return along(own.Index(e), steps[1:], change)
	}
	return along(next, steps[1:], change)
}

// numberAlong is the number at the end of the steps, where there is just one.
func numberAlong(v reflect.Value, steps []step) (si float64, ok bool) {
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			return 0, false
		}
		return numberAlong(v.Elem(), steps)
	case reflect.Slice:
		if v.Len() != 1 {
			return 0, false
		}
		return numberAlong(v.Index(0), steps)
	}
	if len(steps) == 0 {
		return load(v), true
	}
	next := v.Field(steps[0].index)
	if e := steps[0].element; e >= 0 {
		if e >= next.Len() {
			return 0, false
		}
		next = next.Index(e)
	}
	return numberAlong(next, steps[1:])
}

// stageOf tells which stages of an assessment a field of the sheet enters.
func stageOf(steps []step) stage {
	table, name := steps[0].name, steps[len(steps)-1].name
	switch table {
	case "job", "revisions":
		return 0
	case "engine":
		switch name {
		case "displacement", "volumetric_efficiency", "idle_manifold_pressure":
			return breathStage
		case "brake_efficiency":
			return liquidStage
		case "speed":
			return hardwareStage | breathStage | aimStage
		case "cylinders":
			return hardwareStage
		}
		return hardwareStage | breathStage
	case "target":
		if name == "lambda" {
			return liquidStage
		}
		return aimStage
	case "induction":
		if name == "kind" {
			return everyStage
		}
		return breathStage
	case "fuel":
		if name == "temperature" {
			return liquidStage | hardwareStage
		}
		return liquidStage
	case "tank":
		return liquidStage | hardwareStage
	case "nitrous", "water_methanol":
		return liquidStage
	case "policy":
		switch name {
		case "route":
			return aimStage
		case "band":
			return liquidStage
		}
	}
	return hardwareStage
}

// checkOf tells in which checks of a build a field of the sheet takes part.
func checkOf(steps []step) check {
	switch steps[0].name {
	case "job", "revisions":
		return 0
	case "engine", "target", "induction":
		return airCheck
	case "fuel":
		return fuelCheck
	case "electrical":
		return electricalCheck
	case "vehicle", "tank", "heat":
		return tankCheck
	case "injectors", "secondary_injectors":
		return injectorsCheck
	case "nitrous", "water_methanol":
		return addedCheck
	case "regulator", "surge_tank":
		return regulatorCheck | pumpsCheck
	case "pumps":
		return pumpsCheck | regulatorCheck
	case "suction", "feed_line", "return_line":
		return linesCheck
	case "policy":
		return policyCheck
	}
	return everyCheck
}

// SheetPaths lists the paths of all fields of the build sheet, in its order. The caller
// must not change the list.
func SheetPaths() []string { return sheetPaths() }

var sheetPaths = sync.OnceValue(func() []string { return paths(reflect.TypeFor[Build](), "") })

func paths(typ reflect.Type, prefix string) []string {
	for typ.Kind() == reflect.Pointer || typ.Kind() == reflect.Slice {
		typ = typ.Elem()
	}
	if typ.Kind() != reflect.Struct || readsText(typ) {
		return nil
	}
	var list []string
	for i := range typ.NumField() {
		name, _, _ := strings.Cut(typ.Field(i).Tag.Get("sheet"), ",")
		if name == "" {
			continue
		}
		if inner := paths(typ.Field(i).Type, prefix+name+"."); inner != nil {
			list = append(list, inner...)
		} else {
			list = append(list, prefix+name)
		}
	}
	return slices.Clip(list)
}

// Unit is the unit in which a unit system prints the field, empty for a field that
// holds no number.
func (f Field) Unit(sys quantity.System) string {
	if f.kind == nil {
		return ""
	}
	return f.kind.unit(sys)
}
