package demand

import (
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// pair is two sets of eight: 10 g/s and 30 g/s each held open, at 7500 rpm in
// sequence, 16 ms.
func pair(staging Staging) Staged {
	return Staged{
		Primary:   InjectorSet{Static: grams(10), Count: 8, Dead: 1.0 * quantity.Millisecond},
		Secondary: InjectorSet{Static: grams(30), Count: 8, Dead: 1.2 * quantity.Millisecond},
		Interval:  16 * quantity.Millisecond,
		Start:     0.60, MaxDuty: 0.85,
		Staging: staging,
	}
}

// TestStagedByHand checks the shares by hand. The primary set delivers 80 (d - 1/16)
// g/s at the duty d, the secondary 240 (d - 0.075): 43 g/s at the switch-over, 63 and
// 186 g/s at most.
func TestStagedByHand(t *testing.T) {
	share, hold := pair(ShareOpening), pair(HoldPrimary)
	if got := share.SwitchOver(); !near(float64(got), 43e-3, 1e-13) {
		t.Errorf("switch-over at %v, want 43 g/s", got)
	}
	if got := share.Capability(); !near(float64(got), (63+186)*1e-3, 1e-13) {
		t.Errorf("capability %v, want 249 g/s", got)
	}
	for _, tt := range []struct {
		name                string
		s                   Staged
		demand              float64
		flow1, flow2, short float64 // g/s
		duty1, duty2        float64
	}{
		{"nothing", share, 0, 0, 0, 0, 0, 0},
		{"primary alone", share, 40, 40, 0, 0, 40.0/80 + 1.0/16, 0},
		{"just below the switch-over", share, 42.8, 42.8, 0, 0, 42.8/80 + 1.0/16, 0},
		{"just above it", share, 43.2, 10.8, 32.4, 0, 10.8/80 + 1.0/16, 32.4/240 + 0.075},
		{"a quarter to three", share, 120, 30, 90, 0, 30.0/80 + 1.0/16, 90.0/240 + 0.075},
		{"secondary at its end", share, 248.4, 62.4, 186, 0, 62.4/80 + 1.0/16, 0.85},
		{"beyond both", share, 300, 63, 186, 51, 0.85, 0.85},
		{"held", hold, 120, 43, 77, 0, 0.60, 77.0/240 + 0.075},
		{"held, secondary at its end", hold, 240, 54, 186, 0, 54.0/80 + 1.0/16, 0.85},
		{"held, beyond both", hold, 300, 63, 186, 51, 0.85, 0.85},
	} {
		got := tt.s.At(grams(tt.demand))
		check := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-12 {
				t.Errorf("%s: %s %.9g, want %.9g", tt.name, what, got, want)
			}
		}
		check("primary flow", got.Primary.Flow.In(quantity.GramPerSecond), tt.flow1)
		check("secondary flow", got.Secondary.Flow.In(quantity.GramPerSecond), tt.flow2)
		check("short", got.Short.In(quantity.GramPerSecond), tt.short)
		check("primary duty", float64(got.Primary.Duty), tt.duty1)
		check("secondary duty", float64(got.Secondary.Duty), tt.duty2)
		check("primary pulse", float64(got.Primary.Pulse), tt.duty1*16e-3)
		check("secondary pulse", float64(got.Secondary.Pulse), tt.duty2*16e-3)
	}
}

