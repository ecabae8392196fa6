package catalogue

import (
	"fmt"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// Names are the parts of a set as people call them. Those of the sheet's own, which no
// list offers, are empty.
type Names struct {
	Injectors string `json:"injectors,omitempty"`
	Pumps     string `json:"pumps,omitempty"` // with their number: "2 × Skerry 400"
	Hose      string `json:"hose,omitempty"`
	Filter    string `json:"filter,omitempty"`
	Regulator string `json:"regulator,omitempty"`
}

// Names names the parts of a candidate.
func (l *Lists) Names(c Candidate) Names {
	var n Names
	if c.Injector >= 0 {
		n.Injectors = l.Injectors[c.Injector].Name()
	}
	if c.Pump >= 0 {
		n.Pumps = times(c.Count, l.Pumps[c.Pump].Name())
	}
	if c.Hose >= 0 {
		n.Hose = l.Hoses[c.Hose].Name()
	}
	if c.Filter >= 0 {
		n.Filter = l.Filters[c.Filter].Name()
	}
	if c.Regulator >= 0 {
		n.Regulator = l.Regulators[c.Regulator].Name()
	}
	return n
}

func times(n int, name string) string {
	if n == 1 {
		return name
	}
	return fmt.Sprintf("%d × %s", n, name)
}

// String joins the names in the order injectors, pumps, hose, filter, regulator.
func (n Names) String() string {
	var list []string
	for _, s := range []string{n.Injectors, n.Pumps, n.Hose, n.Filter, n.Regulator} {
		if s != "" {
			list = append(list, s)
		}
	}
	return strings.Join(list, ", ")
}

// Text prints the line: "6 × Lindqvist L-1550 at 89.50: 537.00".
func (l Line) Text() string {
	what := times(int(l.Quantity), l.Part)
	if l.Kind == "hose" {
		what = quantity.Digits(l.Quantity, 3) + " m of " + l.Part
	}
	if l.Price == Unpriced {
		return what + ": no price"
	}
	if l.Price == l.Each {
		return fmt.Sprintf("%s: %v", what, l.Price)
	}
	per := ""
	if l.Kind == "hose" {
		per = " a metre"
	}
	return fmt.Sprintf("%s at %v%s: %v", what, l.Each, per, l.Price)
}

// Only returns the lists with one of them cut down to the part that is called name: the
// part, or maker and part, in any case of letters. It answers what becomes of one part.
// The error says that there is no such part and suggests one, or that there are several.
func (l *Lists) Only(name string) (*Lists, error) {
	plain := strings.Join(strings.Fields(name), " ")
	cut := *l
	var known, found []string
	only(&cut.Injectors, plain, &known, &found)
	only(&cut.Pumps, plain, &known, &found)
	only(&cut.Hoses, plain, &known, &found)
	only(&cut.Filters, plain, &known, &found)
	only(&cut.Regulators, plain, &known, &found)
	switch {
	case len(found) > 1:
		return nil, fmt.Errorf("%q names %d parts; want one of %q", name, len(found), found)
	case len(found) == 0:
		hint := "want a part of one of the lists"
		if like := nearest(strings.ToLower(plain), known); like != "" {
			hint = fmt.Sprintf("perhaps %q is meant", like)
		}
		return nil, fmt.Errorf("no list has a part %q; %s", name, hint)
	}
	return &cut, nil
}

// only cuts a list down to the parts of a name, if it has any, and adds them to found.
// It adds all names of the list, in small letters, to known.
func only[T any, P interface {
	*T
	item() *Item
}](list *[]T, name string, known, found *[]string) {
	var kept []T
	for i := range *list {
		it := P(&(*list)[i]).item()
		*known = append(*known, strings.ToLower(it.Name()))
		if strings.EqualFold(it.Name(), name) || strings.EqualFold(it.Part, name) {
			kept = append(kept, (*list)[i])
			*found = append(*found, it.Name())
		}
	}
	if len(kept) > 0 {
		*list = kept
	}
}

// where says a set in one line: its parts and its base pressure.
func (l *Lists) where(b sizing.Build, c Candidate) string {
	text := l.Names(c).String()
	if text != "" {
		text += ", "
	}
	return text + "at " + quantity.Format(c.Pressure, b.Job.Units)
}
