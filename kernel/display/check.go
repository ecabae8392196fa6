package display

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strings"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/kernel/display/markup"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/uncertainty/spread"
)

// Check is a result held against what it ought to be, with the source of that. It is made
// by [Near], [Holds] or [Is].
type Check struct {
	what, got, want, source string
	holds                   bool
	premise                 bool  // made by [Given]
	err                     error // of a check that cannot be made
}

// Near checks that a result lies where the text says: within a tolerance or a range, written
// as a doubt of a build sheet is. It is printed in the unit of the text.
//
//	Near("ethanol at 20 °C", rho, "789.24 kg/m3 +- 0.1 %", "OIML R 22, general formula")
//	Near("air-fuel ratio of ethanol", afr, "9.00 +- 0.01", "US DOE AFDC, Properties of Fuels")
//	Near("duty", duty, "60..78 %", "the first build's report")
func Near[Q quantity.Quantity](what string, got Q, want, source string) Check {
	c := Check{what: what, want: strings.NewReplacer("+-", "±", "..", " to ").Replace(want), source: source}
	c.err = c.complete()
	low, high, symbol, number, err := wanted[Q](want)
	if err != nil {
		c.err = errors.Join(c.err, fmt.Errorf("check %q: %w", what, err))
		return c
	}
	v := number(got)
	// Conversions leave noise in the last digits.
	slack := 1e-9 * math.Max(math.Abs(low), math.Abs(high))
	c.holds = low-slack <= v && v <= high+slack
	const digits = 5
	c.got = strings.TrimSpace(quantity.Digits(v, digits) + " " + symbol)
	return c
}

// Holds checks something that is true or not.
func Holds(what string, holds bool, source string) Check {
	c := Check{what: what, want: "yes", got: "no", source: source, holds: holds}
	if holds {
		c.got = "yes"
	}
	c.err = c.complete()
	return c
}

// Is checks what prints as a text: a word of the trade, a name, a number to be counted.
func Is(what string, got any, want, source string) Check {
	c := Check{what: what, want: want, got: fmt.Sprint(got), source: source}
	c.holds = c.got == want
	c.err = c.complete()
	return c
}

// Given is what the checks behind it take for granted, such as the build sheet that they were
// written for. Where it does not hold they are shown and not asked.
func Given(what string, holds bool) Check {
	c := Holds(what, holds, "what the checks below were written for")
	c.premise = true
	return c
}

// complete wants a check to say what it checks, and against what.
func (c Check) complete() error {
	if strings.TrimSpace(c.what) == "" || strings.TrimSpace(c.source) == "" {
		return fmt.Errorf("check %q against %q: want both what is checked and the source of what it ought to be", c.what, c.source)
	}
	return nil
}

// Verify shows checks as a table, and then ends the cell where one does not hold. It belongs
// at the end of a notebook: what the notebook says is then known to be so each time it runs.
func Verify(checks ...Check) {
	t, missed := verify(checks)
	if len(t.Rows) > 0 {
		if err := cell.Send(cell.Bundle{cell.HTML: markup.Table(t), cell.Text: markup.TextTable(t)}); err != nil {
			cell.Fail(err)
		}
	}
	if missed != nil {
		cell.Fail(missed)
	}
}

func verify(checks []Check) (sizing.Table, error) {
	t := sizing.Table{
		Caption: "Checks",
		Columns: []sizing.Column{{Name: "Checked"}, {Name: "Here", Numeric: true}, {Name: "Ought to be", Numeric: true}, {Name: "By"}, {Name: "Verdict"}},
	}
	if len(checks) == 0 {
		return t, errors.New(`nothing is checked; want for example Verify(Near("duty", duty, "60..78 %", "the report"))`)
	}
	var missed []string
	asked := true
	for _, c := range checks {
		if c.err != nil {
			return sizing.Table{}, c.err
		}
		verdict := sizing.Carries.Symbol() + " holds"
		switch {
		case !asked:
			verdict = "not asked"
		case c.holds:
		case c.premise:
			verdict, asked = "not given", false
		default:
			verdict = sizing.Short.Symbol() + " does not hold"
			missed = append(missed, fmt.Sprintf("  %s: %s, want %s (%s)", c.what, c.got, c.want, c.source))
		}
		t.Rows = append(t.Rows, []string{c.what, c.got, c.want, c.source, verdict})
	}
	if len(missed) == 0 {
		return t, nil
	}
	return t, fmt.Errorf("%d of %d checks do not hold:\n%s", len(missed), len(checks), strings.Join(missed, "\n"))
}

// wanted reads a tolerance or a range, and returns its ends in the unit in which it is
// written, with the symbol of the unit and the way there.
func wanted[Q quantity.Quantity](text string) (low, high float64, symbol string, number func(Q) float64, err error) {
	fail := func(err error) (float64, float64, string, func(Q) float64, error) { return 0, 0, "", nil, err }
	if !spread.Stated(text) {
		return fail(fmt.Errorf(`%q says nothing of how near: want a tolerance or a range, such as "12.8 V +- 0.1 V" or "60..78 %%"`, text))
	}
	s, err := spread.Parse(text, scaleOf[Q]{})
	if err != nil {
		return fail(err)
	}
	least, most, bounded := s.Ends()
	if s.Kind() != spread.Uniform || !bounded {
		return fail(fmt.Errorf("%q has no ends: want a tolerance or a range", text))
	}
	symbol, number, _, err = quantity.Scale[Q](unitIn(text))
	if err != nil {
		return fail(err)
	}
	return number(Q(least)), number(Q(most)), symbol, number, nil
}

// unitIn finds the unit of a text with a tolerance or a range: what stands behind the first
// number, or behind the second end of a range.
func unitIn(text string) string {
	head, _, _ := strings.Cut(strings.ReplaceAll(text, "±", "+-"), "+-")
	if _, high, ok := strings.Cut(head, ".."); ok {
		head = high
	}
	return strings.TrimSpace(leadingNumber.ReplaceAllString(strings.TrimSpace(head), ""))
}

var leadingNumber = regexp.MustCompile(`^[-+]?[0-9.,]+(?:[eE][-+]?[0-9]+)?`)

// scaleOf reads numbers of a quantity for package spread.
type scaleOf[Q quantity.Quantity] struct{}

func (scaleOf[Q]) Parse(text string) (float64, error) {
	q, err := quantity.Parse[Q](text)
	return float64(q), err
}

func (scaleOf[Q]) Scale(unit string) (symbol string, number, si func(float64) float64, err error) {
	symbol, to, from, err := quantity.Scale[Q](unit)
	if err != nil {
		return "", nil, nil, err
	}
	return symbol, func(v float64) float64 { return to(Q(v)) }, func(v float64) float64 { return float64(from(v)) }, nil
}
