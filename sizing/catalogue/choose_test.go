package catalogue_test

import (
	"context"
	"errors"
	"math/rand/v2"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/catalogue"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
)

// TestMorePowerCarriesNoMoreSets holds on sheets without a suction side, which pumps
// against a higher rail pressure draw less through.
func TestMorePowerCarriesNoMoreSets(t *testing.T) {
	list := sheets(t)
	fell := 0
	for seed := range uint64(40) {
		r := draw{rand.New(rand.NewPCG(seed, 8))}
		names := []string{"first-build.toml", "turbo.toml", "natural.toml", "speed.toml"}
		b := list[names[int(seed)%len(names)]]
		l, o := r.lists(b)
		last := -1
		for _, share := range []float64{0.7, 0.9, 1, 1.1, 1.25, 1.6} {
			c, err := catalogue.Choose(context.Background(), b.AtPower(quantity.Of(share, b.CrankPower())), l, o)
			if err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			if last >= 0 && c.Carry > last {
				t.Errorf("seed %d: %d sets carry at %v of the power, and %d with less", seed, c.Carry, share, last)
			}
			if c.Carry < last {
				fell++
			}
			last = c.Carry
			cost := catalogue.Cost{}
			for i, s := range c.Best {
				if status := s.Assessment.Status(); status != sizing.Carries {
					t.Errorf("seed %d: set %d is %v", seed, i+1, status)
				}
				if s.Cost.Compare(cost) < 0 {
					t.Errorf("seed %d: set %d costs %v, the one before %v", seed, i+1, s.Cost, cost)
				}
				cost = s.Cost
			}
		}
	}
	if fell == 0 {
		t.Error("no number of sets fell")
	}
}

// TestSameWhateverTheProcessors wants ties broken in the same way.
func TestSameWhateverTheProcessors(t *testing.T) {
	b := sheets(t)["first-build.toml"]
	b.Regulator.Slope, b.Regulator.SetFlow = regulator.Slope{Rise: 9 * quantity.KilopascalDiff, Per: 100 * quantity.LitrePerHour}, 80*quantity.LitrePerHour
	l := generated(40, 30, 3)
	for i := range l.Injectors { // ties
		l.Injectors[i].Price = 5000
	}
	var first *catalogue.Choice
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, n := range []int{1, 2, 5} {
		runtime.GOMAXPROCS(n)
		c, err := catalogue.Choose(context.Background(), b, l, catalogue.Options{Pressures: usualPressures()})
		if err != nil {
			t.Fatal(err)
		}
		for _, sets := range [][]catalogue.Set{c.Best, c.Front} {
			for i := range sets {
				sets[i].Assessment = nil
			}
		}
		if first == nil {
			first = c
		} else if !reflect.DeepEqual(c, first) {
			t.Errorf("%d processors choose otherwise", n)
		}
	}
	if len(first.Best) != 10 || len(first.Front) < 2 {
		t.Errorf("%d best sets, %d on the front", len(first.Best), len(first.Front))
	}
}

