package whatif

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// Settings say where the sliders of a panel stand. The zero value is the sheet as it is. A
// slider at the sheet's own stop is not moved, unless its value is computed.
type Settings struct {
	// Stops holds, by the slider's ID, the stop that it was moved to. One that is not named
	// stays with the sheet, or follows the others.
	Stops map[string]int `json:"stops,omitempty"`
	// Apart moves boost and power each by itself, as a better turbocharger or cam would.
	// Else each moves the other, and only one of them may be set.
	Apart bool `json:"apart,omitempty"`
}

// check wants stops of sliders that there are.
func (p *Panel) check(s Settings) error {
	for _, id := range slices.Sorted(maps.Keys(s.Stops)) {
		i := slices.IndexFunc(p.sliders, func(v slider) bool { return v.ID == id })
		if i < 0 {
			return fmt.Errorf("no slider %q; want one of %s", id, strings.Join(p.ids(), ", "))
		}
		if stop, n := s.Stops[id], len(p.sliders[i].values); stop < 0 || stop >= n {
			return fmt.Errorf("slider %s has no stop %d; want 0 to %d", id, stop, n-1)
		}
	}
	_, boost := s.Stops[Boost]
	_, power := s.Stops[Power]
	if boost && power && !s.Apart {
		return errors.New("boost and power move each other; set one of them, or take them apart")
	}
	return nil
}

func (p *Panel) ids() []string {
	list := make([]string, len(p.sliders))
	for i, s := range p.sliders {
		list[i] = s.ID
	}
	return list
}

// at returns the sheet's build with the sliders where the settings, which are checked,
// have them. The error is of a value that the build cannot have at all.
func (p *Panel) at(s Settings) (sizing.Build, error) {
	b := p.build
	alcohol := map[string]quantity.VolumeFraction{}
	mixed := false
	for _, v := range p.sliders {
		stop, moved := v.set(s)
		if v.move == nil {
			alcohol[v.ID] = quantity.VolumeFraction(v.values[stop])
			mixed = mixed || moved
			continue
		}
		if !moved {
			continue
		}
		changed, err := v.move(b, v.values[stop])
		if err != nil {
			return sizing.Build{}, err
		}
		if s.Apart {
			changed = apart(v.ID, b, changed)
		}
		b = changed
	}
	if !mixed {
		return b, nil
	}
	f, err := blended(b.Fuel.Blend, alcohol[Ethanol], alcohol[Methanol])
	if err != nil {
		return sizing.Build{}, err
	}
	return b.WithBlend(f), nil
}

// set returns the stop of a slider, and whether it is moved there.
func (v slider) set(s Settings) (stop int, moved bool) {
	stop, ok := s.Stops[v.ID]
	if !ok {
		return v.Home, false
	}
	return stop, stop != v.Home || v.Computed
}

// apart takes back what a change of boost or power has moved along.
func apart(id string, before, after sizing.Build) sizing.Build {
	switch id {
	case Boost:
		after.Target = before.Target
	case Power:
		after.Induction.Boost = before.Induction.Boost
		after.Engine.VolumetricEfficiency = before.Engine.VolumetricEfficiency
	}
	return after
}
