package sizing

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/internal/sheet"
	"example.com/railbook/sizing/quantity"
)

// Field is something of a build that can be changed: a field of the build sheet by its
// path there, such as "feed_line.length" or "pumps[1].wear", or one of the changes
// that move several of them together and have a name of their own, such as "boost".
// It is found by [FieldNamed].
type Field struct {
	name   string
	about  string
	kind   kind // nil for a field that holds no number
	set    func(*Build, float64) error
	read   func(Build, string) (Build, error)
	number func(Build) (float64, bool)
	moves  stage
	check  check
	remade bool // moves what is costly to make; see made
}

// Name is the name of the field, as [FieldNamed] takes it.
func (f Field) Name() string { return f.name }

// About says in a few words what the field means and what moves with it.
func (f Field) About() string { return f.about }

// Numeric reports whether the field holds a number, with a unit or without, so that it
// can be an axis.
func (f Field) Numeric() bool { return f.kind != nil }

// Set returns b with the field at a value in the coherent SI unit. The error tells of a
// field that holds no number, or of a value that it cannot have at all; whether the
// build then makes sense, [Build.Validate] tells.
func (f Field) Set(b Build, si float64) (Build, error) {
	if f.kind == nil {
		return Build{}, fmt.Errorf("%s holds no number", f.name)
	}
	if err := f.set(&b, si); err != nil {
		return Build{}, err
	}
	return b, nil
}

// Read returns b with the field as the text says, which is written as in a build
// sheet.
func (f Field) Read(b Build, text string) (Build, error) {
	if f.read != nil {
		return f.read(b, text)
	}
	si, err := f.kind.parse(text)
	if err != nil {
		return Build{}, err
	}
	return f.Set(b, si)
}

// Number returns the value that the field has in b, in the coherent SI unit, as filled
// in by an assessment. It is false where no one number tells it.
func (f Field) Number(b Build) (si float64, ok bool) {
	if f.number == nil {
		return 0, false
	}
	return f.number(b)
}

// Scale returns the symbol of a unit of the field and the ways between its numbers and
// SI. The error is a [*quantity.ParseError], or tells of a field that holds no number.
func (f Field) Scale(unit string) (symbol string, number, si func(float64) float64, err error) {
	if f.kind == nil {
		return "", nil, nil, fmt.Errorf("%s holds no number", f.name)
	}
	return f.kind.scale(unit)
}

// Parse reads a value of the field, with its unit, and returns it in SI.
func (f Field) Parse(text string) (si float64, err error) {
	if f.kind == nil {
		return 0, fmt.Errorf("%s holds no number", f.name)
	}
	return f.kind.parse(text)
}

// ErrField is wrapped by the error of [FieldNamed].
var ErrField = errors.New("unknown field")

// FieldNamed finds a field by its name, in which spaces and underscores are the same,
// or by its path in the build sheet. The error wraps [ErrField] and suggests a name.
func FieldNamed(name string) (Field, error) {
	plain := strings.ToLower(strings.Join(strings.Fields(strings.ReplaceAll(name, "_", " ")), " "))
	for _, f := range namedFields {
		if f.name == plain {
			return f, nil
		}
	}
	path := strings.ReplaceAll(plain, " ", "_")
	if f, ok := sheetField(path); ok {
		return f, nil
	}
	hint := ""
	if like := cmp.Or(sheet.Nearest(plain, FieldNames()), sheet.Nearest(path, sheetPaths())); like != "" {
		hint = fmt.Sprintf(", perhaps %q is meant", like)
	}
	return Field{}, fmt.Errorf("%w %q%s; want one of %s, or a path of the build sheet such as feed_line.length",
		ErrField, strings.TrimSpace(name), hint, strings.Join(FieldNames(), ", "))
}

// FieldNames lists the fields that have a name of their own, without those that only
// a path names.
func FieldNames() []string {
	list := make([]string, len(namedFields))
	for i, f := range namedFields {
		list[i] = f.name
	}
	return list
}

// quantityField makes a field of a quantity that has a name of its own. Where get is
// not ok, no one number tells the field.
func quantityField[Q quantity.Quantity](name, about string, moves stage, check check, set func(Build, Q) (Build, error), get func(Build) (Q, bool)) Field {
	return Field{
		name: name, about: about, kind: kindOf[Q]{}, moves: moves, check: check,
		set: func(b *Build, si float64) error {
			changed, err := set(*b, Q(si))
			if err == nil {
				*b = changed
			}
			return err
		},
		number: func(b Build) (float64, bool) {
			q, ok := get(b)
			return float64(q), ok
		},
	}
}

// plain wraps a change that cannot fail.
func plain[Q quantity.Quantity](change func(Build, Q) Build) func(Build, Q) (Build, error) {
	return func(b Build, q Q) (Build, error) { return change(b, q), nil }
}

// always wraps a value that a build always has.
func always[Q quantity.Quantity](get func(Build) Q) func(Build) (Q, bool) {
	return func(b Build) (Q, bool) { return get(b), true }
}

// textField makes a field of something that reads itself from text.
func textField[T any](name, about string, moves stage, check check, parse func(string) (T, error), set func(Build, T) Build) Field {
	return Field{name: name, about: about, moves: moves, check: check, read: func(b Build, text string) (Build, error) {
		v, err := parse(text)
		if err != nil {
			return Build{}, err
		}
		return set(b, v), nil
	}}
}

