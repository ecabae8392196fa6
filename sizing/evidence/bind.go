package evidence

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/railbook/sizing/evidence/table"
	"example.com/railbook/sizing/internal/sheet"
	"example.com/railbook/sizing/quantity"
)

// Bound is a column of a log as it was read.
type Bound struct {
	Channel string `json:"channel"` // its name in the mapping
	Column  string `json:"column"`  // head of the column
	Unit    string `json:"unit"`    // that it was read in
	Remark  string `json:"remark,omitempty"`

	Missing    int `json:"missing"`      // rows in which its cell is empty
	NotFinite  int `json:"not_finite"`   // NaN or infinite
	NotANumber int `json:"not_a_number"` // something else
	OutOfRange int `json:"out_of_range"` // a value that no sound sensor gives

	least, most float64 // of all that are numbers, SI
	channel     channel
	index       int
	scale       scale
	clock       bool
	finish      func(v float64, r *reading) float64 // to absolute, to the crank; nil for nothing
}

// clocks are the ways to say that a column holds times such as 1:02:03.5.
var clocks = []string{"h:min:s", "h:m:s", "hh:mm:ss", "hh:mm:ss.sss", "min:s", "m:s", "mm:ss", "clock"}

// bind finds the columns of a mapping in a table. The error is a [*MappingError].
func bind(name string, t *table.Reader, m Mapping, e *engine) ([]Bound, error) {
	b := binder{table: t}
	c := m.Columns
	b.plain(timeChannel, c.Time)
	b.plain(speedChannel, c.Speed)
	if c.Pulse != nil {
		b.plain(pulseChannel, &Column{c.Pulse.Name, c.Pulse.Unit})
	}
	b.plain(dutyChannel, c.Duty)
	if c.SecondaryPulse != nil {
		b.plain(secondPulseChannel, &Column{c.SecondaryPulse.Name, c.SecondaryPulse.Unit})
	}
	b.plain(secondDutyChannel, c.SecondaryDuty)
	// Manifold before rail, which may be measured from it.
	b.pressure(manifoldChannel, c.Manifold, e)
	b.pressure(railChannel, c.Rail, e)
	b.plain(ethanolChannel, c.Ethanol)
	b.lambda(c.Lambda)
	b.power(powerChannel, c.Power, m.Dynamometer, e)
	b.power(torqueChannel, c.Torque, m.Dynamometer, e)
	b.plain(fuelTemperatureChannel, c.FuelTemperature)
	b.plain(voltageChannel, c.Voltage)
	b.plain(throttleChannel, c.Throttle)
	switch {
	case c.Manifold == nil && e.build.Induction.Kind.Boosted():
		b.add(manifoldChannel, "", "", "is missing on a "+e.build.Induction.Kind.String()+" engine, whose injectors see rail less manifold pressure", "the column of manifold pressure")
	case c.Manifold == nil && c.Throttle == nil:
		b.add(manifoldChannel, "", "", "is missing, and so is throttle: what is a pull cannot be told", "one of them")
	}
	if len(b.problems) > 0 {
		return nil, &MappingError{name, b.problems}
	}
	return b.list, nil
}

// binder collects bound columns and what is wrong with them.
type binder struct {
	table    *table.Reader
	list     []Bound
	problems []sheet.Problem
}

func (b *binder) add(c channel, field, value, reason, accepted string) {
	b.problems = append(b.problems, sheet.Problem{Field: "columns." + c.String() + field, Value: value, Reason: reason, Accepted: accepted})
}

// find finds a column by name; ok is false where that failed.
func (b *binder) find(c channel, name string) (int, bool) {
	i, err := b.table.Find(name)
	if err == nil {
		return i, true
	}
	var heads []string
	for _, col := range b.table.Columns() {
		heads = append(heads, col.Name)
	}
	reason := strings.TrimPrefix(err.Error(), table.ErrColumn.Error()+": ")
	if reason == fmt.Sprintf("%q", name) {
		reason = "the log has no such column"
		if near := nearNames(name, heads); near != "" {
			reason += ", perhaps " + near + " is meant"
		}
	}
	b.add(c, ".column", fmt.Sprintf("%q", name), reason, "one of "+quoted(heads, 30))
	return 0, false
}

// column binds a column by name and unit.
func (b *binder) column(c channel, name, unit string, of scaleFunc) *Bound {
	i, ok := b.find(c, name)
	if !ok {
		return nil
	}
	head := b.table.Columns()[i]
	told := "the header's"
	if unit == "" {
		unit = head.Unit
	} else {
		told = "the mapping's"
	}
	bound := Bound{Channel: c.String(), Column: head.Head, Unit: unit, channel: c, index: i, least: math.Inf(1), most: math.Inf(-1)}
	if bound.Column == "" {
		bound.Column = fmt.Sprintf("column %d", i+1)
	}
	if c == timeChannel && slices.Contains(clocks, strings.ToLower(strings.ReplaceAll(unit, " ", ""))) {
		bound.clock, bound.scale = true, scale{0, 1}
		b.list = append(b.list, bound)
		return &b.list[len(b.list)-1]
	}
	symbol, s, err := of(unit)
	if err != nil {
		var pe *quantity.ParseError
		reason, accepted := err.Error(), ""
		if errors.As(err, &pe) {
			reason, accepted = pe.Reason, pe.Accepted
		}
		if unit == "" {
			b.add(c, ".unit", "", fmt.Sprintf("is missing, and the header of column %q tells none", bound.Column), accepted)
		} else {
			b.add(c, ".unit", fmt.Sprintf("%q", unit), fmt.Sprintf("%s unit of column %q: %s", told, bound.Column, reason), accepted)
		}
		return nil
	}
	bound.Unit, bound.scale = symbol, s
	b.list = append(b.list, bound)
	return &b.list[len(b.list)-1]
}

