package sign

import (
	"bytes"
	"crypto"
	"encoding/hex"
	"fmt"
	"strings"
	"time"

	"example.com/railbook/report/internal/pdffile"
)

// Options say how a signature is made. The zero value is good.
type Options struct {
	Reason string    // for signing, to be shown; may be empty
	Time   time.Time // of signing; zero: now
}

// mostReason is the length of the longest reason, in bytes.
const mostReason = 1000

// Sign returns the PDF with a signature appended. The PDF is a prefix of what is
// returned. One that is signed already keeps its signatures, which have to hold. The
// error wraps [ErrKey] for a certificate that does not hold at the time, and else tells
// of a PDF that cannot be signed.
func Sign(pdf []byte, id *Identity, o Options) ([]byte, error) {
	at := o.Time
	if at.IsZero() {
		at = time.Now()
	}
	if err := id.valid(at); err != nil {
		return nil, err
	}
	if len(o.Reason) > mostReason {
		return nil, fmt.Errorf("the reason for signing has %d bytes; want no more than %d", len(o.Reason), mostReason)
	}
	before, err := Verify(pdf)
	if err != nil {
		return nil, err
	}
	for i, s := range before {
		if s.Err != nil {
			return nil, fmt.Errorf("signature %d, by %s, does not hold any more: %w", i+1, s.Signer(), s.Err)
		}
	}
	// The length of a signature is known when there is one; those of ECDSA differ by a
	// few bytes.
	trial, err := id.sign(make([]byte, id.digest.Size()), at)
	if err != nil {
		return nil, fmt.Errorf("cannot sign with %s: %w", id, err)
	}
	const slack = 16
	data, gap, err := withPlace(pdf, len(trial)+slack, id, at, o.Reason)
	if err != nil {
		return nil, err
	}
	signature, err := id.sign(gap.digest(data, id.digest), at)
	if err != nil {
		return nil, fmt.Errorf("cannot sign with %s: %w", id, err)
	}
	if len(signature) > len(trial)+slack {
		return nil, fmt.Errorf("cannot sign with %s: the signature turned out longer than the one before", id)
	}
	hex.Encode(data[gap.from+1:], signature)
	return data, nil
}

// gap is the part of a file that a signature stands in and does not cover.
type gap struct{ from, to int }

// digest is that of the file but for the gap.
func (g gap) digest(data []byte, hash crypto.Hash) []byte {
	h := hash.New()
	h.Write(data[:g.from])
	h.Write(data[g.to:])
	return h.Sum(nil)
}

// ranges is how a file says what a signature covers (section 12.8.1), padded to a width
// that does not depend on the numbers.
func (g gap) ranges(size int) string {
	const width = len("[0 67108864 67108864 67108864]")
	text := fmt.Sprintf("[0 %d %d %d]", g.from, g.to, size-g.to)
	return text + strings.Repeat(" ", width-len(text))
}

// withPlace appends a signature that is still empty, of room bytes, and returns the file
// and where the signature is to stand.
func withPlace(pdf []byte, room int, id *Identity, at time.Time, reason string) ([]byte, gap, error) {
	f, err := pdffile.Open(pdf)
	if err != nil {
		return nil, gap{}, err
	}
	u, err := f.Update()
	if err != nil {
		return nil, gap{}, err
	}
	about := pdffile.Dict{
		"Type": pdffile.Name("Sig"), "Filter": pdffile.Name("Adobe.PPKLite"), "SubFilter": pdffile.Name(detached),
		"ByteRange": pdffile.Raw(gap{}.ranges(0)), "Contents": pdffile.Raw("<" + strings.Repeat("00", room) + ">"),
		"M": pdffile.Date(at.UTC()), "Name": pdffile.Encode(id.chain[0].Subject.CommonName),
	}
	if reason != "" {
		about["Reason"] = pdffile.Encode(reason)
	}
	signature := u.Add(about)
	if err := addField(f, u, signature); err != nil {
		return nil, gap{}, err
	}
	data, offsets := u.Bytes()
	// Names are written in order, and nothing before these two holds text of anybody's.
	own := data[offsets[signature]:]
	ranges := offsets[signature] + bytes.Index(own, []byte("/ByteRange ")) + len("/ByteRange ")
	from := offsets[signature] + bytes.Index(own, []byte("/Contents ")) + len("/Contents ")
	g := gap{from, from + 2*room + len("<>")}
	copy(data[ranges:], g.ranges(len(data)))
	return data, g, nil
}

// addField adds the form field that holds a signature, on the last page, where reports
// are signed by hand. It takes no room on it.
func addField(f *pdffile.File, u *pdffile.Update, signature pdffile.Ref) error {
	root, catalogue, err := f.Root()
	if err != nil {
		return err
	}
	pages, err := f.Pages()
	if err != nil {
		return err
	}
	form, err := f.Dict(catalogue["AcroForm"])
	if err != nil {
		return err
	}
	fields, err := f.Array(form["Fields"])
	if err != nil {
		return err
	}
	page := pages[len(pages)-1]
	const hiddenButPrinted, locked = 4, 128 // section 12.5.3
	field := u.Add(pdffile.Dict{
		"Type": pdffile.Name("Annot"), "Subtype": pdffile.Name("Widget"), "FT": pdffile.Name("Sig"),
		"T": pdffile.Encode(fmt.Sprintf("Signature%d", len(fields)+1)), "V": signature,
		"F": hiddenButPrinted | locked, "P": page.Ref, "Rect": pdffile.Array{0, 0, 0, 0},
	})
	const signed, appendOnly = 1, 2 // section 12.7.2
	newForm := pdffile.Dict{}
	for k, v := range form {
		newForm[k] = v
	}
	newForm["Fields"] = append(append(pdffile.Array{}, fields...), field)
	newForm["SigFlags"] = signed | appendOnly
	if r, ok := catalogue["AcroForm"].(pdffile.Ref); ok {
		u.Set(r, newForm)
	} else {
		catalogue["AcroForm"] = newForm
		u.Set(root, catalogue)
	}
	notes, err := f.Array(page.Dict["Annots"])
	if err != nil {
		return err
	}
	notes = append(append(pdffile.Array{}, notes...), field)
	if r, ok := page.Dict["Annots"].(pdffile.Ref); ok {
		u.Set(r, notes)
	} else {
		page.Dict["Annots"] = notes
		u.Set(page.Ref, page.Dict)
	}
	return nil
}
