package uncertainty_test

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"os"
	"reflect"
	"runtime"
	"runtime/metrics"
	"slices"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
	"example.com/railbook/sizing/uncertainty"
)

func open(t testing.TB, name string) sizing.Build {
	t.Helper()
	b, err := sizing.Open("../../testdata/sheets/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// with puts fields of a build in doubt, given as pairs of path and text.
func with(t testing.TB, b sizing.Build, doubts ...string) sizing.Build {
	t.Helper()
	for i := 0; i < len(doubts); i += 2 {
		var err error
		if b, err = b.WithDoubt(doubts[i], doubts[i+1]); err != nil {
			t.Fatal(err)
		}
	}
	return b
}

func study(t testing.TB, b sizing.Build, p uncertainty.Plan) *uncertainty.Study {
	t.Helper()
	s, err := uncertainty.Propagate(context.Background(), b, p)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// outcome returns that of a result.
func outcome(t testing.TB, s *uncertainty.Study, r sweep.Result) uncertainty.Outcome {
	t.Helper()
	i := slices.IndexFunc(s.Outcomes, func(o uncertainty.Outcome) bool { return o.Name == r.Name })
	if i < 0 {
		t.Fatalf("no outcome of %s", r.Name)
	}
	return s.Outcomes[i]
}

func part(t testing.TB, s *uncertainty.Study, kind sizing.PartKind) uncertainty.Part {
	t.Helper()
	i := slices.IndexFunc(s.Parts, func(p uncertainty.Part) bool { return p.Kind == kind })
	if i < 0 {
		t.Fatalf("no %s", kind)
	}
	return s.Parts[i]
}

// TestWithoutDoubts wants the assessment itself, to the last bit, of every result.
func TestWithoutDoubts(t *testing.T) {
	paths := []string{"delivery.pump_rise", "loads.total", "warming.at_target", "parts[pumps].limit", "inlet.margin", "idle.return", "injection.secondary.duty"}
	for _, name := range []string{"turbo.toml", "natural.toml", "surge.toml", "driven.toml", "speed.toml", "lift.toml"} {
		b := open(t, name)
		results := slices.Clone(sweep.Results)
		for _, path := range paths {
			if r, err := sweep.ResultNamed(path); err == nil {
				results = append(results, r)
			}
		}
		a, err := sizing.Assess(b)
		if err != nil {
			t.Fatal(err)
		}
		s := study(t, b, uncertainty.Plan{Results: results})
		if s.Draws != 1 || s.Senseless != 0 || s.Moved != nil {
			t.Errorf("%s: %d draws, %d make no sense", name, s.Draws, s.Senseless)
		}
		for k, r := range results {
			o, want := s.Outcomes[k], r.Of(a)
			if math.IsNaN(want) || math.IsInf(want, 0) {
				if o.Count() != 0 || o.Lacks != 1 {
					t.Errorf("%s, %s: %v of nothing", name, r.Name, o.Mean())
				}
				continue
			}
			if o.Middle != want || o.Mean() != want || o.SD() != 0 || o.Quantile(0.05) != want || o.Quantile(0.95) != want {
				t.Errorf("%s, %s: middle %v, mean %v ± %v, want %v", name, r.Name, o.Middle, o.Mean(), o.SD(), want)
			}
		}
		for _, p := range s.Parts {
			want, _ := a.Part(p.Kind)
			if p.Part != want || p.MarginAt(0.5) != want.Margin || (p.Short.Count == 1) != (want.Status == sizing.Short) || (p.Kept.Count == 1) != (want.Status == sizing.Carries) {
				t.Errorf("%s, %s: %+v, want %+v", name, p.Kind, p, want)
			}
		}
		if w := a.Weakest(); w.Limited && math.Abs(float64(s.PowerCarried()/w.Limit)-1) > 1e-12 {
			t.Errorf("%s: power carried %v, want %v", name, s.PowerCarried(), w.Limit)
		}
	}
}

// TestNarrowDoubts wants the middle where doubts become narrow.
func TestNarrowDoubts(t *testing.T) {
	b := open(t, "turbo.toml")
	var last float64
	for i, width := range []string{"1 %", "0.1 %", "0.01 %", "0.001 %"} {
		in := with(t, b, "target.power", "640 hp +- "+width, "injectors.flow", "1550 cc/min +- "+width+" at 3 bar on n-heptane", "induction.charge_temperature", "48 degC +- "+width)
		s := study(t, in, uncertainty.Plan{Draws: 5000, Base: -1})
		for _, o := range s.Outcomes {
			if math.Abs(o.Mean()-o.Middle) > 0.3*o.SD()+1e-9*math.Abs(o.Middle) {
				t.Errorf("± %s, %s: mean %v beside the middle %v by more than a third of the deviation %v", width, o.Name, o.Mean(), o.Middle, o.SD())
			}
		}
		duty := outcome(t, s, sweep.Duty)
		if i > 0 && math.Abs(duty.SD()/last-0.1) > 0.01 {
			t.Errorf("± %s: deviation of the duty %v, ten times as wide %v", width, duty.SD(), last)
		}
		last = duty.SD()
	}
}

// TestKnownSpread holds a study against independent arithmetic: on the power route the
// fuel goes in proportion to the target, and the power at which the injectors run out does
// not depend on it.
func TestKnownSpread(t *testing.T) {
	b := open(t, "turbo.toml")
	b.Policy.Route = demand.Power
	s := study(t, with(t, b, "target.power", "640..900 hp"), uncertainty.Plan{Draws: 40_000, Results: []sweep.Result{sweep.FuelMass, sweep.Power}})
	for _, o := range s.Outcomes {
		per := o.Middle / 770 // for each horsepower
		for _, p := range []float64{0, 0.05, 0.25, 0.5, 0.75, 0.95, 1} {
			if got, want := o.Quantile(p), per*(640+260*p); math.Abs(got/want-1) > 1e-4 {
				t.Errorf("%s: quantile %g is %g, want %g", o.Name, p, got, want)
			}
		}
		if want := per * 260 / math.Sqrt(12); math.Abs(o.SD()/want-1) > 1e-3 {
			t.Errorf("%s: deviation %g, want %g", o.Name, o.SD(), want)
		}
	}
	injectors := part(t, s, sizing.InjectorsPart)
	limit := injectors.Limit.In(quantity.Horsepower)
	if limit < 650 || limit > 890 {
		t.Fatalf("the injectors run out at %g hp, beside what is drawn", limit)
	}
	want := (900 - limit) / 260
	if got := injectors.Short; math.Abs(got.Share()-want) > 4*got.StandardError() || got.Of != 40_000 {
		t.Errorf("the injectors fall short in %+v, want a share of %g", got, want)
	}
	keeps := (injectors.Keeps.In(quantity.Horsepower) - 640) / 260
	if got := injectors.Kept; math.Abs(got.Share()-keeps) > 4*got.StandardError() {
		t.Errorf("the injectors keep their margin in %+v, want a share of %g", got, keeps)
	}
	if carried := s.PowerCarried().In(quantity.Horsepower); math.Abs(carried/s.Middle.Weakest().Limit.In(quantity.Horsepower)-1) > 1e-9 {
		t.Errorf("power carried %g, want that of the middle, which does not move", carried)
	}
	// Nothing else is in doubt, so all of the variance is of the target.
	if i := s.Moved[0][0]; math.Abs(i.First-1) > 0.02 || math.Abs(i.Total-1) > 0.02 {
		t.Errorf("indices %+v, want 1", i)
	}
}

// TestSizes makes the injectors and the pumps as large as they have to be, and wants them
// to carry the demand in just the share of the same draws that was asked for.
func TestSizes(t *testing.T) {
	b := open(t, "doubt.toml")
	b.FeedLine = sizing.Segment{} // what a line loses would grow with the pumps
	for _, confidence := range []quantity.Ratio{0.5, 0.95} {
		p := uncertainty.Plan{Draws: 8000, Base: -1, Confidence: confidence, Seed: 3}
		s := study(t, b, p)
		injectors, pumps := part(t, s, sizing.InjectorsPart), part(t, s, sizing.PumpsPart)

		size := injectors.Factor() * 1550
		first, second := s.Sized()
		if want := quantity.FormatIn(quantity.Of(size, quantity.CCPerMinute), quantity.CCPerMinute); first != want || second != "" {
			t.Errorf("sized at %q and %q, want %s", first, second, want)
		}
		sized := with(t, b, "injectors.flow", quantity.Digits(size, 12)+" cc/min +- 3 % at 3 bar on n-heptane")
		sized.Pumps = slices.Clone(sized.Pumps)
		pump := &sized.Pumps[0]
		pump.Curves = slices.Clone(pump.Curves)
		for i := range pump.Curves {
			pump.Curves[i].Points = slices.Clone(pump.Curves[i].Points)
			for k := range pump.Curves[i].Points {
				pump.Curves[i].Points[k].Flow *= quantity.VolumeFlow(pumps.Factor())
			}
		}
		again := study(t, sized, p)
		for _, kind := range []sizing.PartKind{sizing.InjectorsPart, sizing.PumpsPart} {
			got := part(t, again, kind)
			if share := 1 - got.Short.Share(); math.Abs(share-float64(confidence)) > 3e-4 {
				t.Errorf("%s: sized for %s, carries in %.4f of the draws", kind, confidence.Percent(0), share)
			}
			if m := got.MarginAt(1 - float64(confidence)); math.Abs(float64(m)) > 1e-3 {
				t.Errorf("%s: margin %v where it should be zero", kind, m)
			}
			if first := part(t, s, kind); math.Abs(float64(got.Margin-first.Aim())) > 1e-6 {
				t.Errorf("%s: margin %v at the middle, aimed at %v", kind, got.Margin, first.Aim())
			}
			if first := part(t, s, kind); math.Abs(float64(got.Capability/first.Needed())-1) > 1e-6 {
				t.Errorf("%s: carries %v at the middle, needed %v", kind, got.Capability, first.Needed())
			}
		}
	}
}

// TestOrderDoesNotMatter wants the same study of a sheet whose doubts stand elsewhere.
func TestOrderDoesNotMatter(t *testing.T) {
	b := open(t, "doubt.toml")
	p := uncertainty.Plan{Draws: 9000, Base: 200}
	want, err := json.Marshal(study(t, b, p).Outcomes)
	if err != nil {
		t.Fatal(err)
	}
	base := study(t, b, p)
	turned := b
	turned.Doubts.List = slices.Clone(b.Doubts.List)
	slices.Reverse(turned.Doubts.List)
	got := study(t, turned, p)
	for k := range base.Outcomes {
		for _, share := range []float64{0, 0.1, 0.5, 0.9, 1} {
			if a, b := base.Outcomes[k].Quantile(share), got.Outcomes[k].Quantile(share); a != b {
				t.Errorf("%s: quantile %g %v and %v", base.Outcomes[k].Name, share, a, b)
			}
		}
	}
	if !reflect.DeepEqual(base.Moved, got.Moved) || !reflect.DeepEqual(base.Groups, got.Groups) || base.Short != got.Short {
		t.Errorf("another study of the same doubts in another order; %d bytes", len(want))
	}
}

// TestBlendCarriesConsumption draws a measured consumption and the blend it was measured
// on: whatever their order, the consumption drawn is carried over on energy.
func TestBlendCarriesConsumption(t *testing.T) {
	b := open(t, "turbo.toml")
	b.Policy.Route = demand.Power
	b, err := b.WithEthanol(0.69)
	if err != nil {
		t.Fatal(err)
	}
	r := []sweep.Result{sweep.FuelMass}
	p := uncertainty.Plan{Draws: 4000, Results: r, Base: -1}
	one := study(t, with(t, b, "fuel.blend", "E60..E78", "fuel.bsfc", "0.70..0.80 lb/(hp h)"), p)
	other := study(t, with(t, b, "fuel.bsfc", "0.70..0.80 lb/(hp h)", "fuel.blend", "E60..E78"), p)
	if a, b := one.Outcomes[0].Quantile(0.9), other.Outcomes[0].Quantile(0.9); a != b {
		t.Errorf("%v and %v", a, b)
	}
	// At the ends: the consumption times the ratio of the heating values.
	low, err := with(t, b, "fuel.bsfc", "0.70..0.80 lb/(hp h)").WithEthanol(0.78)
	if err != nil {
		t.Fatal(err)
	}
	low.Fuel.BSFC = quantity.SpecificConsumption(float64(low.Fuel.BSFC) * 0.80 / 0.75)
	a, err := sizing.Assess(low)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := one.Outcomes[0].Quantile(1), sweep.FuelMass.Of(a); got > want || got < 0.98*want {
		t.Errorf("most fuel %v, at the ends %v", got, want)
	}
}

// TestSenselessDraws wants draws that make no sense counted with their reasons, and the
// others summed up.
func TestSenselessDraws(t *testing.T) {
	b := with(t, open(t, "turbo.toml"), "target.lambda", "normal 0.8, 0.15", "engine.volumetric_efficiency", "normal 98 %, 2 %")
	s := study(t, b, uncertainty.Plan{Draws: 20_000, Base: 300})
	// Lambda has to lie from 0.6 to 1.2: normal distribution below -4/3 and above 8/3.
	want := 0.0912 + 0.0038
	if got := float64(s.Senseless) / 20_000; math.Abs(got-want) > 0.003 {
		t.Errorf("%g of the draws make no sense, want %g", got, want)
	}
	counted := 0
	for _, r := range s.Reasons {
		counted += r.Count
	}
	if len(s.Reasons) != 2 || counted != s.Senseless || s.Reasons[0].Text != "target.lambda is too small" || s.Reasons[1].Text != "target.lambda is too large" {
		t.Errorf("reasons %v of %d", s.Reasons, s.Senseless)
	}
	for _, o := range s.Outcomes {
		if o.Count() != 20_000-s.Senseless || o.Lacks != 0 {
			t.Errorf("%s: %d values, %d lack", o.Name, o.Count(), o.Lacks)
		}
	}
	if s.Short.Of != 20_000-s.Senseless || s.Left[0] == 0 || s.Left[0] > s.Base/2 {
		t.Errorf("parts judged in %d draws, %v of %d pairs left out", s.Short.Of, s.Left, s.Base)
	}
	if words := strings.Join(s.Words(), "\n"); !strings.Contains(words, "make no sense and are left out, most often since target.lambda is too small") {
		t.Errorf("the words do not tell of it: %s", words)
	}
}

// TestNothingMakesSense studies a doubt so wide that no draw makes sense.
func TestNothingMakesSense(t *testing.T) {
	s := study(t, with(t, open(t, "turbo.toml"), "target.lambda", "normal 0.8, 1e9"), uncertainty.Plan{Draws: 200, Base: 40})
	if s.Senseless != 200 || s.Short.Of != 0 || s.Left[0] != s.Base {
		t.Errorf("%d draws make no sense, %d were judged, %v left out", s.Senseless, s.Short.Of, s.Left)
	}
	if words := s.Words(); len(words) != 1 || !strings.HasPrefix(words[0], "None of 200 draws makes sense: target.lambda is too ") {
		t.Errorf("words %q", words)
	}
	for _, table := range []sizing.Table{s.DoubtTable(), s.ResultTable(), s.PartTable(), s.SizeTable(), s.MovesTable()} {
		if text := table.Text(); strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
			t.Errorf("a table of nothing:\n%s", text)
		}
	}
	if _, err := json.Marshal(s); err != nil {
		t.Error(err)
	}
}

// TestReasonsWithoutValues draws blends that cannot be, each with another content.
func TestReasonsWithoutValues(t *testing.T) {
	s := study(t, with(t, open(t, "turbo.toml"), "fuel.blend", "normal E97, 3"), uncertainty.Plan{Draws: 5000, Base: -1})
	want := 0.1587 // normal distribution above one deviation
	if got := float64(s.Senseless) / 5000; math.Abs(got-want) > 0.003 || len(s.Reasons) != 1 {
		t.Errorf("%g of the draws make no sense, want %g: %v", got, want, s.Reasons)
	}
}

// TestCorrelation holds the deviation of a product of two correlated numbers against the
// law of propagation (JCGM 100:2008, eq. (16), from memory): relative deviations u and v
// give √(u²+v²+2ruv), where they are small.
func TestCorrelation(t *testing.T) {
	b := open(t, "turbo.toml")
	b.Policy.Route = demand.Power
	b = with(t, b, "target.power", "normal 640, 12.8 hp", "fuel.bsfc", "normal 0.75, 0.0225 lb/(hp h)")
	for _, r := range []quantity.Ratio{-0.9, 0, 0.6} {
		b.Doubts.Correlations = []sizing.Correlation{{Between: []string{"target.power", "fuel.bsfc"}, R: r}}
		s := study(t, b, uncertainty.Plan{Draws: 16_384, Results: []sweep.Result{sweep.FuelMass}, Base: 100})
		want := math.Sqrt(0.02*0.02 + 0.03*0.03 + 2*float64(r)*0.02*0.03)
		if got := s.Outcomes[0].SD() / s.Outcomes[0].Mean(); math.Abs(got/want-1) > 0.02 {
			t.Errorf("r = %v: relative deviation %g, want %g", r, got, want)
		}
		if groups := len(s.Groups); (r == 0) != (groups == 2) {
			t.Errorf("r = %v: %d groups", r, groups)
		}
	}
}

func TestBadBuild(t *testing.T) {
	b := with(t, open(t, "turbo.toml"), "target.lambda", "normal 0.8, 0.01")
	b.Induction.Boost = 0
	if _, err := uncertainty.Propagate(context.Background(), b, uncertainty.Plan{}); err == nil {
		t.Error("a build without boost was studied")
	} else if be := (*sizing.BuildError)(nil); !errors.As(err, &be) {
		t.Errorf("got %v, want a *sizing.BuildError", err)
	}
}

// TestFieldsChangedSince wants a doubt that the build has no more not to be drawn.
func TestFieldsChangedSince(t *testing.T) {
	b := open(t, "doubt.toml")
	f, err := sizing.FieldNamed("blend")
	if err != nil {
		t.Fatal(err)
	}
	if b, err = f.Read(b, "E85"); err != nil {
		t.Fatal(err)
	}
	s := study(t, b, uncertainty.Plan{Draws: 100, Base: 40})
	for _, d := range s.Doubts.List {
		if d.Path == "fuel.blend" {
			t.Error("the blend is drawn")
		}
	}
	if len(s.Doubts.List) != 8 || len(s.Groups) != 7 {
		t.Errorf("doubts %v in groups %v", s.Doubts.List, s.Groups)
	}
}

func TestSameSeedSameStudy(t *testing.T) {
	b := open(t, "doubt.toml")
	run := func(seed uint64) string {
		data, err := json.Marshal(study(t, b, uncertainty.Plan{Draws: 9001, Base: 100, Seed: seed}))
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	want := run(1)
	old := runtime.GOMAXPROCS(7)
	got := run(1)
	runtime.GOMAXPROCS(old)
	if got != want {
		t.Error("another study on 7 processors")
	}
	if run(2) == want {
		t.Error("the same study from another seed")
	}
}

func TestBadPlans(t *testing.T) {
	b := open(t, "doubt.toml")
	for name, p := range map[string]uncertainty.Plan{
		"draws below zero": {Draws: -1}, "too many draws": {Draws: math.MaxInt}, "too little confidence": {Confidence: 0.4},
		"too much confidence": {Confidence: 1}, "no confidence": {Confidence: quantity.Ratio(math.NaN())},
	} {
		if _, err := uncertainty.Propagate(context.Background(), b, p); !errors.Is(err, uncertainty.ErrPlan) {
			t.Errorf("%s: %v", name, err)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	p := uncertainty.Plan{Draws: 1 << 30, Progress: func(done, all int) { cancel() }}
	if _, err := uncertainty.Propagate(ctx, b, p); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	b.Doubts.Correlations = append(b.Doubts.Correlations, sizing.Correlation{Between: []string{"fuel.blend", "target.lambda"}, R: 0.9},
		sizing.Correlation{Between: []string{"fuel.blend", "engine.brake_efficiency"}, R: 0.9}, sizing.Correlation{Between: []string{"target.lambda", "engine.brake_efficiency"}, R: -0.9})
	if _, err := uncertainty.Propagate(context.Background(), b, uncertainty.Plan{}); err == nil || !strings.Contains(err.Error(), "engine.brake_efficiency, target.lambda and fuel.blend") {
		t.Errorf("a contradiction gives %v", err)
	}
}

func TestProgress(t *testing.T) {
	last, all := 0, 0
	study(t, open(t, "doubt.toml"), uncertainty.Plan{Draws: 9000, Base: 64, Progress: func(done, of int) {
		if done < last {
			t.Errorf("%d done after %d", done, last)
		}
		last, all = done, of
	}})
	if want := 9000 + 64*11; last != want || all != want {
		t.Errorf("at last %d of %d done, want %d", last, all, want)
	}
}

// TestMemoryIsFlat wants no more memory at work late in a study than early. What is at work
// moves up and down with the draws that are under way, so the least of many measurements
// is taken.
func TestMemoryIsFlat(t *testing.T) {
	b := with(t, open(t, "turbo.toml"), "target.power", "600..680 hp") // quick to draw
	live := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	var early, late uint64 = math.MaxUint64, math.MaxUint64
	calls := 0
	study(t, b, uncertainty.Plan{Draws: 1 << 18, Base: -1, Progress: func(done, all int) {
		if calls++; calls < 12 || calls%3 != 0 {
			return
		}
		runtime.GC()
		metrics.Read(live)
		if done < all/2 {
			early = min(early, live[0].Value.Uint64())
		} else {
			late = min(late, live[0].Value.Uint64())
		}
	}})
	t.Logf("%d bytes at work early, %d late", early, late)
	if late > early+early/8 {
		t.Errorf("%d bytes at work early, %d late", early, late)
	}
}

// TestTables wants the tables to hold what the study found, in full rows.
func TestTables(t *testing.T) {
	s := study(t, open(t, "doubt.toml"), uncertainty.Plan{Draws: 5000, Base: 200})
	tables := []sizing.Table{s.DoubtTable(), s.ResultTable(), s.PartTable(), s.SizeTable(), s.MovesTable()}
	for i, rows := range []int{9, 6, 6, 4, 8} {
		if got := len(tables[i].Rows); got != rows {
			t.Errorf("%s: %d rows, want %d", tables[i].Caption, got, rows)
		}
		for _, row := range tables[i].Rows {
			if len(row) != len(tables[i].Columns) {
				t.Errorf("%s: row %q under %d columns", tables[i].Caption, row, len(tables[i].Columns))
			}
		}
	}
	for i, has := range []string{"1550 cc/min +- 3 % at 3 bar on n-heptane", "injector duty in %", "injectors at idle", "rated at ", "fuel.temperature with induction.charge_temperature"} {
		if !strings.Contains(tables[i].Text(), has) {
			t.Errorf("%s: no %q in\n%s", tables[i].Caption, has, tables[i].Text())
		}
	}
	if text := tables[4].Text(); strings.Contains(text, "NaN") || !strings.Contains(text, "not moved") {
		t.Errorf("moves:\n%s", text)
	}
	var data map[string]any
	text, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &data); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"words", "draws", "doubts", "results", "power_carried", "parts", "falls_short", "groups"} {
		if data[key] == nil {
			t.Errorf("JSON without %s", key)
		}
	}
}

// TestSheetOfTheCommand keeps the example sheet in step with what it is said to be.
func TestSheetOfTheCommand(t *testing.T) {
	text, err := os.ReadFile("../../testdata/sheets/doubt.toml")
	if err != nil {
		t.Fatal(err)
	}
	b := open(t, "doubt.toml")
	if n := len(b.Doubts.List); n != 9 || len(b.Doubts.Correlations) != 1 || !strings.Contains(string(text), "[[correlation]]") {
		t.Errorf("%d doubts, %d correlations", n, len(b.Doubts.Correlations))
	}
}
