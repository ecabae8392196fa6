package draw

import (
	"math"
	"testing"

	"gonum.org/v1/plot/vg"
)

// ring is a closed path.
func ring(at vg.Point, r vg.Length) path {
	var p path
	for i := range 61 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 60)
		p = append(p, vg.Point{X: at.X + r*vg.Length(cos), Y: at.Y + r*vg.Length(sin)})
	}
	return p
}

func TestLabelsKeepApart(t *testing.T) {
	l := labeller{area: vg.Rectangle{Max: vg.Point{X: 400, Y: 300}}}
	s := style(noteSize)
	placed := 0
	for i := range 12 {
		before := len(l.taken)
		pieces, _ := l.place(ring(vg.Point{X: 200, Y: 150}, vg.Length(12*(i+1))), "12.5", s)
		if len(l.taken) > before {
			placed++
			if len(pieces) != 2 {
				t.Errorf("ring %d has a label and %d pieces", i, len(pieces))
			}
		} else if len(pieces) != 1 {
			t.Errorf("ring %d has no label and %d pieces", i, len(pieces))
		}
	}
	if placed < 8 {
		t.Errorf("only %d of 12 rings have a label", placed)
	}
	for i, a := range l.taken {
		if a.Min.X < 0 || a.Min.Y < 0 || a.Max.X > 400 || a.Max.Y > 300 {
			t.Errorf("label %d leaves the area", i)
		}
		for _, b := range l.taken[i+1:] {
			if a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y {
				t.Errorf("labels %v and %v overlap", a, b)
			}
		}
	}
}

func TestCutKeepsLength(t *testing.T) {
	p := ring(vg.Point{}, 50)
	lengths := p.lengths()
	whole := lengths[len(lengths)-1]
	// A 60-sided polygon in a circle of radius 50: 60 · 2 · 50 · sin(π/60).
	if want := vg.Length(6000 * math.Sin(math.Pi/60)); math.Abs(float64(whole-want)) > 1e-9 {
		t.Errorf("the ring is %v long, want %v", whole, want)
	}
	for _, share := range []vg.Length{0.1, 0.5, 0.77} {
		a, b := p.cut(lengths, 0, share*whole), p.cut(lengths, share*whole, whole)
		la, lb := a.lengths(), b.lengths()
		if sum := la[len(la)-1] + lb[len(lb)-1]; math.Abs(float64(sum-whole)) > 1e-9 {
			t.Errorf("cut at %v: the parts are %v long, the whole %v", share, sum, whole)
		}
		if a[len(a)-1] != b[0] {
			t.Errorf("cut at %v: the parts do not meet", share)
		}
	}
}
