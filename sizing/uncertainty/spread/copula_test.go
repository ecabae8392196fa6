package spread_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"gonum.org/v1/gonum/stat"

	"example.com/railbook/sizing/uncertainty/spread"
)

// TestJoin draws from a copula and wants numbers equally spread, with the correlation
// that a Gaussian copula gives them: 6/π·asin(r/2) between the ranks (W. H. Kruskal, J.
// Amer. Statist. Assoc. 53, 1958, from memory), and none between groups.
func TestJoin(t *testing.T) {
	c, err := spread.NewCopula(5, spread.Pair{I: 4, J: 0, R: 0.8}, spread.Pair{I: 2, J: 4, R: -0.5}, spread.Pair{I: 1, J: 3, R: 0})
	if err != nil {
		t.Fatal(err)
	}
	if want := [][]int{{0, 2, 4}, {1}, {3}}; !reflect.DeepEqual(c.Groups(), want) {
		t.Errorf("groups %v, want %v", c.Groups(), want)
	}
	r := rand.New(rand.NewPCG(1, 2))
	const n = 200_000
	columns := make([][]float64, 5)
	u := make([]float64, 5)
	for range n {
		for k := range u {
			u[k] = r.Float64()
		}
		c.Join(u)
		for k := range u {
			columns[k] = append(columns[k], u[k])
		}
	}
	for k, column := range columns {
		mean, sd := stat.MeanStdDev(column, nil)
		if math.Abs(mean-0.5) > 0.003 || math.Abs(sd-1/math.Sqrt(12)) > 0.002 {
			t.Errorf("column %d: mean %g, deviation %g, want those of the equally spread", k, mean, sd)
		}
	}
	for _, tt := range []struct {
		i, j int
		r    float64
	}{{0, 4, 0.8}, {2, 4, -0.5}, {0, 2, 0}, {0, 1, 0}, {1, 3, 0}, {3, 4, 0}} {
		want := 6 / math.Pi * math.Asin(tt.r/2)
		if got := stat.Correlation(columns[tt.i], columns[tt.j], nil); math.Abs(got-want) > 0.01 {
			t.Errorf("correlation of %d and %d: %g, want %g", tt.i, tt.j, got, want)
		}
	}
}

func TestJoinLeavesTheLoneAlone(t *testing.T) {
	c, err := spread.NewCopula(3)
	if err != nil {
		t.Fatal(err)
	}
	u := []float64{0.1, 0.2, 0.3}
	if c.Join(u); !reflect.DeepEqual(u, []float64{0.1, 0.2, 0.3}) {
		t.Errorf("joined without correlation to %v", u)
	}
}

func TestContradiction(t *testing.T) {
	_, err := spread.NewCopula(6, spread.Pair{I: 1, J: 3, R: 0.9}, spread.Pair{I: 3, J: 5, R: 0.9}, spread.Pair{I: 1, J: 5, R: -0.9}, spread.Pair{I: 0, J: 2, R: 0.5})
	var c *spread.Contradiction
	if !errors.As(err, &c) || !errors.Is(err, spread.ErrCorrelation) || !reflect.DeepEqual(c.Group, []int{1, 3, 5}) {
		t.Errorf("got %v, want a contradiction among 1, 3 and 5", err)
	}
	for name, p := range map[string]spread.Pair{
		"with itself": {I: 1, J: 1, R: 0.5}, "outside": {I: 1, J: 6, R: 0.5}, "below": {I: -1, J: 1, R: 0.5},
		"whole": {I: 0, J: 1, R: 1}, "not a number": {I: 0, J: 1, R: math.NaN()},
	} {
		if _, err := spread.NewCopula(6, p); !errors.Is(err, spread.ErrCorrelation) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := spread.NewCopula(6, spread.Pair{I: 0, J: 1, R: 0.5}, spread.Pair{I: 1, J: 0, R: 0.5}); !errors.Is(err, spread.ErrCorrelation) {
		t.Errorf("twice: %v", err)
	}
}

func BenchmarkJoin(b *testing.B) {
	c, err := spread.NewCopula(8, spread.Pair{I: 0, J: 1, R: 0.6})
	if err != nil {
		b.Fatal(err)
	}
	u := []float64{0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8}
	b.ReportAllocs()
	for b.Loop() {
		u[0], u[1] = 0.1, 0.2
		c.Join(u)
	}
}
