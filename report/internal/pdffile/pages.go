package pdffile

import "fmt"

// Page is a page of a file.
type Page struct {
	Ref  Ref
	Dict Dict
}

// What the tree of pages may be at most.
const (
	mostPages   = 5000
	deepestPage = 30
)

// Pages returns the pages in their order (section 7.7.3).
func (f *File) Pages() ([]Page, error) {
	_, root, err := f.Root()
	if err != nil {
		return nil, err
	}
	top, ok := root["Pages"].(Ref)
	if !ok {
		return nil, fmt.Errorf("%w: no pages", ErrFormat)
	}
	var list []Page
	visits := 0
	var walk func(r Ref, depth int) error
	walk = func(r Ref, depth int) error {
		d, err := f.Dict(r)
		visits++
		switch {
		case err != nil:
			return err
		case depth > deepestPage || visits > 2*mostPages:
			return fmt.Errorf("%w: too many pages", ErrSize)
		case d == nil:
			return fmt.Errorf("%w: page object %d is missing", ErrFormat, r.Number)
		case d["Type"] == Name("Page"):
			list = append(list, Page{r, d})
			return nil
		}
		kids, err := f.Array(d["Kids"])
		if err != nil {
			return err
		}
		for _, k := range kids {
			kid, ok := k.(Ref)
			if !ok {
				return fmt.Errorf("%w: a page that is no object", ErrFormat)
			}
			if err := walk(kid, depth+1); err != nil {
				return err
			}
		}
		return nil
	}
	if err := walk(top, 0); err != nil {
		return nil, err
	}
	if len(list) == 0 {
		return nil, fmt.Errorf("%w: no pages", ErrFormat)
	}
	return list, nil
}

// mostContent is the size of the largest page description that is read, in bytes.
const mostContent = 8 << 20

// Content returns what a page draws, its parts one after another.
func (f *File) Content(p Page) ([]byte, error) {
	o, err := f.Resolve(p.Dict["Contents"])
	if err != nil {
		return nil, err
	}
	parts, ok := o.(Array)
	if !ok {
		parts = Array{o}
	}
	var all []byte
	for _, part := range parts {
		o, err := f.Resolve(part)
		if err != nil {
			return nil, err
		}
		s, ok := o.(*Stream)
		if !ok {
			return nil, fmt.Errorf("%w: a page without content", ErrFormat)
		}
		data, err := f.Inflate(s, mostContent-len(all))
		if err != nil {
			return nil, err
		}
		all = append(append(all, data...), '\n')
	}
	return all, nil
}
