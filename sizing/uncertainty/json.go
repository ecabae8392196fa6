package uncertainty

import (
	"encoding/json"
	"math"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/uncertainty/montecarlo"
)

// histogramBars is how many bars the JSON of an outcome has.
const histogramBars = 40

// MarshalJSON writes the study as data: results in the units of the sheet, a number that
// there is not as null, quantities of parts with their SI unit.
func (s *Study) MarshalJSON() ([]byte, error) {
	out := studyJSON{
		Words: s.Words(), Draws: s.Draws, Seed: s.Seed, Sampling: s.Sampling, Confidence: float64(s.Confidence),
		Senseless: s.Senseless, Reasons: s.Reasons,
		Doubts: []doubtJSON{}, Results: []outcomeJSON{}, Parts: []partJSON{},
		Short: chanceOf(s.Short), Kept: chanceOf(s.Kept), Carried: s.outcome(s.Limit, len(s.Outcomes)),
	}
	for _, d := range s.Middle.Build.InDoubt().List {
		q, sys := d.Spread().Quantile, s.Middle.Build.Job.Units
		out.Doubts = append(out.Doubts, doubtJSON{
			Path: d.Path, Text: d.Text, Kind: d.Spread().Kind().String(),
			Middle: d.Middle(sys), P5: d.Print(q(0.05), sys), P95: d.Print(q(0.95), sys),
		})
	}
	for k, o := range s.Outcomes {
		out.Results = append(out.Results, s.outcome(o, k))
	}
	for k, p := range s.Parts {
		j := partJSON{
			Kind: p.Kind, Name: p.Name, Margin: number64(float64(p.Margin)),
			P5: number64(float64(p.MarginAt(0.05))), P50: number64(float64(p.MarginAt(0.50))), P95: number64(float64(p.MarginAt(0.95))),
			Short: chanceOf(p.Short), Kept: chanceOf(p.Kept), First: chanceOf(p.First),
			Factor: number64(p.Factor()), Moved: s.indices(len(s.Outcomes) + k), Left: s.left(len(s.Outcomes) + k),
		}
		if p.Factor() < unbounded {
			j.Needed, j.Aim = p.Needed(), number64(float64(p.Aim()))
		}
		out.Parts = append(out.Parts, j)
	}
	for _, g := range s.Groups {
		var names []string
		for _, k := range g {
			names = append(names, s.Doubts.List[k].Path)
		}
		out.Groups = append(out.Groups, names)
	}
	out.Base = s.Base
	return json.Marshal(out)
}

type studyJSON struct {
	Words      []string            `json:"words"`
	Draws      int                 `json:"draws"`
	Seed       uint64              `json:"seed"`
	Sampling   montecarlo.Sampling `json:"sampling"`
	Confidence float64             `json:"confidence"`
	Senseless  int                 `json:"senseless"` // draws of which no build could be made
	Reasons    []Reason            `json:"reasons,omitempty"`
	Doubts     []doubtJSON         `json:"doubts"`
	Results    []outcomeJSON       `json:"results"`
	Carried    outcomeJSON         `json:"power_carried"`
	Parts      []partJSON          `json:"parts"`
	Short      chanceJSON          `json:"falls_short"`
	Kept       chanceJSON          `json:"keeps_margins"`
	Groups     [][]string          `json:"groups,omitempty"` // of doubts, in the order of all lists named moved
	Base       int                 `json:"base,omitempty"`   // pairs of draws that these are found from
}

type doubtJSON struct {
	Path   string `json:"path"`
	Text   string `json:"text"`
	Kind   string `json:"kind"`
	Middle string `json:"middle"`
	P5     string `json:"p5"`
	P95    string `json:"p95"`
}

type outcomeJSON struct {
	Name       string             `json:"name"`
	Unit       string             `json:"unit"`
	Middle     *float64           `json:"middle"`
	Mean       *float64           `json:"mean"`
	SD         *float64           `json:"deviation"`
	Least      *float64           `json:"least"`
	P5         *float64           `json:"p5"`
	P25        *float64           `json:"p25"`
	P50        *float64           `json:"p50"`
	P75        *float64           `json:"p75"`
	P95        *float64           `json:"p95"`
	Most       *float64           `json:"most"`
	Resolution float64            `json:"resolution"` // of the percentiles
	Count      int                `json:"count"`
	Lacks      int                `json:"lacks"` // draws that made sense without this result
	Histogram  []barJSON          `json:"histogram,omitempty"`
	Moved      []montecarlo.Index `json:"moved,omitempty"`
	Left       int                `json:"left_out,omitempty"` // pairs of draws without it
}

type barJSON struct {
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
	Share float64 `json:"share"`
}

type partJSON struct {
	Kind   sizing.PartKind     `json:"kind"`
	Name   string              `json:"name,omitempty"`
	Margin *float64            `json:"margin"`
	P5     *float64            `json:"margin_p5"`
	P50    *float64            `json:"margin_p50"`
	P95    *float64            `json:"margin_p95"`
	Short  chanceJSON          `json:"falls_short"`
	Kept   chanceJSON          `json:"keeps_margin"`
	First  chanceJSON          `json:"gives_out_first"`
	Factor *float64            `json:"factor"`          // of its size to carry with the confidence
	Needed quantity.VolumeFlow `json:"needed,omitzero"` // what it then carries at the middle
	Aim    *float64            `json:"aim,omitempty"`   // the margin it then has there
	Moved  []montecarlo.Index  `json:"moved,omitempty"`
	Left   int                 `json:"left_out,omitempty"`
}

type chanceJSON struct {
	montecarlo.Chance
	Share         *float64 `json:"share"`
	StandardError *float64 `json:"standard_error"`
	Bound         float64  `json:"bound,omitempty"` // how far off Share may be where all draws agree
}

func chanceOf(c montecarlo.Chance) chanceJSON {
	return chanceJSON{Chance: c, Share: number64(c.Share()), StandardError: number64(c.StandardError()), Bound: c.Bound()}
}

// number64 is nil for what is no number.
func number64(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}

// outcome is the k-th outcome as data.
func (s *Study) outcome(o Outcome, k int) outcomeJSON {
	q := func(p float64) *float64 { return number64(o.Quantile(p)) }
	j := outcomeJSON{
		Name: o.Name, Unit: o.Unit, Middle: number64(o.Middle), Mean: number64(o.Mean()), SD: number64(o.SD()),
		Least: q(0), P5: q(0.05), P25: q(0.25), P50: q(0.50), P75: q(0.75), P95: q(0.95), Most: q(1),
		Resolution: o.Resolution(), Count: o.Count(), Lacks: o.Lacks,
	}
	for _, b := range o.Bars(histogramBars) {
		j.Histogram = append(j.Histogram, barJSON(b))
	}
	if s.Moved != nil {
		at := k
		if k == len(s.Outcomes) {
			at = len(s.Moved) - 1
		}
		j.Moved, j.Left = s.indices(at), s.left(at)
	}
	return j
}

func (s *Study) indices(k int) []montecarlo.Index {
	if s.Moved == nil {
		return nil
	}
	return s.Moved[k]
}

func (s *Study) left(k int) int {
	if s.Left == nil {
		return 0
	}
	return s.Left[k]
}
