package record

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"time"

	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/evidence"
	"example.com/railbook/sizing/evidence/predict"
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// Pull is a pull in the record.
type Pull struct {
	Engine string    `json:"engine"` // that made it; pulls of one engine have the same
	Added  time.Time `json:"added"`  // when it first was
	evidence.PullSummary
}

// Longest texts that are kept.
const longest = 1000

// Check returns nil, or an error that names the field for which a pull of an engine cannot
// be kept: it has to tell what was consumed at its greatest power, by which engine and on
// what fuel.
func Check(engine string, p evidence.PullSummary) error {
	for _, f := range []struct{ name, text string }{{"engine", engine}, {"id", p.ID}, {"log", p.Log}, {"when", p.When}} {
		if len(f.text) > longest {
			return fmt.Errorf("%s: %d bytes long; want at most %d", f.name, len(f.text), longest)
		}
	}
	switch {
	case engine == "":
		return errors.New("engine: no name given")
	case p.Induction > demand.Turbocharged:
		return fmt.Errorf("induction: %d is no kind; want %s", uint8(p.Induction), p.Induction.Accepts())
	case p.Valves < 1 || p.Valves > 8:
		return fmt.Errorf("valves per cylinder: %d; want 1 to 8", p.Valves)
	case !p.AtPeak.Measured():
		return errors.New("consumption at the greatest power: not measured")
	case p.Used < 1:
		return fmt.Errorf("samples used: %d; want 1 or more", p.Used)
	}
	for reason, n := range p.Aside {
		if n < 0 || reason == "" {
			return fmt.Errorf("samples set aside: %d for %q; want a count and a reason", n, reason)
		}
	}
	if err := check.Require(p.Ethanol >= 0 && p.Ethanol <= 1, "ethanol", p.Ethanol, "lies outside 0 to 100 %"); err != nil {
		return err
	}
	if err := check.Require(p.Heating > 0, "lower heating value", p.Heating, "is not above zero"); err != nil {
		return err
	}
	for _, u := range []struct {
		part  string
		value quantity.SpecificConsumption
	}{{"type A", p.AtPeak.TypeA}, {"type B", p.AtPeak.TypeB}} {
		if err := check.Require(u.value >= 0 && u.value < p.AtPeak.Value, u.part+" uncertainty at the greatest power", u.value, "lies outside zero to the consumption"); err != nil {
			return err
		}
	}
	return finite(&Pull{PullSummary: p})
}

// finite wants all figures to be numbers; degrees of freedom alone may be infinite.
func finite(p *Pull) error {
	for _, c := range columns(p) {
		v, ok := c.number()
		if _, degrees := c.field.(*evidence.Degrees); ok && (math.IsNaN(v) || math.IsInf(v, 0) && !(degrees && v > 0)) {
			return fmt.Errorf("%s: %v; want a number", c.name, v)
		}
	}
	return nil
}

// figures returns the hash of a pull's figures: all that it says but where its log lies,
// on which day it was made and what it is called.
func figures(p evidence.PullSummary) (string, error) {
	p.ID, p.Log, p.When = "", "", ""
	data, err := json.Marshal(p)
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:]), nil
}

// ErrUseless marks a pull that the record keeps but that tells a prediction nothing.
var ErrUseless = errors.New("tells the prediction nothing")

// heatingTolerance is how far the lower heating value of a pull's fuel may lie from that of
// gasoline with as much ethanol; gasolines differ by about half of it.
const heatingTolerance = 0.04

// Observation returns what a prediction learns from the pull: its fuel energy per unit of
// work at the greatest power, with the part of its uncertainty that is its own, from the
// scatter of its samples, and the part from the instruments, which the pulls of an engine
// share. The own part is that of Student's t for its degrees of freedom (JCGM 101:2008,
// 6.4.9.4, from memory).
//
// The error wraps [ErrUseless]: the fuel is not gasoline with ethanol, or the uncertainty
// has too few degrees of freedom to be known.
func (p Pull) Observation() (predict.Observation, error) {
	useless := func(format string, args ...any) (predict.Observation, error) {
		return predict.Observation{}, fmt.Errorf("%w: %s", ErrUseless, fmt.Sprintf(format, args...))
	}
	if err := Check(p.Engine, p.PullSummary); err != nil {
		return useless("%v", err)
	}
	blend, err := fuel.Ethanol(p.Ethanol)
	if err != nil {
		return useless("%v", err)
	}
	if off := float64(p.Heating)/float64(blend.LHV()) - 1; math.Abs(off) > heatingTolerance {
		return useless("its fuel has a lower heating value of %v, gasoline with %v of ethanol has %v", p.Heating, p.Ethanol, blend.LHV())
	}
	own := float64(p.AtPeak.TypeA) / float64(p.AtPeak.Value)
	if df := p.AtPeak.DF; !df.IsInfinite() {
		if df <= 2 {
			return useless("its uncertainty has %v degrees of freedom; want more than 2", df)
		}
		own *= math.Sqrt(float64(df) / (float64(df) - 2))
	}
	o := predict.Observation{
		Combination: predict.Combination{Induction: p.Induction, Blend: blend, Boost: p.Boost, Valves: p.Valves},
		Engine:      p.Engine,
		Energy:      quantity.Ratio(float64(p.AtPeak.Value) * float64(p.Heating)),
		Own:         quantity.Ratio(own),
		Shared:      quantity.Ratio(float64(p.AtPeak.TypeB) / float64(p.AtPeak.Value)),
	}
	if err := o.Check(); err != nil {
		return useless("%v", err)
	}
	return o, nil
}

// SetAside is a pull that tells the prediction nothing, and why.
type SetAside struct {
	Pull   Pull
	Reason error // wraps [ErrUseless]
}

// Observations returns what a prediction learns from pulls, and those that tell it nothing.
func Observations(pulls []Pull) (learnt []predict.Observation, aside []SetAside) {
	for _, p := range pulls {
		if o, err := p.Observation(); err != nil {
			aside = append(aside, SetAside{p, err})
		} else {
			learnt = append(learnt, o)
		}
	}
	return learnt, aside
}
