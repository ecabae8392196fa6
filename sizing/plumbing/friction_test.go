package plumbing

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"testing"
)

// near fails the test unless got is within the relative tolerance of want.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s = %.10g, want %.10g within %g", what, got, want, tolerance)
	}
}

// TestFrictionFactorTable compares with Colebrook factors computed by the fluids
// library 1.0.22 (its Clamond method), printed to seven decimals.
func TestFrictionFactorTable(t *testing.T) {
	roughness := []float64{0, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2, 5e-2}
	table := map[float64][]float64{
		4e3: {0.0399070, 0.0399080, 0.0399172, 0.0400084, 0.0409104, 0.0490823, 0.0769868},
		1e4: {0.0308830, 0.0308845, 0.0308984, 0.0310372, 0.0323818, 0.0431266, 0.0738013},
		1e5: {0.0179898, 0.0179952, 0.0180438, 0.0185139, 0.0221745, 0.0385035, 0.0717809},
		1e6: {0.0116450, 0.0116682, 0.0118695, 0.0134414, 0.0199435, 0.0379647, 0.0715738},
		1e7: {0.0081027, 0.0082132, 0.0089957, 0.0121661, 0.0196671, 0.0379098, 0.0715530},
	}
	for re, row := range table {
		for i, want := range row {
			if got := FrictionFactor(re, roughness[i]); math.Abs(got-want) > 0.5e-7 {
				t.Errorf("FrictionFactor(%g, %g) = %.9f, want %.7f", re, roughness[i], got, want)
			}
		}
	}
	for _, rr := range roughness { // laminar: the wall does not matter
		near(t, "f(1000)", FrictionFactor(1000, rr), 0.064, 1e-15)
		near(t, "f(2000)", FrictionFactor(2000, rr), 0.032, 1e-15)
	}
}

// TestFrictionFactorPublished holds the factor against printed worked examples,
// with half a unit of the last printed digit as tolerance unless it is said why not.
func TestFrictionFactorPublished(t *testing.T) {
	tests := []struct {
		source        string
		re, roughness float64
		want, within  float64
	}{
		// The book rounds Re to 128,000 and ε/d to 0.0013, and reads 0.0225.
		{"White, Fluid Mechanics, Ex. 6.7", 128000, 0.0013, 0.0225, 0.0003},
		// Answers as the vignette of the R package iemisc quotes them; Re and ε/D from memory.
		{"Lindeburg, Civil Engineering Reference Manual, Ex. 17.2, Colebrook", 4e5, 0.004, 0.0287, 0.00005},
		// Crane read 0.0179 from a chart of smooth pipe.
		{"Crane TP-410M, Ex. 7.1, as fluids quotes it", 100600, 0, 0.0179, 0.0001},
		// Crane read 0.0230 from a chart.
		{"Crane TP-410M, Ex. 7.13, as fluids quotes it", 68029.25, 0.0018 * 25.4 / 52.48, 0.0230, 0.0007},
		{"Crane TP-410, Ex. 7.9, laminar, as fluids solves it", 1675.616699, 0.0018 / 5.047, 0.0381948927, 1e-10},
	}
	for _, tt := range tests {
		if got := FrictionFactor(tt.re, tt.roughness); math.Abs(got-tt.want) > tt.within {
			t.Errorf("%s: FrictionFactor(%g, %g) = %.6f, want %g ± %g", tt.source, tt.re, tt.roughness, got, tt.want, tt.within)
		}
	}
}

