package fuel

import (
	_ "embed"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"example.com/railbook/sizing/internal/near"
)

// ErrUnknown marks the name of a liquid or a blend that is not known.
var ErrUnknown = errors.New("unknown fuel")

//go:embed constituents.csv
var constituentsCSV string

// loaded reads the embedded tables at first use.
var loaded = sync.OnceValues(func() (*table, error) {
	return load(constituentsCSV, sourcesCSV)
})

// maxSpecies is the number of constituents that a [Blend] has room for.
const maxSpecies = 16

// table is the loaded list of constituents.
type table struct {
	species []*species          // in the order of the file
	names   map[string]*species // by folded name and alias
	ethanol *species            // nil if there is none
}

// fold makes names that differ in case or outer blanks alike.
func fold(name string) string { return strings.ToLower(strings.TrimSpace(name)) }

// enter files s under name.
func (t *table) enter(name string, s *species, r row, column string) error {
	if _, twice := t.names[fold(name)]; twice {
		return r.fail(column, "the name %q is used twice", name)
	}
	t.names[fold(name)] = s
	return nil
}

// list returns the canonical names, sorted.
func (t *table) list() []string {
	list := make([]string, len(t.species))
	for i, s := range t.species {
		list[i] = s.name
	}
	slices.SortFunc(list, compareNames)
	return list
}

// compareNames orders names as a reader does, without regard to case.
func compareNames(a, b string) int { return strings.Compare(fold(a), fold(b)) }

// find returns the species of the given name or alias.
func (t *table) find(name string) (*species, error) {
	if s := t.names[fold(name)]; s != nil {
		return s, nil
	}
	hint := ""
	if meant := t.nearest(name); meant != "" {
		hint = fmt.Sprintf("did you mean %q? ", meant)
	}
	return nil, fmt.Errorf("%w %q; %sknown are %s", ErrUnknown, name, hint, strings.Join(t.list(), ", "))
}

// nearest returns the known name closest to name, or "" if none is close.
func (t *table) nearest(name string) string {
	name = fold(name)
	best, least := "", 1+len(name)/3
	for _, known := range sortedKeys(t.names) {
		if d := near.Distance(name, known); d <= least && (best == "" || d < least) {
			best, least = known, d
		}
	}
	return best
}

// Lookup returns the constituent with the given name or alias, in any case. The
// error wraps [ErrUnknown], suggests a near name and lists the known ones.
func Lookup(name string) (Constituent, error) {
	t, err := loaded()
	if err != nil {
		return Constituent{}, err
	}
	s, err := t.find(name)
	return Constituent{s}, err
}

// Names returns the canonical names of all constituents, sorted without regard to
// case. It is empty only if the embedded table is damaged; [Lookup] then gives the
// reason.
func Names() []string {
	t, err := loaded()
	if err != nil {
		return nil
	}
	return t.list()
}