// TestStagedProperties, over a grid of sets and demands: the flows add up to the
// demand or fall short of it by what is reported, each duty gives its flow, none
// exceeds the largest, the secondary is shut up to the switch-over, and above it
// both open equally or the primary does not fall below its hold.
func TestStagedProperties(t *testing.T) {
	for _, staging := range []Staging{ShareOpening, HoldPrimary} {
		for _, ratio := range []float64{0.3, 1, 4} {
			for _, interval := range []quantity.Time{8e-3, 20e-3, quantity.Time(math.Inf(1))} {
				s := pair(staging)
				s.Interval = interval
				s.Secondary.Static = quantity.MassFlow(ratio * float64(s.Primary.Static))
				last := StagedDemand{}
				for demand := quantity.MassFlow(0); demand <= 1.3*s.Capability(); demand += s.Capability() / 97 {
					got := s.At(demand)
					p, q := got.Primary, got.Secondary
					if sum := float64(p.Flow + q.Flow + got.Short); math.Abs(sum-float64(demand)) > 1e-12 {
						t.Fatalf("%s: %v is shared as %v", staging, demand, sum)
					}
					if got.Short > 1e-12 && !near(float64(p.Flow+q.Flow), float64(s.Capability()), 1e-12) {
						t.Fatalf("%s: short of %v with capability left", staging, got.Short)
					}
					for _, set := range []struct {
						set InjectorSet
						SetDemand
					}{{s.Primary, p}, {s.Secondary, q}} {
						if set.Duty > s.MaxDuty+1e-12 {
							t.Fatalf("%s: duty %v", staging, set.Duty)
						}
						if back := set.set.Flow(set.Duty, interval); math.Abs(float64(back-set.Flow)) > 1e-12 {
							t.Fatalf("%s: duty %v gives %v, not %v", staging, set.Duty, back, set.Flow)
						}
					}
					if demand <= s.SwitchOver() && q.Flow != 0 || demand > s.SwitchOver()+1e-12 && q.Flow <= 0 {
						t.Fatalf("%s: secondary flow %v at %v", staging, q.Flow, demand)
					}
					atEnd := p.Duty > s.MaxDuty-1e-12 || q.Duty > s.MaxDuty-1e-12
					if staging == ShareOpening && q.Flow > 0 && !atEnd && !near(float64(q.Flow), ratio*float64(p.Flow), 1e-12) {
						t.Fatalf("share: %v and %v are not in proportion", p.Flow, q.Flow)
					}
					if staging == HoldPrimary && (p.Flow < last.Primary.Flow-1e-15 || q.Flow > 0 && p.Duty < s.Start-1e-12) {
						t.Fatalf("hold: primary falls from %v to %v", last.Primary.Flow, p.Flow)
					}
					if q.Flow < last.Secondary.Flow-1e-15 {
						t.Fatalf("%s: secondary falls from %v to %v", staging, last.Secondary.Flow, q.Flow)
					}
					last = got
				}
			}
		}
	}
}

// A set of no use leaves the work to the other.
func TestStagedDegenerate(t *testing.T) {
	s := pair(ShareOpening)
	s.Secondary = InjectorSet{}
	if got := s.At(grams(70)); !near(float64(got.Primary.Flow), 63e-3, 1e-12) || got.Secondary != (SetDemand{}) || !near(float64(got.Short), 7e-3, 1e-9) {
		t.Errorf("without a secondary set: %+v", got)
	}
	s = pair(HoldPrimary)
	s.Primary = InjectorSet{}
	if got := s.At(grams(70)); got.Primary != (SetDemand{}) || !near(float64(got.Secondary.Flow), 70e-3, 1e-12) || got.Short != 0 {
		t.Errorf("without a primary set: %+v", got)
	}
	s = Staged{}
	if got := s.At(grams(70)); got != (StagedDemand{Short: grams(70)}) {
		t.Errorf("without any: %+v", got)
	}
	s = pair(ShareOpening)
	s.Interval = 1 * quantity.Millisecond // no longer than the dead time
	if got := s.At(grams(70)); got != (StagedDemand{Short: grams(70)}) || s.Capability() != 0 {
		t.Errorf("without time to inject: %+v", got)
	}
	if got := pair(ShareOpening).At(-1 * quantity.GramPerSecond); got != (StagedDemand{}) {
		t.Errorf("a negative demand: %+v", got)
	}
	if d := (InjectorSet{}).Duty(grams(1), 16*quantity.Millisecond); !math.IsInf(float64(d), 1) {
		t.Errorf("duty of no injectors: %v", d)
	}
}

func TestStagedValidate(t *testing.T) {
	if err := pair(ShareOpening).Validate(); err != nil {
		t.Error(err)
	}
	for _, tt := range []struct {
		spoil func(*Staged)
		says  string
	}{
		{func(s *Staged) { s.Primary.Static = 0 }, "primary static flow"},
		{func(s *Staged) { s.Secondary.Static = -1 * quantity.GramPerSecond }, "secondary static flow"},
		{func(s *Staged) { s.Secondary.Count = 0 }, "secondary count"},
		{func(s *Staged) { s.Primary.Dead = -1 * quantity.Millisecond }, "primary dead time"},
		{func(s *Staged) { s.Interval = 0 }, "interval"},
		{func(s *Staged) { s.MaxDuty = 85 }, "largest duty"},
		{func(s *Staged) { s.Start = 0.9 }, "starts"},
		{func(s *Staged) { s.Start = 0 }, "starts"},
	} {
		s := pair(ShareOpening)
		tt.spoil(&s)
		if err := s.Validate(); err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("error %v, want one on %s", err, tt.says)
		}
	}
}
