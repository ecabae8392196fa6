// Package inputs sets the inputs of a notebook from outside: the literal values
// that the cells tagged "inputs" or "parameters" give to names.
//
// An input is a name with a literal to its right, in any of Go's forms:
//
//	boost := 14.0
//	var sheet = "first-build.toml"
//	const draws = 1000
//	var base quantity.PressureDiff = 43.5 * quantity.PSI
//
// [Set] puts another literal there and leaves all else as it is, so that the
// notebook shows what it was run with. A number stays a number of the same Go
// type and a text a text. A value of another kind is put there too, with the type
// the name had, so that it is the compiler who says at that very line that it
// does not fit.
package inputs

import (
	"fmt"
	"slices"
	"strings"

	"example.com/railbook/kernel/nbformat"
)

// tags mark the cells whose literals are inputs. The second is the one other
// runners of notebooks use.
var tags = []string{"inputs", "parameters"}

// Input is a name a tagged cell gives a value to.
type Input struct {
	Name string
	// Cell is the number of the cell among all cells, from 1, and Line that of
	// the line in it.
	Cell, Line int
	// Text is the value as the cell writes it.
	Text string
	// Computed is true of a value that depends on more than literals and
	// packages, and so cannot be set.
	Computed bool

	place place
}

func (in Input) String() string { return fmt.Sprintf("%s = %s", in.Name, in.Text) }

// Find lists the inputs of the notebook in their order. A name that gets a value
// more than once is listed as often.
func Find(nb *nbformat.Notebook) []Input {
	var list []Input
	for i, c := range nb.Cells {
		if c.Type != nbformat.Code || !slices.ContainsFunc(tags, c.HasTag) {
			continue
		}
		for _, p := range assignments(c.Source) {
			text := c.Source[p.from:p.to]
			list = append(list, Input{
				Name: p.name, Cell: i + 1, Line: 1 + strings.Count(c.Source[:p.from], "\n"),
				Text: text, Computed: !constant(text), place: p,
			})
		}
	}
	return list
}

// Names lists the names of the inputs that are not computed, each once, in their
// order.
func Names(list []Input) []string {
	var names []string
	for _, in := range list {
		if !in.Computed && !slices.Contains(names, in.Name) {
			names = append(names, in.Name)
		}
	}
	return names
}

// Quantities turns the text of a quantity, such as "58 psi", into Go source that
// can take the place of present, which is Go source for a quantity. If present
// is not that of a quantity, ok is false. The error says why text does not fit.
type Quantities func(present, text string) (source string, ok bool, err error)

// Set gives the named inputs their values and returns them as they now are. A
// name the notebook has no input of is passed over: [Unknown] makes an error of
// it. The error is for an input that is computed, and for a quantity or an
// unfit value for which not even the compiler can be asked; it names the cell
// and the line. The notebook is then unchanged.
func Set(nb *nbformat.Notebook, values map[string]string, quantities Quantities) ([]Input, error) {
	var set []Input
	edits := map[int][]edit{} // by cell
	for _, in := range Find(nb) {
		value, ok := values[in.Name]
		if !ok {
			continue
		}
		e, text, err := in.place.put(nb.Cells[in.Cell-1].Source, value, quantities)
		if err != nil {
			return nil, fmt.Errorf("input %s (cell %d, line %d): %w", in.Name, in.Cell, in.Line, err)
		}
		edits[in.Cell] = append(edits[in.Cell], e)
		in.Text = text
		set = append(set, in)
	}
	for cell, list := range edits {
		c := nb.Cells[cell-1]
		for _, e := range slices.Backward(list) { // so that the offsets before stay true
			c.Source = c.Source[:e.from] + e.text + c.Source[e.to:]
		}
	}
	return set, nil
}

// edit replaces a part of a source.
type edit struct {
	from, to int
	text     string
}
