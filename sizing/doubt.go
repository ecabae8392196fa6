package sizing

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/uncertainty/spread"
)

// Doubt is a field of the build sheet whose value is not known exactly. It is made by
// [Read] or [Build.WithDoubt].
type Doubt struct {
	Path string `json:"path"` // of the field in the sheet, such as "pumps[1].wear"
	Text string `json:"text"` // as the sheet gives it, such as "0..10 %"

	spread spread.Spread
	letter string           // of the label, for a blend
	rated  quantity.Density // of the test liquid, for a rating by mass
}

// Spread is the distribution of the number that Field takes, in the coherent SI unit.
func (d Doubt) Spread() spread.Spread { return d.spread }

// Field is what the doubt is about: the field of the sheet itself, or of a blend its
// content of alcohol, and of an injector's rating its flow by volume.
func (d Doubt) Field() Field {
	switch d.Path {
	case "fuel.blend":
		return contents[d.letter]
	case "injectors.flow":
		return injectorSize
	case "secondary_injectors.flow":
		return secondarySize
	}
	f, _ := sheetField(d.Path)
	return f
}

// String gives the field and the text.
func (d Doubt) String() string { return d.Path + " = " + d.Text }

// UnmarshalJSON reads what MarshalJSON of encoding/json writes.
func (d *Doubt) UnmarshalJSON(data []byte) error {
	var plain struct{ Path, Text string }
	if err := json.Unmarshal(data, &plain); err != nil {
		return err
	}
	r, err := readDoubt(plain.Path, plain.Text)
	if err != nil {
		return fmt.Errorf("%s: %w", plain.Path, err)
	}
	*d = r.Doubt
	return nil
}

// Correlation says that two doubts go together.
type Correlation struct {
	Between []string       `sheet:"between,required" json:"between"` // the paths of two doubts
	R       quantity.Ratio `sheet:"r,required" json:"r"`             // see [spread.Pair]
}

// Doubts is all that is not known exactly of a build. The build itself holds the middle
// of each; see [Build.InDoubt].
type Doubts struct {
	List         []Doubt       `json:"list"`
	Correlations []Correlation `json:"correlations,omitempty"`
}

// IsZero reports whether there is no doubt.
func (d Doubts) IsZero() bool { return len(d.List) == 0 }

// find returns the place of the doubt that a name means: by its path, or by its path
// without the numbers of elements where no other has the same.
func (d Doubts) find(name string) (int, error) {
	var found, paths []string
	at := -1
	for i, doubt := range d.List {
		switch {
		case doubt.Path == name:
			return i, nil
		case numbers.ReplaceAllString(doubt.Path, "") == name:
			at, found = i, append(found, doubt.Path)
		}
		paths = append(paths, doubt.Path)
	}
	if len(found) == 1 {
		return at, nil
	}
	if len(found) > 1 {
		paths = found
	}
	want := "a value that is given as a range or with a tolerance; this sheet has none"
	if len(paths) > 0 {
		want = `one of "` + strings.Join(paths, `", "`) + `"`
	}
	return 0, &quantity.ParseError{Text: name, Reason: "is not a field in doubt", Accepted: want, Err: quantity.ErrSyntax}
}

// Copula says how the doubts of the list go together. The error names the fields that
// cannot.
func (d Doubts) Copula() (*spread.Copula, error) {
	var pairs []spread.Pair
	for _, c := range d.Correlations {
		pair, err := d.pair(c)
		if err != nil {
			return nil, err
		}
		pairs = append(pairs, pair)
	}
	joined, err := spread.NewCopula(len(d.List), pairs...)
	var contradiction *spread.Contradiction
	if errors.As(err, &contradiction) {
		names := make([]string, len(contradiction.Group))
		for i, at := range contradiction.Group {
			names[i] = d.List[at].Path
		}
		return nil, &quantity.ParseError{Text: list(names), Reason: "no values can have these correlations together (their matrix is not positive definite)",
			Accepted: "correlations closer to 0", Err: spread.ErrCorrelation}
	}
	return joined, err
}

