package evidence

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/evidence/table"
	"example.com/railbook/sizing/quantity"
)

// Errors of a log that cannot be read. They come wrapped with what is wrong.
var (
	ErrTime    = errors.New("time does not rise")
	ErrChannel = errors.New("a column does not hold what the mapping says")
)

// Source is a log to be read.
type Source struct {
	Name string // for messages, and to tell logs apart
	When string // day of the pulls, 2026-11-20; may be empty
	Text io.Reader
}

// Log is what a log says.
type Log struct {
	Name     string      `json:"name"`
	Shape    table.Shape `json:"shape"`
	Columns  []Bound     `json:"columns"`
	Rejected Rejected    `json:"rejected"`
	Samples  int         `json:"samples"` // rows worked out
	Pulls    []Pull      `json:"pulls"`
	WhyNone  string      `json:"why_no_pull,omitempty"`
	Unkept   int         `json:"pulls_not_kept"` // pulls beyond the first 5000
	Rail     RailFinding `json:"rail"`
	Notes    []string    `json:"notes"` // what was taken for granted, and what stands out
}

// Rejected counts the rows that were left out.
type Rejected struct {
	table.Counts
	NoTime    int `json:"no_time"`    // no number in the column of time
	NotRising int `json:"not_rising"` // time not behind that of the row before
	First     int `json:"first_not_rising_line"`
	Restarts  int `json:"restarts"` // times that time began anew: logs joined end to end
}

// mostPulls is how many pulls of a log are kept.
const mostPulls = 5000