var namedFields = []Field{
	quantityField("boost", "manifold over ambient; power moves with manifold pressure", breathStage|aimStage, airCheck,
		func(b Build, p quantity.PressureDiff) (Build, error) {
			if !b.Induction.Kind.Boosted() {
				return Build{}, fmt.Errorf("a %s engine has no boost", b.Induction.Kind)
			}
			return b.AtBoost(p), nil
		}, always(func(b Build) quantity.PressureDiff { return b.Induction.Boost })),
	quantityField("power", "at the crank; the air moves with it: by boost, or without any by volumetric efficiency", breathStage|aimStage, airCheck,
		plain(Build.AtPower), always(Build.CrankPower)),
	quantityField("ethanol", "content by volume, in gasoline; power stays", liquidStage, fuelCheck, Build.WithEthanol, ethanolOf),
	quantityField("base pressure", "of the regulator", hardwareStage, regulatorCheck,
		plain(Build.WithBasePressure), always(func(b Build) quantity.PressureDiff { return b.Regulator.BasePressure })),
	quantityField("lambda", "of the mixture at the target", liquidStage, airCheck,
		plain(func(b Build, v quantity.Ratio) Build { b.Target.Lambda = v; return b }), always(func(b Build) quantity.Ratio { return b.Target.Lambda })),
	quantityField("charge temperature", "in the manifold, in place of a computed one", breathStage, airCheck,
		plain(Build.withChargeTemperature), always(Build.ChargeTemperature)),
	quantityField("fuel temperature", "at the rail", liquidStage|hardwareStage, fuelCheck,
		plain(func(b Build, v quantity.Temperature) Build { b.Fuel.Temperature = v; return b }), always(func(b Build) quantity.Temperature { return b.Fuel.Temperature })),
	quantityField("voltage", "of the supply: at injectors and pumps, or where their wiring starts", hardwareStage, electricalCheck,
		plain(func(b Build, v quantity.Voltage) Build {
			b.Electrical = Electrical{Voltage: v, PumpVoltage: v, Supply: v}
			return b
		}),
		func(b Build) (quantity.Voltage, bool) {
			e := b.Electrical
			return e.Voltage, e.Voltage == e.PumpVoltage && e.Voltage == e.Supply
		}),
	quantityField("barometer", "ambient pressure; boost and power stay", breathStage, airCheck,
		plain(func(b Build, v quantity.Pressure) Build { b.Induction.Barometer = v; return b }), always(func(b Build) quantity.Pressure { return b.Induction.Barometer })),
	quantityField("altitude", "of the place; ambient air as in the standard atmosphere, boost and power stay", breathStage, airCheck,
		plain(func(b Build, v quantity.Length) Build {
			b.Induction.Altitude, b.Induction.Barometer, b.Induction.AmbientTemperature = v, 0, 0
			return b
		}), func(b Build) (quantity.Length, bool) { return b.Induction.Altitude, false }),
	quantityField("line bore", "of the feed line", hardwareStage, linesCheck,
		plain(func(b Build, v quantity.Length) Build {
			b.FeedLine.Bore, b.FeedLine.Dash = v, Segment{}.Dash
			return b
		}), func(b Build) (quantity.Length, bool) { return b.FeedLine.bore(), b.FeedLine.bore() != 0 }),
	quantityField("injector size", "rated flow by volume, at the rating's pressure and on its fluid", hardwareStage, injectorsCheck,
		func(b Build, q quantity.VolumeFlow) (Build, error) {
			r, err := b.Injectors.Flow.Resized(q)
			b.Injectors.Flow = r
			return b, err
		}, always(func(b Build) quantity.VolumeFlow { return b.Injectors.Flow.Volume() })),
	textField("blend", "the fuel; power stays, a measured consumption is carried over on energy", liquidStage, fuelCheck, fuel.Parse, Build.WithBlend),
	textField("injector flow", "the rating of the first set", hardwareStage, injectorsCheck, func(text string) (r injector.Rating, err error) {
		err = r.UnmarshalText([]byte(text))
		return r, err
	}, func(b Build, r injector.Rating) Build { b.Injectors.Flow = r; return b }),
}

// ethanolOf is the ethanol content of a fuel that holds nothing but the mean gasoline
// beside, which is what [Build.WithEthanol] makes.
func ethanolOf(b Build) (quantity.VolumeFraction, bool) {
	other := func(c fuel.Constituent) bool { return c.Name() != "gasoline" && c.Name() != "ethanol" }
	return b.Fuel.Blend.EthanolContent(), !slices.ContainsFunc(b.Fuel.Blend.Constituents(), other)
}

// withChargeTemperature states the charge temperature, which then is not computed.
func (b Build) withChargeTemperature(t quantity.Temperature) Build {
	b.Induction.ChargeTemperature = t
	b.Induction.CompressorEfficiency, b.Induction.InletLoss = 0, 0
	b.Induction.IntercoolerEffectiveness, b.Induction.CoolantTemperature, b.Induction.IntercoolerLoss = 0, 0, 0
	return b
}

// stage is a set of the stages of an assessment.
type stage uint8

const (
	hardwareStage stage = 1 << iota
	liquidStage
	breathStage
	aimStage

	everyStage = hardwareStage | liquidStage | breathStage | aimStage
)

// check is a set of the checks of a build in which a field takes part.
type check uint16

const (
	airCheck check = 1 << iota
	fuelCheck
	electricalCheck
	tankCheck
	injectorsCheck
	addedCheck
	regulatorCheck
	pumpsCheck
	linesCheck
	policyCheck

	everyCheck = 1<<iota - 1
)
