package record

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/evidence"
	"example.com/railbook/sizing/evidence/predict"
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// invented returns a pull with invented figures, different for every number.
func invented(number int) evidence.PullSummary {
	blend, err := fuel.Ethanol(0.7)
	if err != nil {
		panic(err)
	}
	consumption := func(f float64) evidence.Consumption {
		return evidence.Consumption{
			Value:    quantity.Of(f, quantity.PoundPerHorsepowerHour),
			Standard: quantity.Of(0.025*f, quantity.PoundPerHorsepowerHour),
			TypeA:    quantity.Of(0.007*f, quantity.PoundPerHorsepowerHour),
			TypeB:    quantity.Of(0.024*f, quantity.PoundPerHorsepowerHour),
			DF:       evidence.Infinite,
		}
	}
	f := 0.80 + 0.001*float64(number)
	return evidence.PullSummary{
		ID:  fmt.Sprintf("pull-%d", number),
		Log: "third-gear.csv", When: "2026-10-04",
		Start: 12.5 * quantity.Second, End: 19.25 * quantity.Second,
		Induction: demand.Turbocharged, Valves: 4,
		Ethanol: 0.7, Share: predict.EthanolEnergy(blend), Heating: blend.LHV(),
		Boost: 21 * quantity.PSI, Lambda: 0.8,
		LowSpeed: 3000 * quantity.RPM, HighSpeed: 7200 * quantity.RPM,
		PeakPower: 612 * quantity.Horsepower, PeakAt: 6900 * quantity.RPM,
		PeakFuel: 0.06 * quantity.KilogramPerSecond, PeakAir: 0.5 * quantity.KilogramPerSecond,
		MostDuty: 0.78, RailError: 5 * quantity.KilopascalDiff,
		Average: consumption(0.97 * f), AtPeak: consumption(f), Peak: consumption(1.04 * f),
		Energy: evidence.EnergyRatio{Value: 4, Standard: 0.1, DF: 31.5},
		Used:   400 + number,
		Aside:  map[evidence.Reason]int{evidence.RailSagged: 12, evidence.Transient: 30 + number},
	}
}

// TestColumnsHoldAll: every field of a pull has its column, so that none is lost.
func TestColumnsHoldAll(t *testing.T) {
	var p Pull
	held := map[any]bool{}
	for _, f := range fields(columns(&p)) {
		if k, ok := f.(induction); ok {
			f = k.Induction
		}
		held[f] = true
	}
	var walk func(name string, v reflect.Value)
	count := 0
	walk = func(name string, v reflect.Value) {
		if v.Kind() == reflect.Struct && v.Type() != reflect.TypeFor[time.Time]() {
			for i := range v.NumField() {
				walk(name+"."+v.Type().Field(i).Name, v.Field(i))
			}
			return
		}
		count++
		if elsewhere := name == ".Added" || name == ".PullSummary.Aside"; !elsewhere && !held[v.Addr().Interface()] {
			t.Errorf("%s has no column", name)
		}
	}
	walk("", reflect.ValueOf(&p).Elem())
	if count < 30 {
		t.Errorf("only %d fields were looked at", count)
	}
}

func TestCheck(t *testing.T) {
	tests := []struct {
		engine string
		change func(*evidence.PullSummary)
		want   string
	}{
		{"", func(p *evidence.PullSummary) {}, "engine: no name given"},
		{"a", func(p *evidence.PullSummary) { p.Valves = 0 }, "valves per cylinder: 0; want 1 to 8"},
		{"a", func(p *evidence.PullSummary) { p.Induction = 9 }, "induction: 9 is no kind"},
		{"a", func(p *evidence.PullSummary) { p.AtPeak = evidence.Consumption{} }, "consumption at the greatest power: not measured"},
		{"a", func(p *evidence.PullSummary) { p.Used = 0 }, "samples used: 0; want 1 or more"},
		{"a", func(p *evidence.PullSummary) { p.Aside = map[evidence.Reason]int{"": 2} }, `samples set aside: 2 for ""; want a count and a reason`},
		{"a", func(p *evidence.PullSummary) { p.Ethanol = 1.2 }, `ethanol: "120 %": lies outside 0 to 100 %`},
		{"a", func(p *evidence.PullSummary) { p.Heating = 0 }, "lower heating value"},
		{"a", func(p *evidence.PullSummary) { p.Boost = quantity.PressureDiff(math.NaN()) }, "boost_pa: NaN; want a number"},
		{"a", func(p *evidence.PullSummary) { p.AtPeak.TypeA = quantity.SpecificConsumption(math.Inf(1)) }, "type A uncertainty at the greatest power"},
		{"a", func(p *evidence.PullSummary) { p.AtPeak.TypeB = -p.AtPeak.TypeB }, "type B uncertainty at the greatest power"},
		{"a", func(p *evidence.PullSummary) { p.Log = strings.Repeat("x", 2000) }, "log: 2000 bytes long; want at most 1000"},
	}
	for _, c := range tests {
		p := invented(1)
		c.change(&p)
		if err := Check(c.engine, p); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("got %v\nwant %s", err, c.want)
		}
	}
	if err := Check("a", invented(1)); err != nil {
		t.Errorf("a sound pull: %v", err)
	}
}

// TestObservation holds what a prediction learns against the figures of the pull, by
// independent arithmetic.
func TestObservation(t *testing.T) {
	p := Pull{Engine: "a", PullSummary: invented(0)}
	p.AtPeak.DF = 10
	o, err := p.Observation()
	if err != nil {
		t.Fatal(err)
	}
	// 0.80 lb/(hp h) of E70 in SI, times its heating value.
	energy := 0.80 * 0.45359237 / (745.69987158227 * 3600) * float64(p.Heating)
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"energy", float64(o.Energy), energy},
		{"own", float64(o.Own), 0.007 * math.Sqrt(10.0/8)},
		{"shared", float64(o.Shared), 0.024},
	} {
		if math.Abs(c.got/c.want-1) > 1e-12 {
			t.Errorf("%s: got %v, want %v", c.what, c.got, c.want)
		}
	}
	if o.Engine != "a" || o.Valves != 4 || o.Boost != p.Boost || o.Induction != p.Induction || o.Blend.EthanolContent() != 0.7 {
		t.Errorf("conditions: %+v", o)
	}
	for _, c := range []struct {
		what   string
		change func(*Pull)
	}{
		{"degrees of freedom", func(p *Pull) { p.AtPeak.DF = 2 }},
		{"own uncertainty", func(p *Pull) { p.AtPeak.DF = 2.00001 }},
		{"lower heating value", func(p *Pull) { p.Heating = 20 * quantity.MegajoulePerKilogram }},
	} {
		q := p
		c.change(&q)
		if _, err := q.Observation(); !errors.Is(err, ErrUseless) || !strings.Contains(err.Error(), c.what) {
			t.Errorf("%s: %v", c.what, err)
		}
	}
}
