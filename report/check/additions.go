package check

import (
	"errors"
	"fmt"
	"reflect"

	"example.com/railbook/report/internal/pdffile"
	"example.com/railbook/report/sign"
)

// additions looks at what was appended to the report since it was made: signatures, and
// nothing else.
func (r *run) additions(signatures []sign.Signature) {
	const made = 2 // steps in which a report is made: its pages, and its attachments
	if len(r.read.Revisions) <= made {
		r.add("additions", Holds, "nothing was appended since the report was made")
		return
	}
	shown := ""
	for k := made; k < len(r.read.Revisions); k++ {
		seen, err := r.addition(k, signatures)
		if err != nil {
			r.add("additions", Fails, "step %d of what was appended: %s", k-made+1, oneLine(err.Error()))
			return
		}
		if seen != "" {
			shown = seen
		}
	}
	n := len(r.read.Revisions) - made
	if shown != "" {
		r.add("additions", Noted, "%d signatures were appended, and nothing else; one shows itself on %s: look at what it may cover", n, shown)
		return
	}
	r.add("additions", Holds, "signatures were appended (%d), and nothing else", n)
}

// addition looks at one step, and says on which page a signature shows itself.
func (r *run) addition(k int, signatures []sign.Signature) (shown string, err error) {
	before, err := r.read.At(k - 1)
	if err != nil {
		return "", err
	}
	now, err := r.read.At(k)
	if err != nil {
		return "", err
	}
	closed := false
	for _, s := range signatures {
		end := now.Revisions[k].End
		closed = closed || s.Covers > before.Revisions[k-1].End && s.Covers <= end
	}
	if !closed {
		return "", errors.New("it ends without a signature")
	}
	a, err := surfaceOf(before)
	if err != nil {
		return "", err
	}
	b, err := surfaceOf(now)
	if err != nil {
		return "", err
	}
	if !reflect.DeepEqual(a.catalogue, b.catalogue) {
		return "", errors.New("it changes the document as a whole, not only its signatures")
	}
	if len(a.pages) != len(b.pages) {
		return "", errors.New("it adds or removes pages")
	}
	for i := range a.pages {
		if !reflect.DeepEqual(a.pages[i], b.pages[i]) {
			return "", fmt.Errorf("it changes page %d", i+1)
		}
		seen, err := onlySignatures(now, a.notes[i], b.notes[i])
		if err != nil {
			return "", fmt.Errorf("page %d: %w", i+1, err)
		}
		if seen {
			shown = fmt.Sprintf("page %d", i+1)
		}
	}
	for _, n := range now.Revisions[k].Objects {
		ref := pdffile.Ref{Number: n}
		old, err := before.Get(ref)
		if err != nil {
			return "", err
		}
		if old == nil || a.known[ref] {
			continue // new, or compared above
		}
		fresh, err := now.Get(ref)
		if err != nil {
			return "", err
		}
		if !reflect.DeepEqual(old, fresh) {
			return "", fmt.Errorf("it changes object %d, which is no part of a signature", n)
		}
	}
	return shown, nil
}

// surface is what of a file may change where it is signed, with the rest of the same
// objects, which may not.
type surface struct {
	catalogue pdffile.Dict // without its form
	pages     []pageAndRef // without their notes
	notes     []pdffile.Array
	known     map[pdffile.Ref]bool // the objects that these are
}

type pageAndRef struct {
	ref  pdffile.Ref
	dict pdffile.Dict
}

func surfaceOf(f *pdffile.File) (*surface, error) {
	root, catalogue, err := f.Root()
	if err != nil {
		return nil, err
	}
	s := &surface{catalogue: without(catalogue, "AcroForm", "DSS", "Extensions", "Version"), known: map[pdffile.Ref]bool{root: true}}
	if r, ok := catalogue["AcroForm"].(pdffile.Ref); ok {
		s.known[r] = true
	}
	pages, err := f.Pages()
	if err != nil {
		return nil, err
	}
	for _, p := range pages {
		notes, err := f.Array(p.Dict["Annots"])
		if err != nil {
			return nil, err
		}
		if r, ok := p.Dict["Annots"].(pdffile.Ref); ok {
			s.known[r] = true
		}
		s.known[p.Ref] = true
		s.pages = append(s.pages, pageAndRef{p.Ref, without(p.Dict, "Annots")})
		s.notes = append(s.notes, notes)
	}
	return s, nil
}

// onlySignatures returns nil where the notes of a page are those before and behind them
// those of signatures, and whether one of these can be seen.
func onlySignatures(f *pdffile.File, before, now pdffile.Array) (shown bool, err error) {
	if len(now) < len(before) || len(before) > 0 && !reflect.DeepEqual(before, now[:len(before)]) {
		return false, errors.New("it changes or removes a note")
	}
	for _, o := range now[len(before):] {
		d, err := f.Dict(o)
		if err != nil {
			return false, err
		}
		if d["Subtype"] != pdffile.Name("Widget") || d["FT"] != pdffile.Name("Sig") {
			return false, errors.New("it adds a note that is no signature")
		}
		box, err := f.Array(d["Rect"])
		if err != nil {
			return false, err
		}
		for _, v := range box {
			shown = shown || v != int64(0) && v != 0.0
		}
	}
	return shown, nil
}