func (b *binder) plain(c channel, col *Column) {
	if col != nil {
		b.column(c, col.Name, col.Unit, kinds[c].scale)
	}
}

func (b *binder) pressure(c channel, col *PressureColumn, e *engine) {
	if col == nil {
		return
	}
	of := scaleOf[quantity.PressureDiff]
	if col.Reference == Absolute {
		of = scaleOf[quantity.Pressure]
	}
	bound := b.column(c, col.Name, col.Unit, of)
	if bound == nil {
		return
	}
	bound.Remark = col.Reference.String()
	switch {
	case col.Reference == Gauge:
		ambient := float64(e.ambient)
		bound.finish = func(v float64, _ *reading) float64 { return v + ambient }
	case col.Reference == FromManifold && c == manifoldChannel:
		b.add(c, ".reference", `"manifold"`, "a manifold pressure cannot be measured from itself", `"absolute" or "gauge"`)
	case col.Reference == FromManifold:
		bound.finish = func(v float64, r *reading) float64 { return v + r[manifoldChannel] }
	}
}

func (b *binder) lambda(col *LambdaColumn) {
	if col == nil {
		return
	}
	bound := b.column(lambdaChannel, col.Name, plainUnit(col.Unit), kinds[lambdaChannel].scale)
	if bound != nil && col.Stoichiometric != 0 {
		bound.scale.factor /= float64(col.Stoichiometric)
		bound.Remark = "air-fuel ratio over " + quantity.Digits(float64(col.Stoichiometric), 4)
	}
}

// plainUnit takes the names of a ratio for what they are.
func plainUnit(unit string) string {
	switch strings.ToLower(unit) {
	case "lambda", "λ", "afr", "-":
		return ""
	}
	return unit
}

func (b *binder) power(c channel, col *PowerColumn, d Dynamometer, e *engine) {
	if col == nil {
		return
	}
	of := kinds[c].scale
	if c == powerChannel && col.At == AtWheels {
		of = scaleOf[quantity.WheelPower]
	}
	bound := b.column(c, col.Name, col.Unit, of)
	if bound == nil {
		return
	}
	factor := d.observed()
	bound.Remark = "at the " + col.At.String()
	if col.At == AtWheels {
		loss := col.Loss
		if loss == 0 {
			loss = e.build.Target.DrivetrainLoss
		}
		if loss == 0 {
			b.add(c, ".loss", "", "is missing, and the build sheet has no target.drivetrain_loss", `the share of crank power lost on the way to the wheels, such as "15 %"`)
			return
		}
		factor /= 1 - float64(loss)
		bound.Remark += ", loss " + loss.Percent(1)
		e.loss = loss
	}
	if d.Correction.String() != "none" {
		bound.Remark += fmt.Sprintf(", %s turned back by %.4f", d.Correction, d.observed())
	}
	bound.scale.factor *= factor
	bound.scale.zero *= factor
}

// nearNames lists the names nearest to a mistyped one, at most three.
func nearNames(name string, names []string) string {
	left := slices.Clone(names)
	var found []string
	for range 3 {
		n := sheet.Nearest(name, left)
		if n == "" {
			break
		}
		found = append(found, fmt.Sprintf("%q", n))
		left = slices.DeleteFunc(left, func(s string) bool { return s == n })
	}
	if len(found) == 0 {
		folded := strings.ToLower(name)
		for _, n := range names {
			l := strings.ToLower(n)
			if len(folded) > 2 && len(l) > 2 && (strings.Contains(l, folded) || strings.Contains(folded, l)) && len(found) < 3 {
				found = append(found, fmt.Sprintf("%q", n))
			}
		}
	}
	return strings.Join(found, " or ")
}

// quoted lists names for a message, at most so many.
func quoted(names []string, most int) string {
	var list []string
	for i, n := range names {
		if i == most {
			list = append(list, fmt.Sprintf("… (%d in all)", len(names)))
			break
		}
		list = append(list, fmt.Sprintf("%q", n))
	}
	return strings.Join(list, ", ")
}

// read reads the bound columns of a row. What is missing or out of range is told by
// channel.
func read(t *table.Reader, list []Bound, r *reading) (missing, out mask) {
	for i := range list {
		b := &list[i]
		var v float64
		var k table.Kind
		if b.clock {
			v, k = t.Clock(b.index)
		} else {
			v, k = t.Number(b.index)
		}
		if k != table.Number {
			missing.add(b.channel)
			switch k {
			case table.Empty:
				b.Missing++
			case table.NotFinite:
				b.NotFinite++
			default:
				b.NotANumber++
			}
			continue
		}
		v = b.scale.of(v)
		if b.finish != nil {
			v = b.finish(v, r)
		}
		b.least, b.most = min(b.least, v), max(b.most, v)
		if k := &kinds[b.channel]; v < k.low || v > k.high {
			out.add(b.channel)
			b.OutOfRange++
		}
		r[b.channel] = v
	}
	return missing, out
}