// Read reads a log and finds its pulls. The memory it takes does not grow with the length
// of the log.
//
// The error is a [*MappingError] where the mapping does not fit the log, wraps an error of
// package table where the text is no table, [ErrTime] or [ErrChannel] where a column is
// not what it is said to be, and is that of ctx where it is done.
func Read(ctx context.Context, src Source, m Mapping, a *sizing.Assessment) (*Log, error) {
	r, err := open(src, m, a)
	if err != nil {
		return nil, err
	}
	u, told := m.Uncertainty.filled(r.loss != 0)
	log := &Log{Name: src.Name, Shape: r.table.Shape()}
	f := &finder{analyst: r.analyst, lostAt: -1}
	f.take = func(b *builder) {
		if len(log.Pulls) == mostPulls {
			log.Unkept++
			return
		}
		p := b.pull(r.analyst, u)
		p.Log, p.When, p.Valves = src.Name, src.When, m.Log.Valves
		p.Finding = r.find(&p)
		log.Pulls = append(log.Pulls, p)
	}
	err = r.each(ctx, func(s *sample) error {
		f.add(s)
		log.Samples++
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", src.Name, err)
	}
	f.close()
	log.Columns, log.Rejected = r.bound, r.rejected()
	if log.Pulls == nil {
		log.Pulls, log.WhyNone = []Pull{}, r.whyNone(log)
	}
	log.Rail = r.railOf(log.Pulls)
	log.Notes = r.notes(told, log)
	return log, nil
}

// Each reads a log and hands out every sample, whether it belongs to a pull or not. It
// ends with the error that yield returns. Other errors are those of [Read].
func Each(ctx context.Context, src Source, m Mapping, a *sizing.Assessment, yield func(Sample) error) error {
	r, err := open(src, m, a)
	if err != nil {
		return err
	}
	err = r.each(ctx, func(s *sample) error { return yield(s.export()) })
	if err != nil {
		return fmt.Errorf("%s: %w", src.Name, err)
	}
	return nil
}

// rows reads a log row by row.
type rows struct {
	*analyst
	table    *table.Reader
	bound    []Bound
	interval float64 // where no column tells the time
	at       channelTime
	counts   Rejected
}

func open(src Source, m Mapping, a *sizing.Assessment) (*rows, error) {
	e, err := newEngine(a, m)
	if err != nil {
		return nil, err
	}
	t, err := table.NewReader(src.Text, table.Options{
		Encoding: table.Encoding(m.Log.Encoding), Delimiter: m.Log.Delimiter.byte(), Decimal: m.Log.Decimal.byte(),
		Header: m.Log.HeaderLine, Units: m.Log.UnitsLine, MostRagged: float64(m.Log.MostRagged),
	})
	switch {
	case errors.Is(err, table.ErrAmbiguous), errors.Is(err, table.ErrEncoding), errors.Is(err, table.ErrNoTable):
		return nil, fmt.Errorf("%s: %w (the mapping's [log] can say how to read it)", src.Name, err)
	case err != nil:
		return nil, fmt.Errorf("%s: %w", src.Name, err)
	}
	bound, err := bind(m.name+" for "+src.Name, t, m, e)
	if err != nil {
		return nil, err
	}
	return &rows{analyst: newAnalyst(e, m, bound), table: t, bound: bound, interval: float64(m.Log.Interval)}, nil
}

// each works every row out.
func (r *rows) each(ctx context.Context, yield func(*sample) error) error {
	rest := r.rest()
	held := delay{span: float64(r.rules.RateTime), out: yield}
	for n := 0; r.table.Next(); n++ {
		if n%4096 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		reading := rest
		missing, out := read(r.table, r.bound, &reading)
		if r.interval > 0 {
			reading[timeChannel] = float64(n) * r.interval
		} else if missing.has(timeChannel) {
			r.counts.NoTime++
			continue
		}
		ok, restart := r.at.next(reading[timeChannel])
		if !ok {
			if r.counts.NotRising++; r.counts.NotRising == 1 {
				r.counts.First = r.table.Line()
			}
			continue
		}
		if restart {
			r.counts.Restarts++
		}
		afresh := restart || r.at.step > float64(r.rules.Patience)
		if afresh {
			r.reset()
		}
		s := r.work(&reading, r.table.Line(), missing, out)
		s.afresh = afresh
		if err := held.add(&s); err != nil {
			return err
		}
	}
	if err := r.table.Err(); err != nil {
		return err
	}
	if err := held.flush(); err != nil {
		return err
	}
	return r.judge()
}

// channelTime holds time to rising.
type channelTime struct {
	last, step float64
	refused    float64 // time of the row refused last
	run        int     // refused rows in a row over which time rises
	any        bool
}

// restartRun is how many rows in a row have to be behind, and rise among themselves, for
// time to have begun anew.
const restartRun = 10

// next reports whether a time is behind the last one, or begins anew.
func (c *channelTime) next(t float64) (ok, restart bool) {
	if !c.any || t > c.last {
		c.step = t - c.last
		if !c.any {
			c.step = 0
		}
		c.last, c.any, c.run = t, true, 0
		return true, false
	}
	if c.run > 0 && t > c.refused {
		c.run++
	} else {
		c.run = 1
	}
	c.refused = t
	if c.run < restartRun {
		return false, false
	}
	c.last, c.step, c.run = t, 0, 0
	return true, true
}

// rejected tells what was left out.
func (r *rows) rejected() Rejected {
	c := r.counts
	c.Counts = r.table.Counts()
	return c
}

// judge makes an error of columns that do not hold what they are said to.
func (r *rows) judge() error {
	n := r.table.Counts().Rows
	if bad := r.counts.NotRising + r.counts.NoTime; 2*bad > n {
		return fmt.Errorf("%w: not in %d of %d rows, the first in line %d", ErrTime, bad, n, r.counts.First)
	}
	for i := range r.bound {
		b := &r.bound[i]
		if !r.needed.has(b.channel) || n == 0 {
			continue
		}
		if none := b.Missing + b.NotFinite + b.NotANumber; 10*none > 9*n {
			return fmt.Errorf("%w: %s: %d of %d cells of column %q hold no number", ErrChannel, b.Channel, none, n, b.Column)
		}
		if 2*b.OutOfRange > n {
			k := &kinds[b.channel]
			unit := b.Unit
			if unit == "" {
				unit = "plain numbers"
			}
			return fmt.Errorf("%w: %s: %d of %d values of column %q lie outside %s to %s; read in %s they go from %s to %s; is the unit right?",
				ErrChannel, b.Channel, b.OutOfRange, n, b.Column, b.channel.print(k.low), b.channel.print(k.high), unit, b.channel.print(b.least), b.channel.print(b.most))
		}
	}
	return nil
}

// notes says what was taken for granted, and what stands out.
func (r *rows) notes(told []string, log *Log) []string {
	b, sys := r.build, r.build.Job.Units
	var list []string
	note := func(format string, args ...any) { list = append(list, fmt.Sprintf(format, args...)) }
	has := r.analyst.bound.has
	if !has(powerChannel) && !has(torqueChannel) {
		note("Neither power nor torque is logged: there is no consumption.")
	}
	if !has(railChannel) {
		note("Rail pressure is not logged: the regulator's set point is taken.")
	}
	if !has(manifoldChannel) {
		note("Manifold pressure is not logged: ambient, %s, is taken.", quantity.Format(r.ambient, sys))
	}
	if !has(ethanolChannel) {
		note("Ethanol content is not logged: the sheet's fuel, %s, is taken.", b.Fuel.Blend)
	}
	if !has(fuelTemperatureChannel) {
		note("Fuel temperature is not logged: the sheet's %s is taken.", quantity.Format(b.Fuel.Temperature, sys))
	}
	if !has(voltageChannel) {
		note("Voltage is not logged: the sheet's %s is taken for the dead time.", quantity.Format(b.Electrical.Voltage, sys))
	}
	if !has(lambdaChannel) {
		note("Lambda is not logged: the air cannot be told.")
	}
	if b.Injectors.Flow.FluidAssumed() {
		note("The sheet does not say on what liquid the injectors are rated: n-heptane is taken.")
	}
	if b.Nitrous.Flow != 0 || b.Nitrous.Power != 0 {
		note("The sheet has nitrous oxide: a pull with it is not the engine's own consumption.")
	}
	if b.WaterMethanol.Flow != 0 {
		note("The sheet has water-methanol injection: its methanol burns too and is not counted here.")
	}
	if len(told) > 0 {
		note("Uncertainties not stated in the mapping, taken by common practice: %s.", strings.Join(told, ", "))
	}
	if log.Unkept > 0 {
		note("%d further pulls were found and not kept.", log.Unkept)
	}
	return list
}

// whyNone says why there may be no pull.
func (r *rows) whyNone(log *Log) string {
	sys := r.build.Job.Units
	text := fmt.Sprintf("No pull was found: speed has to rise by %s in %s or more at a manifold pressure of %s or more.",
		quantity.Format(r.rules.LeastRise, sys), quantity.FormatIn(r.rules.LeastTime, quantity.Second), quantity.Format(r.rules.LeastManifold, sys))
	for _, b := range log.Columns {
		switch {
		case b.channel == manifoldChannel && b.most < float64(r.rules.LeastManifold):
			text += fmt.Sprintf(" The highest in the log is %s; rules.least_manifold in the mapping lowers what is asked for.", quantity.Format(quantity.Pressure(b.most), sys))
		case b.channel == throttleChannel && b.most < float64(r.rules.LeastThrottle):
			text += fmt.Sprintf(" The widest throttle in the log is %s, and rules.least_throttle is %s.", quantity.Ratio(b.most).Percent(0), r.rules.LeastThrottle.Percent(0))
		}
	}
	return text
}
