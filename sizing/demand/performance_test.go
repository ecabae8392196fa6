package demand

import (
	"math"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func lb(v float64) quantity.Mass        { return quantity.Of(v, quantity.Pound) }
func mph(v float64) quantity.Velocity   { return quantity.Of(v, quantity.MilePerHour) }
func hp(v float64) quantity.CrankPower  { return quantity.Of(v, quantity.Horsepower) }
func seconds(v float64) quantity.Time   { return quantity.Of(v, quantity.Second) }
func lbh(v float64) quantity.MassFlow   { return quantity.Of(v, quantity.PoundPerHour) }
func grams(v float64) quantity.MassFlow { return quantity.Of(v, quantity.GramPerSecond) }

// TestTrapSpeed checks the rule v = 225 mph (hp/lb)^(1/3) (Huntington, in Nahin, In
// Praise of Simple Physics, page 33) against independent arithmetic on it.
func TestTrapSpeed(t *testing.T) {
	r := EmpiricalStrip()
	if got := r.FinalSpeed(lb(3000), hp(300)).In(quantity.MilePerHour); math.Abs(got-104.436) > 0.0005 {
		t.Errorf("3000 lb and 300 hp: %.4f mph, want 104.436", got)
	}
	if got := r.PowerFromSpeed(lb(3200), mph(110)).In(quantity.Horsepower); math.Abs(got-373.92) > 0.005 {
		t.Errorf("3200 lb at 110 mph: %.3f hp, want 373.92", got)
	}
}

// TestSteadyRun checks the theory of constant power over a quarter of a mile: the
// constants 281.097 mph and 4.80261 s at 1 hp/lb, and speed times time of 1350 mph s
// exactly (independent arithmetic), and with them the share of Huntington's power
// that accelerates, 0.5128.
func TestSteadyRun(t *testing.T) {
	s := SteadyRun{QuarterMile}
	if QuarterMile != quantity.Of(1320, quantity.Foot) {
		t.Errorf("a quarter of a mile is %v", QuarterMile)
	}
	v, et := s.Run(lb(1), 1*quantity.HorsepowerAtWheel)
	if got := v.In(quantity.MilePerHour); !near(got, 281.097, 2e-6) {
		t.Errorf("speed constant %.4f mph, want 281.097", got)
	}
	if !near(float64(et), 4.80261, 1e-6) {
		t.Errorf("time constant %.6f s, want 4.80261", float64(et))
	}
	if got := v.In(quantity.MilePerHour) * float64(et); !near(got, 1350, 1e-14) {
		t.Errorf("speed times time %.9f, want 1350", got)
	}
	share := float64(s.PowerFromSpeed(lb(3200), mph(110))) / float64(EmpiricalStrip().PowerFromSpeed(lb(3200), mph(110)))
	if math.Abs(share-0.5128) > 5e-5 {
		t.Errorf("share of the crank power that accelerates: %.5f, want 0.5128", share)
	}
}

// TestSteadyRunIntegrates follows the motion m v dv/dt = P in small steps, which
// knows nothing of the closed form.
func TestSteadyRunIntegrates(t *testing.T) {
	const m, p = 1450.0, 250e3
	v, et := SteadyRun{QuarterMile}.Run(m*quantity.Kilogram, p*quantity.WattAtWheel)
	const step = 1e-4
	x, energy, clock := 0.0, 0.0, 0.0
	for x < float64(QuarterMile) {
		before := math.Sqrt(2 * energy / m)
		energy += p * step
		x += step * (before + math.Sqrt(2*energy/m)) / 2
		clock += step
	}
	if !near(clock, float64(et), 1e-4) || !near(math.Sqrt(2*energy/m), float64(v), 1e-4) {
		t.Errorf("followed: %.4f m/s in %.4f s; closed form %.4f m/s in %.4f s", math.Sqrt(2*energy/m), clock, float64(v), float64(et))
	}
}

func TestRunsInvert(t *testing.T) {
	r, s := EmpiricalStrip(), SteadyRun{201.168 * quantity.Metre}
	for _, m := range []quantity.Mass{600, 1500, 2400} {
		lastV, lastT := quantity.Velocity(0), quantity.Time(math.Inf(1))
		for p := 50e3; p <= 1500e3; p += 50e3 {
			if v := r.FinalSpeed(m, quantity.CrankPower(p)); !near(float64(r.PowerFromSpeed(m, v)), p, 1e-13) {
				t.Errorf("%v, %v W: does not come back from %v", m, p, v)
			}
			v, et := s.Run(m, quantity.WheelPower(p))
			if !near(float64(s.PowerFromSpeed(m, v)), p, 1e-13) || !near(float64(s.PowerFromTime(m, et)), p, 1e-13) {
				t.Errorf("%v, %v W: constant power does not come back from %v and %v", m, p, v, et)
			}
			if v <= lastV || et >= lastT {
				t.Errorf("%v, %v W: %v in %v is no better than less power", m, p, v, et)
			}
			lastV, lastT = v, et
		}
	}
}

func TestRunsWithoutInput(t *testing.T) {
	r, s := EmpiricalStrip(), SteadyRun{QuarterMile}
	nan := quantity.Mass(math.NaN())
	for name, got := range map[string]float64{
		"no mass":          float64(r.PowerFromSpeed(0, mph(100))),
		"NaN mass":         float64(r.PowerFromSpeed(nan, mph(100))),
		"standing":         float64(r.PowerFromSpeed(lb(3000), 0)),
		"backwards":        float64(r.PowerFromSpeed(lb(3000), mph(-100))),
		"no rule":          float64(StripRule{}.PowerFromSpeed(lb(3000), mph(100))),
		"steady, no mass":  float64(s.PowerFromSpeed(0, mph(100))),
		"steady, no time":  float64(s.PowerFromTime(lb(3000), 0)),
		"steady, no way":   float64(SteadyRun{}.PowerFromSpeed(lb(3000), mph(100)) + SteadyRun{}.PowerFromTime(lb(3000), seconds(12))),
		"steady, NaN mass": float64(s.PowerFromTime(nan, seconds(12))),
	} {
		if got != 0 {
			t.Errorf("%s: %v", name, got)
		}
	}
	if v := r.FinalSpeed(lb(3000), 0); v != 0 {
		t.Errorf("no power: %v", v)
	}
	if v, et := s.Run(0, 1*quantity.HorsepowerAtWheel); v != 0 || et != 0 {
		t.Errorf("no mass: %v in %v", v, et)
	}
}
