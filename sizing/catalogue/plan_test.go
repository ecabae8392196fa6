package catalogue_test

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/catalogue"
	"example.com/railbook/sizing/quantity"
)

// TestPlanIsThatOfEverySetAssessed compares plans for a later target with what an
// assessment of every set for both targets says.
func TestPlanIsThatOfEverySetAssessed(t *testing.T) {
	list := sheets(t)
	names := []string{"first-build.toml", "turbo-si.toml", "lift.toml", "surge.toml", "natural.toml"}
	once, twice := 0, 0
	for seed := range uint64(60) {
		r := draw{rand.New(rand.NewPCG(seed, 7))}
		today := list[names[int(seed)%len(names)]]
		if today.CrankPower() == 0 {
			t.Fatalf("no sheet %s", names[int(seed)%len(names)])
		}
		later := today.AtPower(quantity.Of(r.around(0.75, 1.5), today.CrankPower()))
		if r.IntN(2) == 0 {
			var err error
			if later, err = later.WithEthanol(quantity.VolumeFraction(r.Float64())); err != nil {
				t.Fatal(err)
			}
		}
		l, o := r.lists(today)
		p, err := catalogue.MakePlan(context.Background(), today, later, l, o)
		if err != nil {
			t.Errorf("seed %d: %v", seed, err)
			continue
		}
		c, err := catalogue.Choose(context.Background(), today, l, o)
		if err != nil {
			t.Fatal(err)
		}
		now, then := bruteForce(t, today, l, c.Pressures), bruteForce(t, later, l, c.Pressures)
		if p.Once != nil {
			once++
		}
		if p.Again != nil {
			twice++
		}
		checkOnce(t, seed, now, then, p)
		checkAgain(t, seed, later, l, then, p, c)
	}
	if once == 0 || twice == 0 {
		t.Errorf("%d plans with one purchase, %d with two", once, twice)
	}
}

func checkOnce(t *testing.T, seed uint64, now, then []looked, p *catalogue.Plan) {
	t.Helper()
	today := map[catalogue.Candidate]bool{}
	for i := range now {
		if now[i].reason == catalogue.Fits {
			today[without(now[i].Candidate)] = true
		}
	}
	var fit []*looked
	for i := range then {
		if then[i].reason == catalogue.Fits && today[without(then[i].Candidate)] {
			fit = append(fit, &then[i])
		}
	}
	if len(fit) == 0 {
		if p.Once != nil {
			t.Errorf("seed %d: nothing carries both, got %+v", seed, p.Once.Candidate)
		}
		return
	}
	want := slices.MinFunc(fit, rank)
	if p.Once == nil || p.Once.Candidate != want.Candidate || p.Once.Cost != want.cost {
		t.Errorf("seed %d: once %+v, want %+v", seed, p.Once, want.Candidate)
		return
	}
	for _, a := range []*sizing.Assessment{p.Once.Today, p.Once.Later} {
		if a.Status() != sizing.Carries {
			t.Errorf("seed %d: what is bought once does not carry %v", seed, a.Power)
		}
	}
	same := p.Once.Candidate
	same.Pressure = p.Once.TodayPressure
	if !slices.ContainsFunc(now, func(s looked) bool { return s.Candidate == same && s.reason == catalogue.Fits }) {
		t.Errorf("seed %d: at %v the parts do not carry today's target", seed, same.Pressure)
	}
}

func checkAgain(t *testing.T, seed uint64, later sizing.Build, l *catalogue.Lists, then []looked, p *catalogue.Plan, c *catalogue.Choice) {
	t.Helper()
	if len(c.Best) == 0 {
		if p.Today != nil || p.Again != nil {
			t.Errorf("seed %d: nothing carries today, got %+v", seed, p)
		}
		return
	}
	if p.Today == nil || p.Today.Candidate != c.Best[0].Candidate {
		t.Errorf("seed %d: today %+v, want %+v", seed, p.Today, c.Best[0].Candidate)
		return
	}
	owned := c.Best[0].Candidate
	var fit []*looked
	for i := range then {
		if then[i].reason == catalogue.Fits {
			s := then[i]
			s.cost = catalogue.Cost{}
			for _, line := range l.Bill(later, s.Candidate, &owned) {
				if line.Price == catalogue.Unpriced {
					s.cost.Unpriced++
				} else {
					s.cost.Sum += line.Price
				}
			}
			fit = append(fit, &s)
		}
	}
	if len(fit) == 0 {
		if p.Again != nil || p.LaterCarry != 0 {
			t.Errorf("seed %d: nothing carries later, got %+v", seed, p.Again)
		}
		return
	}
	want := slices.MinFunc(fit, rank)
	if p.Again == nil || p.Again.Candidate != want.Candidate || p.Again.Cost != want.cost {
		t.Errorf("seed %d: again %+v, want %+v at %v", seed, p.Again, want.Candidate, want.cost)
		return
	}
	// Both steps buy all that the later set holds, what is kept once.
	steps, _ := p.Steps()
	whole := catalogue.Cost{}
	for _, line := range l.Bill(later, p.Again.Candidate, nil) {
		if line.Price != catalogue.Unpriced {
			whole.Sum += line.Price
		}
	}
	if steps.Sum < whole.Sum {
		t.Errorf("seed %d: two steps %v, and the later set alone %v", seed, steps, whole)
	}
	// What is kept and what is bought on top make up the later set.
	parts := map[string]float64{}
	for _, line := range append(slices.Clone(p.Kept), p.Again.Bill...) {
		parts[line.Kind+line.Part] += line.Quantity
	}
	for _, line := range l.Bill(later, p.Again.Candidate, nil) {
		if parts[line.Kind+line.Part] != line.Quantity {
			t.Errorf("seed %d: kept and bought are %v of %s, the set has %v", seed, parts[line.Kind+line.Part], line.Part, line.Quantity)
		}
		delete(parts, line.Kind+line.Part)
	}
	if len(parts) > 0 {
		t.Errorf("seed %d: kept or bought, and not in the set: %v", seed, parts)
	}
}

// TestPressureIsSetAnew plans from much power to little, for which the least surplus is
// at a higher base pressure than pumps of that much bring it to.
func TestPressureIsSetAnew(t *testing.T) {
	b := sheets(t)["first-build.toml"]
	b.Regulator.MaxReturn = 0
	l := generated(80, 80, 3)
	for i := range l.Injectors {
		l.Injectors[i].MinimumPulse = 0
	}
	o := catalogue.Options{Pressures: usualPressures()}
	p, err := catalogue.MakePlan(t.Context(), b, b.AtPower(quantity.Of(0.6, b.CrankPower())), l, o)
	if err != nil || p.Once == nil {
		t.Fatal(p, err)
	}
	if p.Once.TodayPressure >= p.Once.Pressure {
		t.Errorf("%v today and %v later", p.Once.TodayPressure, p.Once.Pressure)
	}
	same, err := catalogue.MakePlan(t.Context(), b, b, l, o)
	if err != nil || same.Once == nil {
		t.Fatal(same, err)
	}
	if same.Once.TodayPressure != same.Once.Pressure || len(same.Again.Bill) != 0 || same.Again.Cost != (catalogue.Cost{}) || same.Once.Cost != same.Today.Cost {
		t.Errorf("for the same target twice: %v and %v, %v on top of %v", same.Once.TodayPressure, same.Once.Pressure, same.Again.Cost, same.Today.Cost)
	}
}
