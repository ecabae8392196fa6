package pdffile

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"maps"
	"slices"
)

// Get returns the newest version of an object, nil for one that the file has not.
func (f *File) Get(r Ref) (Object, error) {
	o, _, err := f.get(r)
	return o, err
}

// Each calls a function with the newest version of every object, in the order of their
// numbers, until one returns an error, which is returned.
func (f *File) Each(do func(Ref, Object) error) error {
	for _, n := range slices.Sorted(maps.Keys(f.places)) {
		r := Ref{n, f.places[n].generation}
		o, err := f.Get(r)
		if err != nil {
			return err
		}
		if err := do(r, o); err != nil {
			return err
		}
	}
	return nil
}

// Span returns the bytes from the beginning of an object to its end, with their offset.
func (f *File) Span(r Ref) (offset int, span []byte, err error) {
	_, end, err := f.get(r)
	if err != nil {
		return 0, nil, err
	}
	offset = f.places[r.Number].offset
	return offset, f.data[offset:end], nil
}

func (f *File) get(r Ref) (o Object, end int, err error) {
	at, ok := f.places[r.Number]
	if !ok || at.generation != r.Generation {
		return nil, 0, nil
	}
	p := &parser{data: f.data, at: at.offset}
	number, err := p.integer()
	if err != nil {
		return nil, 0, err
	}
	generation, err := p.integer()
	if err != nil {
		return nil, 0, err
	}
	if number != r.Number || generation != r.Generation || !p.word("obj") {
		return nil, 0, p.fail("object %d does not begin here", r.Number)
	}
	if o, err = p.object(0); err != nil {
		return nil, 0, err
	}
	if p.word("stream") {
		if o, err = f.stream(p, o); err != nil {
			return nil, 0, err
		}
	}
	if !p.word("endobj") {
		return nil, 0, p.fail("object %d does not end here", r.Number)
	}
	return o, p.at, nil
}

// stream reads the bytes of a stream whose dictionary has been read.
func (f *File) stream(p *parser, about Object) (Object, error) {
	d, ok := about.(Dict)
	if !ok {
		return nil, p.fail("a stream without a dictionary")
	}
	switch rest := p.data[p.at:]; {
	case bytes.HasPrefix(rest, []byte("\r\n")):
		p.at += 2
	case bytes.HasPrefix(rest, []byte("\n")):
		p.at++
	default:
		return nil, p.fail("no end of line before a stream")
	}
	length, err := f.length(d)
	if err != nil {
		return nil, err
	}
	if length < 0 || length > int64(len(p.data)-p.at) {
		return nil, p.fail("a stream of %d bytes, which the file has not", length)
	}
	data := p.data[p.at : p.at+int(length)]
	p.at += int(length)
	if !p.word("endstream") {
		return nil, p.fail("a stream that does not end here")
	}
	return &Stream{Dict: d, Data: data}, nil
}

// length is that of a stream, which may be an object of its own.
func (f *File) length(d Dict) (int64, error) {
	n := d["Length"]
	if r, ok := n.(Ref); ok {
		at, known := f.places[r.Number]
		if !known || at.generation != r.Generation {
			return 0, fmt.Errorf("%w: the length of a stream is missing", ErrFormat)
		}
		p := &parser{data: f.data, at: at.offset}
		for range 2 {
			if _, err := p.integer(); err != nil {
				return 0, err
			}
		}
		if !p.word("obj") {
			return 0, p.fail("no object begins here")
		}
		v, err := p.integer()
		return int64(v), err
	}
	v, ok := n.(int64)
	if !ok {
		return 0, fmt.Errorf("%w: a stream without a length", ErrFormat)
	}
	return v, nil
}

// mostSteps is how many references may follow one another.
const mostSteps = 8

// Resolve follows an object that is a reference to what it refers to.
func (f *File) Resolve(o Object) (Object, error) {
	for range mostSteps {
		r, ok := o.(Ref)
		if !ok {
			return o, nil
		}
		var err error
		if o, err = f.Get(r); err != nil {
			return nil, err
		}
	}
	return nil, fmt.Errorf("%w: references in a circle", ErrFormat)
}

// Dict resolves an object that has to be a dictionary; nothing gives nil.
func (f *File) Dict(o Object) (Dict, error) {
	o, err := f.Resolve(o)
	if err != nil || o == nil {
		return nil, err
	}
	d, ok := o.(Dict)
	if !ok {
		return nil, fmt.Errorf("%w: %T in place of a dictionary", ErrFormat, o)
	}
	return d, nil
}

// Array resolves an object that has to be an array; nothing gives nil.
func (f *File) Array(o Object) (Array, error) {
	o, err := f.Resolve(o)
	if err != nil || o == nil {
		return nil, err
	}
	a, ok := o.(Array)
	if !ok {
		return nil, fmt.Errorf("%w: %T in place of an array", ErrFormat, o)
	}
	return a, nil
}

// Root returns the catalogue and where it stands (section 7.7.2).
func (f *File) Root() (Ref, Dict, error) {
	r, ok := f.Trailer["Root"].(Ref)
	if !ok {
		return r, nil, fmt.Errorf("%w: no catalogue", ErrFormat)
	}
	d, err := f.Dict(r)
	if err == nil && d == nil {
		err = fmt.Errorf("%w: no catalogue", ErrFormat)
	}
	return r, d, err
}

// Inflate returns what a stream holds, its compression undone. More than limit bytes
// give an error that wraps [ErrSize].
func (f *File) Inflate(s *Stream, limit int) ([]byte, error) {
	filter, err := f.Resolve(s.Dict["Filter"])
	if err != nil {
		return nil, err
	}
	if list, ok := filter.(Array); ok {
		switch len(list) {
		case 0:
			filter = nil
		case 1:
			filter = list[0]
		}
	}
	switch filter {
	case nil:
		if len(s.Data) > limit {
			return nil, fmt.Errorf("%w: a stream of more than %d bytes", ErrSize, limit)
		}
		return s.Data, nil
	case Name("FlateDecode"):
	default:
		return nil, fmt.Errorf("%w: a stream with a filter other than FlateDecode", ErrFormat)
	}
	r, err := zlib.NewReader(bytes.NewReader(s.Data))
	if err != nil {
		return nil, fmt.Errorf("%w: a stream cannot be inflated: %v", ErrFormat, err)
	}
	out, err := io.ReadAll(io.LimitReader(r, int64(limit)+1))
	switch {
	case err != nil:
		return nil, fmt.Errorf("%w: a stream cannot be inflated: %v", ErrFormat, err)
	case len(out) > limit:
		return nil, fmt.Errorf("%w: a stream of more than %d bytes", ErrSize, limit)
	}
	return out, nil
}
