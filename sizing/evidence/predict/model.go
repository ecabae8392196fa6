package predict

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/quantity"
)

// leastOwn is the least relative standard uncertainty that a pull is taken to have of its
// own, so that pulls alike by rounding do not prove that an engine never scatters. Far
// below what any log gives.
const leastOwn = 1e-4

// column is a column of the design matrix.
type column struct {
	feature Feature
	kind    demand.Induction // of an Induction column
}

// model is the data, seen from the combination asked for.
type model struct {
	columns []column
	x       [][]float64          // by pull and column
	z       []float64            // by pull
	own     []float64            // variance, by pull
	shared  []float64            // standard uncertainty, by pull
	engines []engine             // sorted by name
	again   int                  // index of the engine that the question is about; -1 for a new one
	scale   float64              // s of the priors of σ and κ
	sd      [numFeatures]float64 // prior standard deviations of the features in units of κ
}

// engine is the pulls of one engine.
type engine struct {
	name  string
	pulls []int
}

// newModel lays out the pulls. With a name, the question is about that engine again, if
// it is among them.
func newModel(asked Combination, name string, pulls []Observation) (*model, error) {
	if err := asked.check(); err != nil {
		return nil, err
	}
	m := &model{again: -1, sd: priorSD, scale: priorScale(asked.logBand().half)}
	m.columns = []column{{feature: Level}}
	for kind := demand.NaturallyAspirated; kind <= demand.Turbocharged; kind++ {
		if kind != asked.Induction {
			m.columns = append(m.columns, column{Induction, kind})
		}
	}
	for _, f := range []Feature{Ethanol, Boost, Valves} {
		m.columns = append(m.columns, column{feature: f})
	}
	for i, o := range pulls {
		if err := o.Check(); err != nil {
			return nil, fmt.Errorf("pull %d: %w", i+1, err)
		}
		m.x = append(m.x, m.row(asked, o.Combination))
		m.z = append(m.z, math.Log(float64(o.Energy))-o.logBand().middle)
		m.own = append(m.own, square(float64(o.Own))+square(leastOwn))
		m.shared = append(m.shared, float64(o.Shared))
		at, found := slices.BinarySearchFunc(m.engines, o.Engine, func(e engine, name string) int {
			return strings.Compare(e.name, name)
		})
		if !found {
			m.engines = slices.Insert(m.engines, at, engine{name: o.Engine})
		}
		m.engines[at].pulls = append(m.engines[at].pulls, i)
	}
	if name != "" {
		m.again = slices.IndexFunc(m.engines, func(e engine) bool { return e.name == name })
		if m.again < 0 {
			return nil, fmt.Errorf("engine %q has no pull among them", name)
		}
	}
	return m, nil
}

// row returns the line of the design matrix for a pull.
func (m *model) row(asked, o Combination) []float64 {
	row := make([]float64, len(m.columns))
	for j, c := range m.columns {
		switch c.feature {
		case Level:
			row[j] = 1
		case Induction:
			if o.Induction == c.kind {
				row[j] = 1
			}
		case Ethanol:
			row[j] = float64(EthanolEnergy(o.Blend)) - float64(EthanolEnergy(asked.Blend))
		case Boost:
			row[j] = (o.Boost - asked.Boost).In(quantity.BarDiff)
		case Valves:
			row[j] = float64(o.Valves - asked.Valves)
		}
	}
	return row
}

// width returns the number of unknowns: the columns, and the engine asked for again.
func (m *model) width() int {
	if m.again >= 0 {
		return len(m.columns) + 1
	}
	return len(m.columns)
}

// target returns the weights of the unknowns in what is asked for.
func (m *model) target() []float64 {
	c := unit(m.width(), 0)
	if m.again >= 0 {
		c[len(m.columns)] = 1
	}
	return c
}

// data is the pulls, whitened for given scatter: what they say of the unknowns.
type data struct {
	*system
	rows      [][]float64 // the design, whitened, by unknown; engine by engine
	whiteners []*whitener // by engine
	halfDet   float64     // ln of the root of the determinant of the pulls' covariance
}

