package sheet

import (
	"maps"
	"reflect"
	"slices"
	"strconv"
)

// Rewrite asks change of every text in the document, with the path of its field, and
// replaces the text by what it returns where ok is true.
func (d *Document) Rewrite(change func(path, text string) (replaced string, ok bool)) {
	var walk func(path string, value any) any
	walk = func(path string, value any) any {
		switch v := value.(type) {
		case string:
			if text, ok := change(path, v); ok {
				return text
			}
		case map[string]any:
			for _, key := range slices.Sorted(maps.Keys(v)) {
				at := key
				if path != "" {
					at = path + "." + key
				}
				v[key] = walk(at, v[key])
			}
		case []any:
			for i := range v {
				v[i] = walk(path+"["+strconv.Itoa(i+1)+"]", v[i])
			}
		}
		return value
	}
	walk("", d.tree)
}

// Take decodes what stands under a name at the top of the document into what into points
// to, as [Document.Decode] does with a field of that name, and takes it out of the
// document. What is not there is left alone.
func (d *Document) Take(name string, into any) []Problem {
	d.taken = append(d.taken, name)
	value, given := d.tree[name]
	if !given {
		return nil
	}
	delete(d.tree, name)
	w := walker{doc: d}
	w.value(name, value, reflect.ValueOf(into).Elem())
	return w.problems
}
