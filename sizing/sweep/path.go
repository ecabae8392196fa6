package sweep

import (
	"math"
	"reflect"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// sections tells what has to be found for a part of the assessment's JSON form.
var sections = map[string]sizing.Section{
	"power": 0, "manifold": 0, "demand": 0,
	"delivery": sizing.DeliverySection, "injection": sizing.InjectionSection, "idle": sizing.IdleSection, "inlet": sizing.InletSection,
	"loads": sizing.LoadsSection, "warming": sizing.WarmingSection, "parts": sizing.PartsSection,
}

// pathResult makes the result of a path in the JSON form of an assessment; ok is false
// where it leads to no number. A list is entered by the name of a part,
// "parts[pumps].limit", or by a number from 1.
func pathResult(path string) (r Result, ok bool) {
	first, _, _ := strings.Cut(path, ".")
	first, _, _ = strings.Cut(first, "[")
	finds, ok := sections[first]
	if !ok {
		return Result{}, false
	}
	typ := reflect.TypeFor[sizing.Assessment]()
	var walk []func(reflect.Value) reflect.Value
	for name := range strings.SplitSeq(path, ".") {
		plain, index, listed := strings.Cut(strings.TrimSuffix(name, "]"), "[")
		f, found := jsonField(typ, plain)
		if !found {
			return Result{}, false
		}
		at := f.Index[0]
		walk = append(walk, func(v reflect.Value) reflect.Value { return v.Field(at) })
		if typ = f.Type; typ.Kind() == reflect.Pointer {
			typ = typ.Elem()
			walk = append(walk, func(v reflect.Value) reflect.Value {
				if v.IsNil() {
					return reflect.Value{}
				}
				return v.Elem()
			})
		}
		if listed != (typ.Kind() == reflect.Slice) {
			return Result{}, false
		}
		if listed {
			typ = typ.Elem()
			walk = append(walk, element(index))
		}
	}
	s, ok := scales[typ]
	if !ok {
		return Result{}, false
	}
	return Result{Name: path, finds: finds, unit: s.unit, count: s.count, raw: func(a *sizing.Assessment) float64 {
		v := reflect.ValueOf(a).Elem()
		for _, step := range walk {
			if v = step(v); !v.IsValid() {
				return math.NaN()
			}
		}
		if v.Kind() != reflect.Bool {
			return v.Float()
		}
		if v.Bool() {
			return 1
		}
		return 0
	}}, true
}

// element takes one out of a list: the one of a kind, or the one of a number.
func element(which string) func(reflect.Value) reflect.Value {
	return func(list reflect.Value) reflect.Value {
		for i := range list.Len() {
			e := list.Index(i)
			if p, ok := e.Interface().(sizing.Part); ok && strings.ReplaceAll(p.Kind.String(), " ", "_") == which {
				return e
			}
			if which == quantity.Digits(float64(i+1), 6) {
				return e
			}
		}
		return reflect.Value{}
	}
}

func jsonField(typ reflect.Type, name string) (reflect.StructField, bool) {
	if typ.Kind() != reflect.Struct {
		return reflect.StructField{}, false
	}
	for i := range typ.NumField() {
		f := typ.Field(i)
		tag, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		if tag == "" {
			tag = f.Name
		}
		if f.IsExported() && strings.EqualFold(tag, name) {
			return f, true
		}
	}
	return reflect.StructField{}, false
}

type scale struct {
	unit  func(quantity.System) string
	count func([]float64, quantity.System)
}

func scaled[Q quantity.Quantity]() scale {
	return scale{quantity.UnitSymbol[Q], quantity.Numbers[Q]}
}

// scales are those of the types that an assessment's numbers have.
var scales = map[reflect.Type]scale{
	reflect.TypeFor[bool]():                         {func(quantity.System) string { return "" }, func([]float64, quantity.System) {}},
	reflect.TypeFor[quantity.Ratio]():               {percent, percents},
	reflect.TypeFor[quantity.CrankPower]():          scaled[quantity.CrankPower](),
	reflect.TypeFor[quantity.Current]():             scaled[quantity.Current](),
	reflect.TypeFor[quantity.Density]():             scaled[quantity.Density](),
	reflect.TypeFor[quantity.Length]():              scaled[quantity.Length](),
	reflect.TypeFor[quantity.Mass]():                scaled[quantity.Mass](),
	reflect.TypeFor[quantity.MassFlow]():            scaled[quantity.MassFlow](),
	reflect.TypeFor[quantity.Power]():               scaled[quantity.Power](),
	reflect.TypeFor[quantity.Pressure]():            scaled[quantity.Pressure](),
	reflect.TypeFor[quantity.PressureDiff]():        scaled[quantity.PressureDiff](),
	reflect.TypeFor[quantity.SpecificConsumption](): scaled[quantity.SpecificConsumption](),
	reflect.TypeFor[quantity.Temperature]():         scaled[quantity.Temperature](),
	reflect.TypeFor[quantity.TemperatureDiff]():     scaled[quantity.TemperatureDiff](),
	reflect.TypeFor[quantity.Time]():                scaled[quantity.Time](),
	reflect.TypeFor[quantity.Velocity]():            scaled[quantity.Velocity](),
	reflect.TypeFor[quantity.Voltage]():             scaled[quantity.Voltage](),
	reflect.TypeFor[quantity.VolumeFlow]():          scaled[quantity.VolumeFlow](),
}
