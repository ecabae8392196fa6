package display

import (
	"errors"
	"fmt"
	"strings"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/sizing"
)

// With returns a changed copy of the build, for questions of the kind "what if
// we turn it up?". The change names fields and their new values, with units as
// in a build sheet, and several of them with commas in between:
//
//	With(build, "boost = 26 psi, base pressure = 58 psi")
//	With(build, "blend = E85")
//
// A field is one that [Sweep] sweeps, blend, injector flow, or any path of the build
// sheet such as feed_line.length. Boost moves the target power with it and the other
// way round, so only one of them can be given.
func With(b sizing.Build, change string) sizing.Build { return cell.Must(with(b, change)) }

func with(b sizing.Build, change string) (sizing.Build, error) {
	fail := func(err error) (sizing.Build, error) {
		return sizing.Build{}, fmt.Errorf("change %q: %w", change, err)
	}
	parts := splitChange(change)
	if len(parts) == 0 {
		return fail(errors.New(`it is empty; want for example "boost = 26 psi"`))
	}
	given := map[string]bool{}
	for _, part := range parts {
		name, value, ok := strings.Cut(part, "=")
		if !ok {
			return fail(fmt.Errorf(`%q has no "="; want for example "boost = 26 psi"`, part))
		}
		f, err := sizing.FieldNamed(name)
		if err != nil {
			return fail(err)
		}
		field := f.Name()
		switch {
		case given[field]:
			return fail(fmt.Errorf("%s is given twice", field))
		case field == "boost" && given["power"], field == "power" && given["boost"]:
			return fail(errors.New("boost and power move each other; give one of them"))
		}
		given[field] = true
		if b, err = f.Read(b, strings.TrimSpace(value)); err != nil {
			return fail(fmt.Errorf("%s: %w", field, err))
		}
	}
	if err := b.Validate(); err != nil {
		return fail(err)
	}
	return b, nil
}

// splitChange splits a change at commas and semicolons. A piece without an
// equals sign belongs to the value before it.
func splitChange(change string) []string {
	var parts []string
	for _, piece := range strings.FieldsFunc(change, func(r rune) bool { return r == ',' || r == ';' }) {
		piece = strings.TrimSpace(piece)
		if n := len(parts); n > 0 && piece != "" && !strings.Contains(piece, "=") {
			parts[n-1] += ", " + piece
		} else if piece != "" {
			parts = append(parts, piece)
		}
	}
	return parts
}

// inWords says a change as a row of a table does: "boost 26 psi, blend E85".
func inWords(change string) string {
	parts := splitChange(change)
	for i, part := range parts {
		name, value, _ := strings.Cut(part, "=")
		parts[i] = strings.TrimSpace(name) + " " + strings.TrimSpace(value)
	}
	return strings.Join(parts, ", ")
}

// Compare assesses the build as it is and with each of the changes, which are
// written as for [With], and lists what the engine then needs, which part gives
// out first, and at what power.
func Compare(b sizing.Build, changes ...string) sizing.Table { return cell.Must(compare(b, changes)) }

func compare(b sizing.Build, changes []string) (sizing.Table, error) {
	t := sizing.Table{
		Caption: "What gives out first",
		Columns: []sizing.Column{
			{Name: "Case"}, {Name: "Crank power", Numeric: true}, {Name: "Fuel needed", Numeric: true}, {Name: "Injector duty", Numeric: true},
			{Name: "Gives out first"}, {Name: "Runs out at", Numeric: true}, {Name: "Status"},
		},
	}
	row := func(name string, b sizing.Build) error {
		a, err := sizing.Assess(b)
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		sys := b.Job.Units
		duty := "none that delivers"
		if a.Injection.Pulse != 0 {
			duty = a.Injection.Duty.Percent(0)
		}
		weakest := a.Weakest()
		t.Rows = append(t.Rows, []string{
			name, format(a.Power, sys), format(a.Demand.Total, sys), duty,
			weakest.Kind.String(), format(weakest.Limit, sys), a.Status().Symbol() + " " + a.Status().String(),
		})
		t.Status = append(t.Status, a.Status())
		return nil
	}
	if err := row("as it stands", b); err != nil {
		return sizing.Table{}, err
	}
	for _, change := range changes {
		changed, err := with(b, change)
		if err == nil {
			err = row(inWords(change), changed)
		}
		if err != nil {
			return sizing.Table{}, err
		}
	}
	return t, nil
}
