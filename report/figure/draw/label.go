package draw

import (
	"math"

	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	vgdraw "gonum.org/v1/plot/vg/draw"
)

// path is a line on the page.
type path []vg.Point

// lengths returns the way along the path from its start to each point.
func (p path) lengths() []vg.Length {
	list := make([]vg.Length, len(p))
	for i := 1; i < len(p); i++ {
		d := p[i].Sub(p[i-1])
		list[i] = list[i-1] + vg.Length(math.Hypot(float64(d.X), float64(d.Y)))
	}
	return list
}

// cut returns the part of the path between two ways from its start.
func (p path) cut(lengths []vg.Length, from, to vg.Length) path {
	var part path
	for i := 1; i < len(p); i++ {
		a, b := lengths[i-1], lengths[i]
		if b <= from || a >= to || a == b {
			continue
		}
		at := func(way vg.Length) vg.Point {
			t := (way - a) / (b - a)
			return p[i-1].Add(p[i].Sub(p[i-1]).Scale(t))
		}
		if len(part) == 0 {
			part = append(part, at(max(a, from)))
		}
		part = append(part, at(min(b, to)))
	}
	return part
}

// bend returns how far the path strays from the straight line between its ends.
func (p path) bend() vg.Length {
	if len(p) < 3 {
		return 0
	}
	chord := p[len(p)-1].Sub(p[0])
	long := math.Hypot(float64(chord.X), float64(chord.Y))
	if long == 0 {
		return vg.Length(math.Inf(1))
	}
	worst := 0.0
	for _, q := range p {
		d := q.Sub(p[0])
		worst = max(worst, math.Abs(float64(d.X*chord.Y-d.Y*chord.X))/long)
	}
	return vg.Length(worst)
}

// labeller writes labels into lines so that they do not cover one another.
type labeller struct {
	area  vg.Rectangle
	taken []vg.Rectangle
}

// keepOff keeps labels off the surroundings of a point.
func (l *labeller) keepOff(at vg.Point, r vg.Length) {
	l.taken = append(l.taken, vg.Rectangle{Min: at.Sub(vg.Point{X: r, Y: r}), Max: at.Add(vg.Point{X: r, Y: r})})
}

// place finds room for words along a line, near its middle first. It returns the
// line, with a gap where the words go, and what writes them; where there is no
// room, the whole line and a function that does nothing.
func (l *labeller) place(p path, words string, s text.Style) (pieces []path, write func(vgdraw.Canvas)) {
	lengths := p.lengths()
	if len(p) < 2 {
		return nil, func(vgdraw.Canvas) {}
	}
	whole := lengths[len(lengths)-1]
	room := s.Width(words) + 8
	for _, share := range []vg.Length{0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82, 0.1, 0.9} {
		from, to := share*whole-room/2, share*whole+room/2
		if from < room/4 || to > whole-room/4 {
			continue
		}
		under := p.cut(lengths, from, to)
		if len(under) < 2 || under.bend() > s.Font.Size/4 {
			continue
		}
		chord := under[len(under)-1].Sub(under[0])
		s.Rotation = math.Atan2(float64(chord.Y), float64(chord.X))
		if s.Rotation > math.Pi/2 {
			s.Rotation -= math.Pi
		} else if s.Rotation <= -math.Pi/2 {
			s.Rotation += math.Pi
		}
		middle := under[0].Add(chord.Scale(0.5))
		box := s.Rectangle(words)
		box = box.Add(middle.Sub(box.Min.Add(box.Max).Scale(0.5)))
		if !l.free(box) {
			continue
		}
		l.taken = append(l.taken, box)
		return []path{p.cut(lengths, 0, from), p.cut(lengths, to, whole)}, func(c vgdraw.Canvas) { centred(c, s, middle, words) }
	}
	return []path{p}, func(vgdraw.Canvas) {}
}

// free reports whether a box lies in the area and off everything taken.
func (l *labeller) free(box vg.Rectangle) bool {
	const air = 1.5
	if box.Min.X < l.area.Min.X+air || box.Min.Y < l.area.Min.Y+air || box.Max.X > l.area.Max.X-air || box.Max.Y > l.area.Max.Y-air {
		return false
	}
	for _, t := range l.taken {
		if box.Min.X < t.Max.X+air && t.Min.X < box.Max.X+air && box.Min.Y < t.Max.Y+air && t.Min.Y < box.Max.Y+air {
			return false
		}
	}
	return true
}