// TestFrictionFactorExplicit compares with two explicit formulas of others, whose
// own error against Colebrook bounds the tolerance.
func TestFrictionFactorExplicit(t *testing.T) {
	haaland := func(re, rr float64) float64 { // S. E. Haaland, 1983: within 2 %
		x := -1.8 * math.Log10(math.Pow(rr/3.7, 1.11)+6.9/re)
		return 1 / (x * x)
	}
	serghides := func(re, rr float64) float64 { // T. K. Serghides, 1984: within 0.003 %
		a := -2 * math.Log10(rr/3.7+12/re)
		b := -2 * math.Log10(rr/3.7+2.51*a/re)
		c := -2 * math.Log10(rr/3.7+2.51*b/re)
		x := a - (b-a)*(b-a)/(c-2*b+a)
		return 1 / (x * x)
	}
	for re := 4e3; re < 2e8; re *= 1.7 {
		for _, rr := range []float64{0, 1e-6, 1e-4, 1e-3, 0.01, 0.05} {
			f := FrictionFactor(re, rr)
			near(t, fmt.Sprintf("Haaland f(%g, %g)", re, rr), f, haaland(re, rr), 0.02)
			near(t, fmt.Sprintf("Serghides f(%g, %g)", re, rr), f, serghides(re, rr), 5e-5)
		}
	}
}

// TestFrictionFactorSolvesColebrook puts the factor back into its equation.
func TestFrictionFactorSolvesColebrook(t *testing.T) {
	for re := TurbulentLimit; re < 1e9; re *= 1.3 {
		for _, rr := range []float64{0, 1e-8, 1e-6, 1e-5, 2e-4, 1e-3, 0.01, 0.05} {
			x := 1 / math.Sqrt(FrictionFactor(re, rr))
			near(t, fmt.Sprintf("1/√f at Re %g, ε/D %g", re, rr), x, -2*math.Log10(rr/3.7+2.51*x/re), 1e-15)
		}
	}
}

// TestFrictionFactorExtremes: it is solved as well where no line has ever been, so that a
// solver that strays meets no surprise. Newton's iteration from afar is independent
// arithmetic.
func TestFrictionFactorExtremes(t *testing.T) {
	newton := func(re, rr float64) float64 {
		const k = 2 / math.Ln10
		a, b := rr/3.7, 2.51/re
		x := -k * math.Log(a+5*b)
		for range 60 {
			u := a + b*x
			x -= (x + k*math.Log(u)) / (1 + k*b/u)
		}
		return 1 / (x * x)
	}
	for re := TurbulentLimit; re < 1e305; re *= 7.3 {
		for _, rr := range []float64{0, 5e-324, 1e-300, 1e-100, 1e-20, 1e-9, 1e-7, 3e-6, 1e-3, 0.05, 0.3, 1} {
			near(t, fmt.Sprintf("f(%g, %g)", re, rr), FrictionFactor(re, rr), newton(re, rr), 2e-15)
		}
	}
}

// TestFrictionFactorJoins checks value and slope on both sides of the bridge.
func TestFrictionFactorJoins(t *testing.T) {
	slope := func(re, rr, h float64) float64 { // of ln f in ln Re, by one side
		return math.Log(FrictionFactor(re*(1+h), rr)/FrictionFactor(re, rr)) / math.Log1p(h)
	}
	for _, rr := range []float64{0, 1e-5, 1e-3, 0.01, 0.05} {
		for _, re := range []float64{LaminarLimit, TurbulentLimit} {
			at := fmt.Sprintf("at Re %g, ε/D %g", re, rr)
			near(t, "f below and above "+at, FrictionFactor(math.Nextafter(re, 0), rr), FrictionFactor(math.Nextafter(re, 1e9), rr), 1e-14)
			if below, above := slope(re, rr, -1e-6), slope(re, rr, 1e-6); math.Abs(below-above) > 1e-4 {
				t.Errorf("slope %s jumps from %g to %g", at, below, above)
			}
		}
	}
}

