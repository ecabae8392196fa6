package uncertainty

import (
	"fmt"
	"math"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// Words says in a few sentences what the study found.
func (s *Study) Words() []string {
	sys := s.Middle.Build.Job.Units
	power := quantity.Format(s.Middle.Power, sys)
	if s.Draws == s.Senseless {
		return []string{fmt.Sprintf("None of %s draws makes sense: %s.", grouped(s.Draws), s.Reasons[0].Text)}
	}
	if s.Doubts.IsZero() {
		return []string{"The build has no doubts: give a value of its sheet as a range, with a tolerance or as a distribution. What follows is the build as it stands."}
	}
	list := []string{s.shortInWords(power)}
	if carried := s.PowerCarried(); !math.IsNaN(float64(carried)) {
		list = append(list, fmt.Sprintf("With %s confidence no part gives out below %s; with every doubt at its middle the first does at %s.",
			s.Confidence.Percent(0), quantity.Format(carried, sys), quantity.Format(s.Middle.Weakest().Limit, sys)))
	}
	if text := s.movesInWords(); text != "" {
		list = append(list, text)
	}
	for _, kind := range []sizing.PartKind{sizing.InjectorsPart, sizing.PumpsPart} {
		for _, p := range s.Parts {
			if p.Kind == kind {
				list = append(list, s.sizeInWords(p))
			}
		}
	}
	if s.Senseless > 0 {
		list = append(list, fmt.Sprintf("%s of the draws make no sense and are left out, most often since %s.",
			percent(float64(s.Senseless)/float64(s.Draws)), s.Reasons[0].Text))
	}
	return list
}

// shortInWords says how likely the system falls short.
func (s *Study) shortInWords(power string) string {
	worst := -1
	for k, p := range s.Parts {
		if p.Short.Count > 0 && (worst < 0 || p.Short.Count > s.Parts[worst].Short.Count) {
			worst = k
		}
	}
	if worst < 0 {
		return fmt.Sprintf("No part falls short of %s in any of %s draws (the chance is %s with 95 %% confidence).", power, grouped(s.Short.Of), chance(s.Short))
	}
	return fmt.Sprintf("In %s of the draws some part falls short of %s, most often the %s (%s).",
		percent(s.Short.Share()), power, s.Parts[worst].Kind, percent(s.Parts[worst].Short.Share()))
}

// sizeInWords says how large a part has to be.
func (s *Study) sizeInWords(p Part) string {
	sys := s.Middle.Build.Job.Units
	share := s.Confidence.Percent(0)
	switch f := p.Factor(); {
	case !(f < unbounded):
		return fmt.Sprintf("No size of the %s is enough in %s of the draws.", p.Kind, share)
	case p.Kind == sizing.InjectorsPart:
		first, second := s.Sized()
		if second != "" {
			first += " and " + second
		}
		return fmt.Sprintf("Injectors that carry the demand in %s of the draws are rated at %s, %.3f times those of the build.", share, first, f)
	default:
		return fmt.Sprintf("Pumps that do so bring %s to the rail, a margin of %s with every doubt at its middle; those of the build have %s.",
			quantity.Format(p.Needed(), sys), signed(p.Aim()), signed(p.Margin))
	}
}

// movesInWords says which doubt matters most for the power at which the first part gives
// out.
func (s *Study) movesInWords() string {
	if s.Moved == nil {
		return ""
	}
	indices := s.moved(len(s.Outcomes))
	best, second := -1, -1
	for g, i := range indices {
		switch {
		case best < 0 || i.Total > indices[best].Total:
			best, second = g, best
		case second < 0 || i.Total > indices[second].Total:
			second = g
		}
	}
	if best < 0 || indices[best].Total <= 0 {
		return ""
	}
	text := fmt.Sprintf("The power that the parts carry is spread most by %s (%.0f %% of its variance)", s.groupName(s.Groups[best]), 100*indices[best].Total)
	if second >= 0 && indices[second].Total > 0.01 {
		text += fmt.Sprintf(", then by %s (%.0f %%)", s.groupName(s.Groups[second]), 100*indices[second].Total)
	}
	return text + ": knowing that better narrows the answer most."
}
