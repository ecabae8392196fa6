package sizing

import (
	"errors"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/uncertainty/spread"
)

// numbers are those of elements in a path.
var numbers = regexp.MustCompile(`\[\d+\]`)

// doubtRead is a doubt as read from text, with the text of its middle, which stands for
// it in the build.
type doubtRead struct {
	Doubt
	middle string
}

// errNoDoubt tells of a field that cannot be in doubt.
var errNoDoubt = errors.New("only a plain number, fuel.blend and the flow of injectors can be given as a range or with a tolerance")

// readDoubt reads the doubt of a field of the sheet.
func readDoubt(path, text string) (doubtRead, error) {
	r := doubtRead{Doubt: Doubt{Path: path, Text: text}}
	var err error
	switch path {
	case "fuel.blend":
		err = r.readBlend()
	case "injectors.flow", "secondary_injectors.flow":
		err = r.readRating()
	default:
		f, ok := sheetField(path)
		if !ok || !f.Numeric() {
			return r, errNoDoubt
		}
		if f.kind == (wholeNumber{}) {
			return r, &quantity.ParseError{Text: text, Reason: "a count is known exactly", Accepted: "a whole number without quotes", Err: quantity.ErrSyntax}
		}
		if r.spread, err = spread.Parse(text, f); err != nil {
			return r, err
		}
		r.middle, err = valueText(f.kind, r.spread.Median())
	}
	return r, err
}

// valueText writes a number of a kind with its unit, as it is read again.
func valueText(k kind, si float64) (string, error) {
	unit := k.unit(quantity.SI)
	_, number, _, err := k.scale(unit)
	if err != nil {
		return "", err
	}
	return strings.TrimSpace(strconv.FormatFloat(number(si), 'g', -1, 64) + " " + unit), nil
}

// scaleOf is a kind of number as package spread reads it.
type scaleOf struct{ kind }

func (s scaleOf) Parse(text string) (float64, error) { return s.parse(text) }

func (s scaleOf) Scale(unit string) (string, func(float64) float64, func(float64) float64, error) {
	return s.scale(unit)
}

const ratingDoubt = `the flow as a range or with a tolerance, then its conditions, such as "1550 cc/min +- 2 % at 3 bar on n-heptane" or "140..146 lb/h at 43.5 psi on gasoline"`

// readRating reads a rating whose flow is in doubt.
func (r *doubtRead) readRating() error {
	refuse := func(reason string) error {
		return &quantity.ParseError{Text: r.Text, Reason: reason, Accepted: ratingDoubt, Err: quantity.ErrSyntax}
	}
	flow, conditions, ok := strings.Cut(strings.Join(strings.Fields(r.Text), " "), " at ")
	switch {
	case !ok:
		return refuse(`no " at " between a flow and a pressure; a flow alone does not rate an injector`)
	case spread.Stated(conditions):
		return refuse("only the flow of a rating can be in doubt, not what it was measured in")
	}
	byVolume, byMass := scaleOf{kindOf[quantity.VolumeFlow]{}}, scaleOf{kindOf[quantity.MassFlow]{}}
	of := byVolume
	s, err := spread.Parse(flow, of)
	if err != nil && !errors.Is(err, quantity.ErrRange) {
		of = byMass
		s, err = spread.Parse(flow, of)
	}
	var pe *quantity.ParseError
	if errors.As(err, &pe) {
		return refuse(pe.Reason)
	}
	if r.middle, err = valueText(of.kind, s.Median()); err != nil {
		return err
	}
	r.middle += " at " + conditions
	var rating injector.Rating
	if err := rating.UnmarshalText([]byte(r.middle)); err != nil {
		return err
	}
	// The field counts by volume.
	if of == byMass {
		r.rated = rating.Density()
		s = s.Times(1 / float64(r.rated))
	}
	r.spread = s
	return nil
}

var injectorSize = func() Field {
	i := slices.IndexFunc(namedFields, func(f Field) bool { return f.name == "injector size" })
	return namedFields[i]
}()

// secondarySize is for the second set what the field "injector size" is for the first.
var secondarySize = quantityField("secondary injector size", "rated flow by volume of the second set", hardwareStage, injectorsCheck,
	func(b Build, q quantity.VolumeFlow) (Build, error) {
		if b.Secondary == nil {
			return Build{}, errors.New("the build has no second set of injectors")
		}
		second := *b.Secondary
		var err error
		if second.Flow, err = second.Flow.Resized(q); err != nil {
			return Build{}, err
		}
		b.Secondary = &second
		return b, nil
	},
	func(b Build) (quantity.VolumeFlow, bool) {
		if b.Secondary == nil {
			return 0, false
		}
		return b.Secondary.Flow.Volume(), true
	})

// contents are the fields of blends in doubt, by the letter of their label.
var contents = map[string]Field{
	"E": quantityField("ethanol content", "by volume, in gasoline", liquidStage, fuelCheck, Build.WithEthanol, ethanolOf),
	"M": quantityField("methanol content", "by volume, in gasoline", liquidStage, fuelCheck,
		func(b Build, v quantity.VolumeFraction) (Build, error) {
			f, err := fuel.ByVolume(fuel.Reference, fuel.VolumePart{Name: "methanol", Fraction: v}, fuel.VolumePart{Name: "gasoline", Fraction: 1 - v})
			if err != nil {
				return Build{}, err
			}
			return b.WithBlend(f), nil
		},
		func(b Build) (quantity.VolumeFraction, bool) { return b.Fuel.Blend.VolumeFraction("methanol"), true }),
}

const blendDoubt = `a label as a range or with a tolerance in percentage points, such as "E60..E78", "E70 +- 5", "M50..M85", "normal E70, 3 within E51..E83"`

// label is a letter before a number.
var label = regexp.MustCompile(`(?i)\b([EM])(\d)`)

// readBlend reads a blend whose content of alcohol is in doubt.
func (r *doubtRead) readBlend() error {
	refuse := func(reason string) error {
		return &quantity.ParseError{Text: r.Text, Reason: reason, Accepted: blendDoubt, Err: quantity.ErrSyntax}
	}
	var letters []string
	plain := label.ReplaceAllStringFunc(r.Text, func(found string) string {
		letters = append(letters, strings.ToUpper(found[:1]))
		return found[1:]
	})
	slices.Sort(letters)
	letters = slices.Compact(letters)
	switch {
	case len(letters) == 0:
		return refuse("no letter says of which alcohol the content is")
	case len(letters) > 1:
		return refuse("labels of two fuels do not make one range")
	case strings.Contains(plain, "%"):
		return refuse("labels count percent already; leave the sign out")
	}
	s, err := spread.Parse(plain, scaleOf{content{}})
	var pe *quantity.ParseError
	if errors.As(err, &pe) {
		return refuse(pe.Reason)
	}
	r.spread, r.letter = s, letters[0]
	r.middle = r.letter + strconv.FormatFloat(100*s.Median(), 'f', -1, 64)
	return nil
}

// content is the number of a label: a volume fraction in percent, without the sign.
type content struct {
	kindOf[quantity.VolumeFraction]
}

func (content) parse(text string) (float64, error) {
	return kindOf[quantity.VolumeFraction]{}.parse(text + " %")
}

func (content) scale(unit string) (string, func(float64) float64, func(float64) float64, error) {
	if unit != "" {
		return "", nil, nil, &quantity.ParseError{Text: unit, Reason: "unknown unit", Accepted: "a number", Err: quantity.ErrSyntax}
	}
	return kindOf[quantity.VolumeFraction]{}.scale("%")
}