// pair finds the places of two doubts that go together.
func (d Doubts) pair(c Correlation) (spread.Pair, error) {
	p := spread.Pair{R: float64(c.R)}
	if len(c.Between) != 2 {
		return p, &quantity.ParseError{Text: strings.Join(c.Between, ", "), Reason: "are not two fields", Accepted: `two fields in doubt, such as ["injectors.flow", "pumps.wear"]`, Err: quantity.ErrSyntax}
	}
	var err error
	if p.I, err = d.find(c.Between[0]); err != nil {
		return p, err
	}
	if p.J, err = d.find(c.Between[1]); err != nil {
		return p, err
	}
	switch {
	case p.I == p.J:
		err = &quantity.ParseError{Text: c.Between[0], Reason: "cannot go together with itself", Accepted: "two different fields", Err: quantity.ErrSyntax}
	case !(p.R > -1 && p.R < 1):
		err = &quantity.ParseError{Text: quantity.Digits(p.R, 4), Reason: "is no correlation", Accepted: "a number between -1 and 1, both excluded", Err: quantity.ErrRange}
	}
	return p, err
}

// WithDoubt returns b with a field of the sheet in doubt, as the text says it, and at its
// middle. A doubt that the field was in before is replaced. The error is a
// [*quantity.ParseError], or tells of a field that cannot be in doubt.
func (b Build) WithDoubt(path, text string) (Build, error) {
	r, err := readDoubt(path, text)
	if _, unknown := FieldNamed(path); errors.Is(err, errNoDoubt) && unknown != nil {
		return Build{}, fmt.Errorf("%s: %w", path, unknown)
	}
	if err != nil {
		return Build{}, fmt.Errorf("%s: %w", path, err)
	}
	f, _ := sheetField(path) // found by readDoubt
	if b, err = f.Read(b, r.middle); err != nil {
		return Build{}, fmt.Errorf("%s: %w", path, err)
	}
	b.Doubts.List = slices.Clone(b.Doubts.List)
	b.Doubts.List = slices.DeleteFunc(b.Doubts.List, func(d Doubt) bool { return d.Path == path })
	b.Doubts.List = append(b.Doubts.List, r.Doubt)
	return b, nil
}

// InDoubt returns the doubts that b still has: a field that has been changed since is in
// doubt no more, and goes together with nothing.
func (b Build) InDoubt() Doubts {
	var left Doubts
	for _, d := range b.Doubts.List {
		si, ok := d.Field().Number(b)
		if m := d.spread.Median(); ok && math.Abs(si-m) <= 1e-9*max(math.Abs(m), d.spread.SD()) {
			left.List = append(left.List, d)
		}
	}
	for _, c := range b.Doubts.Correlations {
		if _, err := left.pair(c); err == nil {
			left.Correlations = append(left.Correlations, c)
		}
	}
	return left
}

// assumeDoubts says where in its range each doubt was taken.
func (b Build) assumeDoubts(assume assumeFunc) {
	for _, d := range b.InDoubt().List {
		assume(d.Path, d.Path+" assessed at "+d.Middle(b.Job.Units)+", the "+d.middleName()+" of "+d.Text, "the build sheet",
			"the results move with it; `railbook doubt` tells how far")
	}
}

// Middle prints the median, in a unit system.
func (d Doubt) Middle(sys quantity.System) string { return d.Print(d.spread.Median(), sys) }

// middleName is what the median of the spread is called.
func (d Doubt) middleName() string {
	if k := d.spread.Kind(); k == spread.Uniform || k == spread.Normal && d.spread.Mean() == d.spread.Median() {
		return "middle"
	}
	return "median"
}

// Print prints a number of the doubt's field, given in SI: a share in percent where the
// sheet has it so, a rating by mass or by volume as the sheet has it, and else in the
// unit of a unit system.
func (d Doubt) Print(si float64, sys quantity.System) string {
	switch {
	case d.letter != "":
		return d.letter + quantity.Digits(100*si, 4)
	case d.rated != 0:
		return quantity.Format(quantity.VolumeFlow(si).Mass(d.rated), sys)
	case strings.HasSuffix(d.Path, "injectors.flow"):
		return quantity.FormatIn(quantity.VolumeFlow(si), quantity.CCPerMinute)
	}
	f := d.Field()
	unit := f.Unit(sys)
	if unit == "" && strings.Contains(d.Text, "%") {
		unit = "%"
	}
	_, number, _, err := f.Scale(unit)
	if err != nil {
		return quantity.Digits(si, 4)
	}
	return strings.TrimSpace(quantity.Digits(number(si), 4) + " " + unit)
}