// TestFrictionFactorMonotone: the loss at a given wall goes with f·Re² and must
// rise with the flow; and at a given flow f must not fall as the wall gets rougher.
func TestFrictionFactorMonotone(t *testing.T) {
	walls := []float64{0, 1e-6, 1e-5, 1e-4, 1e-3, 0.01, 0.05}
	for i, rr := range walls {
		last := 0.0
		for re := 1.0; re < 1e7; re *= 1.0005 {
			f := FrictionFactor(re, rr)
			if loss := f * re * re; loss <= last {
				t.Fatalf("f·Re² falls at Re %g, ε/D %g", re, rr)
			} else {
				last = loss
			}
			if i > 0 && f < FrictionFactor(re, walls[i-1]) {
				t.Fatalf("f falls from ε/D %g to %g at Re %g", walls[i-1], rr, re)
			}
		}
	}
}

func TestFrictionFactorEdges(t *testing.T) {
	if got := FrictionFactor(0, 0); !math.IsInf(got, 1) {
		t.Errorf("at standstill: %v, want +Inf", got)
	}
	if got := FrictionFactor(math.Inf(1), 0); got != 0 {
		t.Errorf("smooth without viscosity: %v, want 0", got)
	}
	// Fully rough, from White, Fluid Mechanics, eq. (6.63): 1/√f = -2 log10(ε/D/3.7).
	near(t, "rough without viscosity", FrictionFactor(math.Inf(1), 0.01), 1/math.Pow(2*math.Log10(0.01/3.7), 2), 1e-14)
	for _, bad := range [][2]float64{{-1, 0}, {1e5, -1e-3}, {math.NaN(), 0}, {1e5, math.NaN()}, {1e5, 1.01}, {1e5, math.Inf(1)}} {
		if got := FrictionFactor(bad[0], bad[1]); !math.IsNaN(got) {
			t.Errorf("FrictionFactor(%v, %v) = %v, want NaN", bad[0], bad[1], got)
		}
	}
}

// TestFrictionFactorAgainstFluids compares a grid with the Colebrook solution of
// the library fluids (Debian python3-fluids 1.0.22).
func TestFrictionFactorAgainstFluids(t *testing.T) {
	const script = `
import fluids, json
grid = [(re, rr) for re in [1, 50, 1000, 2000] + [4000 * 1.9**k for k in range(16)] for rr in (0.0, 1e-6, 3e-5, 2e-4, 1e-3, 7e-3, 0.05)]
print(json.dumps([(re, rr, fluids.friction_factor(Re=re, eD=rr)) for re, rr in grid]))`
	var out []byte
	for _, python := range []string{"python3", "/usr/bin/python3"} { // the second is Debian's own
		var stdout bytes.Buffer
		cmd := exec.Command(python, "-c", script)
		cmd.Stdout = &stdout
		if cmd.Run() == nil {
			out = stdout.Bytes()
			break
		}
	}
	if out == nil {
		t.Skip("no python3 with the fluids library; Debian has it as python3-fluids")
	}
	var rows [][3]float64
	if err := json.Unmarshal(out, &rows); err != nil {
		t.Fatal(err)
	}
	if len(rows) < 100 {
		t.Fatalf("only %d rows from fluids", len(rows))
	}
	for _, row := range rows {
		near(t, fmt.Sprintf("f(%g, %g)", row[0], row[1]), FrictionFactor(row[0], row[1]), row[2], 1e-13)
	}
}

// BenchmarkFrictionFactor takes other arguments each time, as a sweep does.
func BenchmarkFrictionFactor(b *testing.B) {
	for _, regime := range []struct {
		name        string
		least, most float64 // Re
	}{{"laminar", 10, LaminarLimit}, {"critical", LaminarLimit, TurbulentLimit}, {"turbulent", TurbulentLimit, 2e5}} {
		b.Run(regime.name, func(b *testing.B) {
			var re, wall [256]float64
			random := rand.New(rand.NewPCG(51, 52))
			for i := range re {
				re[i] = regime.least + (regime.most-regime.least)*random.Float64()
				wall[i] = 1e-5 * math.Pow(1000, random.Float64())
			}
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				FrictionFactor(re[i%256], wall[i%256])
			}
		})
	}
}
