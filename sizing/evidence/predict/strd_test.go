package predict

import (
	"errors"
	"math"
	"testing"
)

// The Statistical Reference Datasets of NIST for linear regression, with the values that
// NIST certified to 15 digits. Data and values as reprinted in the tests of the GNU
// Scientific Library (Norris, Longley, NoInt) and of other general-purpose programs
// (Wampler); NIST's own pages were not opened.
var strd = []struct {
	name   string
	x      [][]float64
	y      []float64
	coef   []float64
	sd     []float64
	left   float64 // residual standard deviation
	digits float64 // that must agree
}{
	{
		name: "Norris", x: withOnes(norrisX), y: norrisY,
		coef: []float64{-0.262323073774029, 1.00211681802045},
		sd:   []float64{0.232818234301152, 0.429796848199937e-03},
		left: 0.884796396144373, digits: 12,
	},
	{
		name: "Longley", x: longleyX, y: longleyY,
		coef: []float64{-3482258.63459582, 15.0618722713733, -0.358191792925910e-01, -2.02022980381683, -1.03322686717359, -0.511041056535807e-01, 1829.15146461355},
		sd:   []float64{890420.383607373, 84.9149257747669, 0.334910077722432e-01, 0.488399681651699, 0.214274163161675, 0.226073200069370, 455.478499142212},
		left: 304.854073561965, digits: 10,
	},
	{
		name: "Wampler3", x: powers(21, 5), y: wampler(1),
		coef: []float64{1, 1, 1, 1, 1, 1},
		sd:   []float64{2152.32624678170, 2363.55173469681, 779.343524331583, 101.475507550350, 5.64566512170752, 0.112324854679312},
		left: 2360.14502379268, digits: 8,
	},
	{
		name: "Wampler4", x: powers(21, 5), y: wampler(100),
		coef: []float64{1, 1, 1, 1, 1, 1},
		sd:   []float64{215232.624678170, 236355.173469681, 77934.3524331583, 10147.5507550350, 564.566512170752, 11.2324854679312},
		left: 236014.502379268, digits: 7,
	},
	{
		name: "NoInt1", x: columnsOf([]float64{60, 61, 62, 63, 64, 65, 66, 67, 68, 69, 70}),
		y:    []float64{130, 131, 132, 133, 134, 135, 136, 137, 138, 139, 140},
		coef: []float64{2.07438016528926}, sd: []float64{0.165289256198347e-01},
		left: 3.56753034006338, digits: 13,
	},
	{
		name: "NoInt2", x: columnsOf([]float64{4, 5, 6}), y: []float64{3, 4, 4},
		coef: []float64{0.727272727272727}, sd: []float64{0.420827318078432e-01},
		left: 0.369274472937998, digits: 13,
	},
}

// TestStatisticalReferenceDatasets holds the regression, which with no rows for the prior
// is that of a flat one, against certified values.
func TestStatisticalReferenceDatasets(t *testing.T) {
	for _, c := range strd {
		t.Run(c.name, func(t *testing.T) {
			n, p := len(c.x), len(c.x[0])
			a := newMatrix(n, p+1)
			for i, row := range c.x {
				copy(a.Data[i*a.Stride:], append(append([]float64(nil), row...), c.y[i]))
			}
			s, err := reduce(a).solve()
			if err != nil {
				t.Fatal(err)
			}
			variance := s.rss / float64(n-p)
			agrees(t, "residual standard deviation", math.Sqrt(variance), c.left, c.digits)
			for j := range p {
				agrees(t, "coefficient", s.coef[j], c.coef[j], c.digits)
				agrees(t, "its standard deviation", math.Sqrt(variance*s.variance(j)), c.sd[j], c.digits)
			}
		})
	}
}

// agrees wants so many digits to agree.
func agrees(t *testing.T, what string, got, want, digits float64) {
	t.Helper()
	if off := -math.Log10(math.Abs(got-want) / math.Abs(want)); off < digits {
		t.Errorf("%s: got %.15g, certified %.15g: %.1f digits agree, want %g", what, got, want, off, digits)
	}
}

// TestDependentColumns wants an error, not numbers, where the data do not tell.
func TestDependentColumns(t *testing.T) {
	a := newMatrix(4, 3)
	copy(a.Data, []float64{1, 2, 1, 1, 2, 2, 1, 2, 3, 1, 2, 4})
	if _, err := reduce(a).solve(); !errors.Is(err, errDependent) {
		t.Errorf("two columns alike: %v", err)
	}
}

func withOnes(x []float64) [][]float64 {
	rows := make([][]float64, len(x))
	for i, v := range x {
		rows[i] = []float64{1, v}
	}
	return rows
}

func columnsOf(x []float64) [][]float64 {
	rows := make([][]float64, len(x))
	for i, v := range x {
		rows[i] = []float64{v}
	}
	return rows
}

// powers returns the powers 0 to degree of 0, 1, … n-1.
func powers(n, degree int) [][]float64 {
	rows := make([][]float64, n)
	for i := range rows {
		v := 1.0
		for range degree + 1 {
			rows[i] = append(rows[i], v)
			v *= float64(i)
		}
	}
	return rows
}

// wampler returns the sum of the powers and its disturbance, times a factor.
func wampler(factor float64) []float64 {
	disturbance := []float64{
		759, -2048, 2048, -2048, 2523, -2048, 2048, -2048, 1838, -2048, 2048,
		-2048, 1838, -2048, 2048, -2048, 2523, -2048, 2048, -2048, 759,
	}
	y := make([]float64, len(disturbance))
	for i, row := range powers(len(y), 5) {
		for _, v := range row {
			y[i] += v
		}
		y[i] += factor * disturbance[i]
	}
	return y
}

var norrisX = []float64{
	0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4,
	0.6, 775.5, 666.9, 338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3,
	0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5,
}

var norrisY = []float64{
	0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3,
	0.1, 778.1, 668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3,
	0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2,
}

var longleyX = [][]float64{
	{1, 83.0, 234289, 2356, 1590, 107608, 1947},
	{1, 88.5, 259426, 2325, 1456, 108632, 1948},
	{1, 88.2, 258054, 3682, 1616, 109773, 1949},
	{1, 89.5, 284599, 3351, 1650, 110929, 1950},
	{1, 96.2, 328975, 2099, 3099, 112075, 1951},
	{1, 98.1, 346999, 1932, 3594, 113270, 1952},
	{1, 99.0, 365385, 1870, 3547, 115094, 1953},
	{1, 100.0, 363112, 3578, 3350, 116219, 1954},
	{1, 101.2, 397469, 2904, 3048, 117388, 1955},
	{1, 104.6, 419180, 2822, 2857, 118734, 1956},
	{1, 108.4, 442769, 2936, 2798, 120445, 1957},
	{1, 110.8, 444546, 4681, 2637, 121950, 1958},
	{1, 112.6, 482704, 3813, 2552, 123366, 1959},
	{1, 114.2, 502601, 3931, 2514, 125368, 1960},
	{1, 115.7, 518173, 4806, 2572, 127852, 1961},
	{1, 116.9, 554894, 4007, 2827, 130081, 1962},
}

var longleyY = []float64{
	60323, 61122, 60171, 61187, 63221, 63639, 64989, 63761,
	66019, 67857, 68169, 66513, 68655, 69564, 69331, 70551,
}
