package display

import (
	"fmt"
	"strings"
	"unicode"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/sweep"
)

// Surface is a result over the first two axes of a sweep as a solid shape to be
// turned. Where the result has a limit it is a line on the shape, and the build
// itself, where it lies on it, a pin. Further axes are held at the values given,
// as in "base pressure = 58 psi", or else at their first.
func Surface(g *Grid, r sweep.Result, held ...string) figure.Figure {
	return cell.Must(g.surface(figure.Relief, r, held))
}

// Map is the same seen from above, with contour lines.
func Map(g *Grid, r sweep.Result, held ...string) figure.Figure {
	return cell.Must(g.surface(figure.Map, r, held))
}

func (g *Grid) surface(view figure.View, r sweep.Result, held []string) (figure.Figure, error) {
	s, err := g.cut(r, held)
	if err != nil {
		return figure.Figure{}, err
	}
	shape := s.Surface(r)
	if low, high := shape.Range(); low > high {
		return figure.Figure{}, fmt.Errorf("%s has no value anywhere on this sweep", r.Name)
	}
	shape.Title = fmt.Sprintf("%s over %s and %s", r.Name, s.Axes[0].Field, s.Axes[1].Field)
	f := figure.OfSurface(slug(append([]string{string(view), r.Name}, s.held...)...), shape, view)
	f.Surface.Here = s.here
	s.explain(&f)
	return f, nil
}

// explain adds to a figure's title what is held, and what is missing.
func (s cut) explain(f *figure.Figure) {
	if len(s.held) > 0 {
		f.Title += ", at " + strings.Join(s.held, " and ")
	}
	if n, reason := s.Gaps(); n > 0 {
		f.Alt += fmt.Sprintf(" %d of %d points have no answer; the first: %s.", n, s.Len(), strings.TrimSuffix(reason, "."))
	}
}

// Headroom shows the power at which each part runs out, against the target.
func Headroom(a *sizing.Assessment) figure.Figure { return figure.OfHeadroom("headroom", a) }

// slug makes an ID of words: letters, digits and hyphens.
func slug(words ...string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(strings.Join(words, " ")) {
		switch {
		case r < unicode.MaxASCII && (unicode.IsLetter(r) || unicode.IsDigit(r)):
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	return strings.Trim(b.String(), "-")
}
