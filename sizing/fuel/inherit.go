package fuel

import "strings"

// inherit takes from the base of the draft what it does not give itself: whole
// series, single values and texts. The base is finished.
func (d *draft) inherit() {
	base := d.base
	taken := map[string]bool{}
	for property, readings := range base.series {
		if len(d.series[property]) == 0 {
			d.series[property], taken[property] = readings, true
		}
	}
	for property, r := range base.seen {
		if _, own := d.seen[property]; own || property == "base" {
			continue
		}
		d.seen[property], taken[property] = r, true
		switch property {
		case "formula":
			d.formula, d.atoms, d.molar = base.formula, base.atoms, base.molar
		case "family":
			d.family = base.family
		case "fire class":
			d.class = base.class
		default:
			field := scalars[property].field
			*field(d.species) = *field(base.species)
		}
	}
	for _, v := range base.values {
		if taken[v.Property] {
			v.Note = takenFrom(base.name, v.Note)
			d.values = append(d.values, v)
		}
	}
}

// takenFrom adds to the note of a value that it is another constituent's. The
// first such constituent stays.
func takenFrom(name, note string) string {
	const taken = "taken from "
	switch {
	case strings.HasPrefix(note, taken):
		return note
	case note == "":
		return taken + name
	}
	return taken + name + "; " + note
}
