package pdffile

import (
	"bytes"
	"maps"
	"slices"
)

// Whole returns the file with the revision in it, written anew as a single one. Objects
// are numbered in the order in which the trailer leads to them, and those that it does
// not lead to are left out: however they were numbered before, the same document gives
// the same bytes. The error tells of an object of the file that cannot be read.
func (u *Update) Whole() ([]byte, error) {
	w := whole{update: u, numbers: map[Ref]int{}}
	trailer := maps.Clone(u.file.Trailer)
	delete(trailer, "Prev")
	for _, key := range slices.Sorted(maps.Keys(trailer)) {
		trailer[key] = w.renumbered(trailer[key])
	}
	var b bytes.Buffer
	// The second line tells programs that the file is not plain text (section 7.5.2).
	b.WriteString("%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
	offsets := map[Ref]int{}
	var refs []Ref
	for i := 0; i < len(w.queue); i++ { // which grows
		o, err := w.get(w.queue[i])
		if err != nil {
			return nil, err
		}
		r := Ref{Number: i + 1}
		refs, offsets[r] = append(refs, r), b.Len()
		writeObject(&b, r, w.renumbered(o))
	}
	trailer["Size"] = len(refs) + 1
	writeEnd(&b, "0 1\n0000000000 65535 f \n", refs, offsets, trailer)
	return b.Bytes(), nil
}

// whole numbers objects anew.
type whole struct {
	update  *Update
	numbers map[Ref]int // the new ones
	queue   []Ref       // the old ones, in the order of the new
}

func (w *whole) get(r Ref) (Object, error) {
	if o, ok := w.update.set[r]; ok {
		return o, nil
	}
	return w.update.file.Get(r)
}

// renumbered returns an object with new numbers in its references.
func (w *whole) renumbered(o Object) Object {
	switch o := o.(type) {
	case Ref:
		n, known := w.numbers[o]
		if !known {
			w.queue = append(w.queue, o)
			n = len(w.queue)
			w.numbers[o] = n
		}
		return Ref{Number: n}
	case Array:
		list := make(Array, len(o))
		for i, e := range o {
			list[i] = w.renumbered(e)
		}
		return list
	case Dict:
		return w.dict(o)
	case *Stream:
		return &Stream{Dict: w.dict(o.Dict), Data: o.Data}
	}
	return o
}

func (w *whole) dict(d Dict) Dict {
	fresh := make(Dict, len(d))
	for _, key := range slices.Sorted(maps.Keys(d)) {
		fresh[key] = w.renumbered(d[key])
	}
	return fresh
}