// TestCountedShare wants less to carry where less of the capability is counted on: as
// much as with the demand greater by its inverse, where nothing else is asked for.
func TestCountedShare(t *testing.T) {
	b := sheets(t)["first-build.toml"]
	b.Regulator.MaxReturn = 0
	l := generated(60, 20, 4)
	for i := range l.Injectors {
		l.Injectors[i].MinimumPulse = 0
	}
	choose := func(b sizing.Build, counted func(sizing.PartKind) quantity.Ratio) *catalogue.Choice {
		t.Helper()
		c, err := catalogue.Choose(context.Background(), b, l, catalogue.Options{Pressures: usualPressures(), Counted: counted})
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	all := choose(b, nil)
	if same := choose(b, func(sizing.PartKind) quantity.Ratio { return 1 }); same.Carry != all.Carry || !slices.EqualFunc(same.Best, all.Best, func(a, b catalogue.Set) bool { return a.Candidate == b.Candidate }) {
		t.Error("all of the capability is not all of it")
	}
	// Nine tenths of what pumps, injectors and line can do, asked for with a margin m, is
	// all of it asked for with the margin (1+m)/0.9 - 1.
	nine := choose(b, func(sizing.PartKind) quantity.Ratio { return 0.9 })
	wider := b
	more := func(m quantity.Ratio) *quantity.Ratio { return sizing.Wanted((1+m)/0.9 - 1) }
	wider.Policy.InjectorMargin, wider.Policy.PumpMargin, wider.Policy.LineMargin = more(*b.Policy.InjectorMargin), more(*b.Policy.PumpMargin), more(0.10)
	want := choose(wider, nil)
	if nine.Carry != want.Carry || nine.Carry >= all.Carry || nine.Carry == 0 {
		t.Errorf("%d sets carry with nine tenths, want %d, and less than %d", nine.Carry, want.Carry, all.Carry)
	}
	// What pumps alone are not counted on, injectors still are.
	pumps := choose(b, func(k sizing.PartKind) quantity.Ratio {
		if k == sizing.PumpsPart {
			return 0.9
		}
		return 1
	})
	if pumps.Carry < nine.Carry || pumps.Carry > all.Carry {
		t.Errorf("%d sets carry with nine tenths of the pumps, %d of all, %d with all", pumps.Carry, nine.Carry, all.Carry)
	}
}

func TestWhatCannotBeChosen(t *testing.T) {
	list := sheets(t)
	b := list["first-build.toml"]
	speed := list["speed.toml"]
	l := generated(2, 2, 2)
	noLine := list["natural.toml"]
	for _, tt := range []struct {
		name  string
		build sizing.Build
		lists *catalogue.Lists
		opt   catalogue.Options
		want  string
	}{
		{"no lists", b, &catalogue.Lists{}, catalogue.Options{}, "nothing to choose from"},
		{"no length", noLine, l, catalogue.Options{}, "feed_line.length is missing in the build sheet"},
		{"controller", speed, &catalogue.Lists{Regulators: draw{rand.New(rand.NewPCG(1, 1))}.regulators(1)}, catalogue.Options{}, "takes no regulator valve"},
		{"pressure", b, l, catalogue.Options{Pressures: []quantity.PressureDiff{3 * quantity.PSI}}, "base pressure 3 psi: regulator.base_pressure = "},
		{"counted twice", b, l, catalogue.Options{Counted: func(sizing.PartKind) quantity.Ratio { return 2 }}, "counted share of the suction: 2; want a share above 0"},
		{"build", sizing.Build{}, l, catalogue.Options{}, "engine.displacement"},
	} {
		c, err := catalogue.Choose(context.Background(), tt.build, tt.lists, tt.opt)
		if err == nil || !strings.Contains(err.Error(), tt.want) || c != nil {
			t.Errorf("%s: got %v, want %s", tt.name, err, tt.want)
		}
	}
	if _, err := catalogue.Choose(context.Background(), b, &catalogue.Lists{}, catalogue.Options{}); !errors.Is(err, catalogue.ErrNothing) {
		t.Errorf("got %v", err)
	}
	ctx, stop := context.WithCancelCause(context.Background())
	stopped := errors.New("stopped")
	stop(stopped)
	if _, err := catalogue.Choose(ctx, b, l, catalogue.Options{}); !errors.Is(err, stopped) {
		t.Errorf("got %v", err)
	}
	if _, err := catalogue.MakePlan(ctx, b, b, l, catalogue.Options{}); !errors.Is(err, stopped) {
		t.Errorf("got %v", err)
	}
}

// TestSheetsOwnPartsAreFree wants a choice among one list to cost what its parts do.
func TestSheetsOwnPartsAreFree(t *testing.T) {
	b := sheets(t)["first-build.toml"]
	l := generated(200, 0, 0)
	c, err := catalogue.Choose(context.Background(), b, l, catalogue.Options{Top: 3})
	if err != nil {
		t.Fatal(err)
	}
	if c.Sets != 200 || len(c.Best) != 3 {
		t.Fatalf("%d sets, %d best", c.Sets, len(c.Best))
	}
	for _, s := range c.Best {
		if s.Pump != -1 || s.Hose != -1 || s.Filter != -1 || s.Regulator != -1 || s.Pressure != b.Regulator.BasePressure {
			t.Errorf("got %+v", s.Candidate)
		}
		if want := 6 * l.Injectors[s.Injector].Price; s.Cost.Sum != want || s.Cost.Unpriced != 0 {
			t.Errorf("costs %v, want six times %v", s.Cost, l.Injectors[s.Injector].Price)
		}
		if s.Assessment.Build.Pumps[0].Part != "Skerry 400" {
			t.Errorf("pumps are %v", s.Assessment.Build.Pumps[0].Part)
		}
	}
}

func TestOnly(t *testing.T) {
	l := generated(3, 3, 3)
	l.Hoses[1].Part = "pump 2"
	for _, name := range []string{"injector 2", "Generated injector 2", " generated  INJECTOR 2 "} {
		cut, err := l.Only(name)
		if err != nil {
			t.Errorf("%q: %v", name, err)
			continue
		}
		if len(cut.Injectors) != 1 || cut.Injectors[0].Part != "injector 2" || len(cut.Pumps) != 3 || len(cut.Hoses) != 3 || len(l.Injectors) != 3 {
			t.Errorf("%q: got %d, %d, %d", name, len(cut.Injectors), len(cut.Pumps), len(cut.Hoses))
		}
	}
	for name, want := range map[string]string{
		"injector 9x":         `no list has a part "injector 9x"; want a part of one of the lists`,
		"Generated injectr 1": `perhaps "generated injector 1" is meant`,
		"pump 2":              `"pump 2" names 2 parts; want one of ["Generated pump 2" "Generated pump 2"]`,
	} {
		if _, err := l.Only(name); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, want %s", name, err, want)
		}
	}
}
