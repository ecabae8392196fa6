package root

import (
	"errors"
	"math"
	"testing"
)

func TestFind(t *testing.T) {
	tests := []struct {
		name string
		f    func(float64) float64
		a, b float64
		want float64
	}{
		{"x^2 = 2", func(x float64) float64 { return x*x - 2 }, 0, 2, math.Sqrt2},
		{"falling", func(x float64) float64 { return 2 - x*x }, 0, 2, math.Sqrt2},
		{"ends swapped", func(x float64) float64 { return x*x - 2 }, 2, 0, math.Sqrt2},
		{"cos x = x, the Dottie number", func(x float64) float64 { return math.Cos(x) - x }, 0, 1, 0.7390851332151607},
		{"steep: exp", func(x float64) float64 { return math.Exp(50*x) - 1 }, -1, 2, 0},
		{"flat at the root", func(x float64) float64 { return math.Pow(x-1, 5) }, 0, 4, 1},
		{"zero at an end", func(x float64) float64 { return x }, 0, 1, 0},
		{"a step", func(x float64) float64 { return math.Copysign(1, x-0.3) }, 0, 1, 0.3},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			calls := 0
			got, err := Find(func(x float64) float64 { calls++; return tt.f(x) }, tt.a, tt.b, 1e-12)
			if err != nil || math.Abs(got-tt.want) > 1e-11 && tt.name != "flat at the root" || math.Abs(got-tt.want) > 1e-3 {
				t.Errorf("got %v, %v, want %v", got, err, tt.want)
			}
			if most := 2 + 1 + int(math.Ceil(math.Log2(math.Abs(tt.b-tt.a)/2e-12))); calls > most*3/2 {
				t.Errorf("%d calls, want at most half as many again as bisection's %d", calls, most)
			}
		})
	}
}

func TestFindNoBracket(t *testing.T) {
	for _, f := range []func(float64) float64{
		func(x float64) float64 { return x*x + 1 },
		func(float64) float64 { return math.NaN() },
	} {
		if _, err := Find(f, -1, 1, 1e-9); !errors.Is(err, ErrNoBracket) {
			t.Errorf("got %v, want ErrNoBracket", err)
		}
	}
}