// given returns the data for the scatter σ of which r belongs to the pull.
func (m *model) given(sigma, r float64) *data {
	n, p := len(m.z), m.width()
	d := &data{whiteners: make([]*whitener, len(m.engines)), rows: make([][]float64, p+1)} // the last is z
	cells := make([]float64, n*(p+1))
	for j := range d.rows {
		d.rows[j] = cells[j*n : (j+1)*n]
	}
	first := 0
	for e := range m.engines {
		pulls := m.engines[e].pulls
		w := m.whitener(e, sigma*math.Sqrt(1-r), r*sigma*sigma)
		d.whiteners[e] = w
		d.halfDet += w.halfDet
		for j, row := range d.rows {
			part := row[first : first+len(pulls)]
			for k, i := range pulls {
				part[k] = m.element(e, i, j)
			}
			w.apply(part)
		}
		first += len(pulls)
	}
	all := newMatrix(max(n, p+1), p+1)
	for j, row := range d.rows {
		for i, v := range row {
			all.Data[i*all.Stride+j] = v
		}
	}
	d.system = reduce(all)
	return d
}

// element returns what stands in the j-th column for a pull of an engine: the design, the
// indicator of the engine asked for again, and z.
func (m *model) element(e, pull, j int) float64 {
	switch {
	case j < len(m.columns):
		return m.x[pull][j]
	case j == m.width():
		return m.z[pull]
	case e == m.again:
		return 1
	}
	return 0
}

// whitener returns the whitener of an engine's pulls: their own errors and scatter, the
// engine's place and slopes among engines, and the errors they share. The place of the
// engine asked for again is an unknown of its own instead.
func (m *model) whitener(e int, between, within float64) *whitener {
	pulls := m.engines[e].pulls
	along := func(of func(pull int) float64) []float64 {
		v := make([]float64, len(pulls))
		for k, i := range pulls {
			v[k] = of(i)
		}
		return v
	}
	common := [][]float64{along(func(i int) float64 { return m.shared[i] })}
	if e != m.again {
		common = append(common, along(func(int) float64 { return between }))
	}
	for j, c := range m.columns {
		if c.feature == Ethanol || c.feature == Boost {
			common = append(common, along(func(i int) float64 { return ownSlope * between * m.x[i][j] }))
		}
	}
	return newWhitener(along(func(i int) float64 { return m.own[i] + within }), common...)
}

// fit is the posterior of the unknowns for given scales.
type fit struct {
	*solution
	prior      []float64 // standard deviations of the unknowns
	logDensity float64   // of the data, up to a constant
}

// fit returns the posterior for given data, with their σ and r, and κ. The prior is as
// many more rows of the least-squares problem: each unknown is nought, give or take its
// standard deviation.
func (m *model) fit(d *data, sigma, r, kappa float64) (*fit, error) {
	p := m.width()
	f := &fit{prior: make([]float64, p), logDensity: -d.halfDet}
	stack := newMatrix(2*p, p+1)
	for i := range p {
		f.prior[i] = sigma * math.Sqrt(1-r)
		if i < len(m.columns) {
			f.prior[i] = kappa * m.sd[m.columns[i].feature]
		}
		f.logDensity -= math.Log(f.prior[i])
		stack.Data[(p+i)*stack.Stride+i] = 1 / f.prior[i]
		for j := i; j <= p; j++ {
			stack.Data[i*stack.Stride+j] = d.at(i, j)
		}
	}
	both := reduce(stack)
	both.rest += d.rest
	var err error
	if f.solution, err = both.solve(); err != nil {
		return nil, err
	}
	f.logDensity -= f.rss/2 + f.solution.halfDet
	return f, nil
}

// weights returns what each pull adds to a result per unit of its z, where v is the
// result's weights of the unknowns behind the inverse of AᵀA.
func (m *model) weights(d *data, v []float64) []float64 {
	rows := make([]float64, len(m.z))
	for j, f := range v {
		for i, x := range d.rows[j] {
			rows[i] += f * x
		}
	}
	weights := make([]float64, len(m.z))
	first := 0
	for e, w := range d.whiteners {
		pulls := m.engines[e].pulls
		part := rows[first : first+len(pulls)]
		w.applyT(part)
		for k, i := range pulls {
			weights[i] = part[k]
		}
		first += len(pulls)
	}
	return weights
}
