package catalogue

import (
	"context"
	"sync"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/internal/parallel"
	"example.com/railbook/sizing/quantity"
)

// Plan compares buying once for two targets with buying for today and again later.
type Plan struct {
	Lists *Lists `json:"-"`
	// Once is the cheapest set whose parts carry both targets, the base pressure set
	// anew in between; nil for none.
	Once *Both `json:"once"`
	// Today is the best set for today's target alone, and Again what makes it carry the
	// later one for the least cost on top: its cost and bill are what there is to buy
	// then. Either is nil for none.
	Today *Set `json:"today"`
	Again *Set `json:"again"`
	// Kept are the parts of Today that Again still uses.
	Kept []Line `json:"kept"`
	// TodayCarry and LaterCarry count the sets that carry each target.
	TodayCarry int `json:"today_carry"`
	LaterCarry int `json:"later_carry"`
}

// Both is a set that carries two targets.
type Both struct {
	Candidate                           // at the later base pressure
	TodayPressure quantity.PressureDiff `json:"today_pressure"`
	Cost          Cost                  `json:"cost"`
	Bill          []Line                `json:"bill"`
	Surplus       quantity.Ratio        `json:"surplus"` // at the later target, see Rule
	Today         *sizing.Assessment    `json:"-"`
	Later         *sizing.Assessment    `json:"-"`
}

// Steps is what buying for today and again later costs together.
func (p *Plan) Steps() (c Cost, ok bool) {
	if p.Today == nil || p.Again == nil {
		return Cost{}, false
	}
	return p.Today.Cost.and(p.Again.Cost), true
}

// MakePlan finds the plan for a build of today and one of later, such as the same at
// more power or on another fuel. Sets are ranked as by [Rule], what carries both by its
// surplus at the later target. Progress is told of both builds, one after the other.
//
// The error is as that of [Choose].
func MakePlan(ctx context.Context, today, later sizing.Build, l *Lists, o Options) (*Plan, error) {
	o.Top = 1
	now, err := newSurvey(ctx, today, l, &o)
	if err != nil {
		return nil, err
	}
	then, err := newSurvey(ctx, later, l, &o)
	if err != nil {
		return nil, err
	}
	p := &Plan{Lists: l}
	first, err := now.find(ctx, now.costs(nil))
	if err != nil {
		return nil, err
	}
	var owned *Candidate
	p.TodayCarry = first.carry
	if len(first.best.list) > 0 {
		set, err := now.set(first.best.list[0].key, nil)
		if err != nil {
			return nil, err
		}
		p.Today, owned = &set, &set.Candidate
	}
	second, err := then.find(ctx, then.costs(owned))
	if err != nil {
		return nil, err
	}
	p.LaterCarry = second.carry
	if owned != nil && len(second.best.list) > 0 {
		set, err := then.set(second.best.list[0].key, owned)
		if err != nil {
			return nil, err
		}
		p.Again = &set
		p.Kept = l.kept(then.build, *owned, set.Candidate)
	}
	if p.Once, err = both(ctx, now, then); err != nil {
		return nil, err
	}
	return p, nil
}

// kept are the parts of one set that another uses too.
func (l *Lists) kept(b sizing.Build, owned, next Candidate) []Line {
	same := Candidate{Injector: -1, Pump: -1, Hose: -1, Filter: -1, Regulator: -1}
	if owned.Injector == next.Injector {
		same.Injector = owned.Injector
	}
	if owned.Pump == next.Pump {
		same.Pump, same.Count = owned.Pump, min(owned.Count, next.Count)
	}
	if owned.Hose == next.Hose {
		same.Hose = owned.Hose
	}
	if owned.Filter == next.Filter {
		same.Filter = owned.Filter
	}
	if owned.Regulator == next.Regulator {
		same.Regulator = owned.Regulator
	}
	return l.Bill(b, same, nil)
}

// both finds the cheapest parts that carry in both surveys, which are of the same lists
// and pressures; nil for none.
func both(ctx context.Context, now, then *survey) (*Both, error) {
	costs := then.costs(nil)
	var mu sync.Mutex
	best := podium{n: 1}
	err := parallel.Each(ctx, len(then.arrangements), func(arr int) {
		side := costs.arrangements[arr]
		mu.Lock()
		bound, known := key{}, best.full()
		if known {
			bound = best.list[0].key
		}
		mu.Unlock()
		for _, i := range costs.ranked {
			cost := costs.injectors[i] + side
			if known && cost > bound.cost {
				break
			}
			if _, ok := now.least(arr, int(i)); !ok {
				continue
			}
			k, ok := then.least(arr, int(i))
			if !ok {
				continue
			}
			k.cost = cost
			if !known || k.compare(bound) < 0 {
				bound, known = k, true
				mu.Lock()
				best.offer(entry{k, [2]int32{int32(arr), i}})
				mu.Unlock()
			}
		}
	})
	if err != nil || !best.full() {
		return nil, err
	}
	k := best.list[0].key
	later, err := then.set(k, nil)
	if err != nil {
		return nil, err
	}
	// The pressure stays where it can.
	first := key{supply: k.supply, injector: k.injector}
	if now.pressures[int(k.supply)%len(now.pressures)] != later.Pressure || !now.carries(int(k.supply), int(k.injector)) {
		first, _ = now.least(int(k.supply)/len(now.pressures), int(k.injector))
	}
	today, err := now.set(first, nil)
	if err != nil {
		return nil, err
	}
	return &Both{
		Candidate: later.Candidate, TodayPressure: today.Pressure, Cost: later.Cost, Bill: later.Bill, Surplus: later.Surplus,
		Today: today.Assessment, Later: later.Assessment,
	}, nil
}

// least is the base pressure at which an arrangement and injectors carry with the least
// surplus, as a key without cost; ok is false where there is none.
func (s *survey) least(arr, injector int) (k key, ok bool) {
	n := len(s.pressures)
	for u := arr * n; u < (arr+1)*n; u++ {
		side := &s.supplies[u]
		if side.short.Reason != Fits {
			continue
		}
		v := s.meters[injector].at(&s.setting, s.Options, side.target, side.idle)
		if s.setting.reason(v) != Fits {
			continue
		}
		x := key{surplus: side.surplus + millionths(v.margin-s.setting.wanted), supply: int32(u), injector: int32(injector)}
		if !ok || x.compare(k) < 0 {
			k, ok = x, true
		}
	}
	return k, ok
}
