package sign

import (
	"bytes"
	"crypto/x509"
	"encoding/asn1"
	"fmt"
	"slices"
	"time"

	"example.com/railbook/report/internal/pdffile"
)

// Signature is a signature that a file holds.
type Signature struct {
	Err         error               // nil where the signature holds; see [ErrChanged] and its like
	Certificate *x509.Certificate   // of the signer; nil where it cannot be read
	Chain       []*x509.Certificate // the same and those of its issuers, as far as the file holds them
	Time        time.Time           // of signing, as the signer's clock said; may be zero
	Reason      string              // as the signer gave it; anything may stand in it
	Covers      int                 // bytes of the file from its beginning on, the signature itself left out
	Rest        int                 // bytes behind them, which may be those of later signatures
}

// Signer names the signer for a message, in quotes.
func (s Signature) Signer() string {
	if s.Certificate == nil {
		return "a signer unknown"
	}
	return Describe(s.Certificate)
}

// Known reports whether one of the given certificates is that of the signer, or issued
// it: those of the issuers in between have to be in the file.
func (s Signature) Known(certificates []*x509.Certificate) bool {
	if s.Certificate == nil {
		return false
	}
	for _, c := range certificates {
		if c.Equal(s.Certificate) {
			return true
		}
		top := s.Chain[len(s.Chain)-1]
		if slices.ContainsFunc(s.Chain, c.Equal) || c.IsCA && top.CheckSignatureFrom(c) == nil {
			return true
		}
	}
	return false
}

// The kinds of signature that are known.
const (
	detached = "adbe.pkcs7.detached"
	advanced = "ETSI.CAdES.detached"
)

// Verify returns the signatures of a PDF in the order in which they were made, each with
// what is wrong with it. A file without any gives none. The error tells of a file that
// cannot be read.
//
// Nil in all Err does not say that the whole file is signed: see Rest of the last one.
// Nor does it say who signed: see [Signature.Known].
func Verify(pdf []byte) ([]Signature, error) {
	f, err := pdffile.Open(pdf)
	if err != nil {
		return nil, err
	}
	_, catalogue, err := f.Root()
	if err != nil {
		return nil, err
	}
	form, err := f.Dict(catalogue["AcroForm"])
	if err != nil {
		return nil, err
	}
	refs, err := signatures(f, form["Fields"], 0)
	if err != nil {
		return nil, err
	}
	var list []Signature
	for _, r := range refs {
		s := Signature{}
		if err := s.read(f, pdf, r); err != nil {
			s.Err = err
		}
		s.Rest = len(pdf) - s.Covers
		list = append(list, s)
	}
	slices.SortStableFunc(list, func(a, b Signature) int { return a.Covers - b.Covers })
	return list, nil
}

// What a tree of fields can be at most.
const (
	deepestField   = 8
	mostSignatures = 50
)

// signatures finds the signatures in a tree of form fields (section 12.7.4.5).
func signatures(f *pdffile.File, fields pdffile.Object, depth int) ([]pdffile.Ref, error) {
	list, err := f.Array(fields)
	if err != nil {
		return nil, err
	}
	if depth > deepestField || len(list) > mostSignatures {
		return nil, fmt.Errorf("%w: more form fields than a report has", pdffile.ErrSize)
	}
	var refs []pdffile.Ref
	for _, o := range list {
		field, err := f.Dict(o)
		if err != nil {
			return nil, err
		}
		if r, ok := field["V"].(pdffile.Ref); ok && field["FT"] == pdffile.Name("Sig") {
			refs = append(refs, r)
		}
		kids, err := signatures(f, field["Kids"], depth+1)
		if err != nil {
			return nil, err
		}
		if refs = append(refs, kids...); len(refs) > mostSignatures {
			return nil, fmt.Errorf("%w: more than %d signatures", pdffile.ErrSize, mostSignatures)
		}
	}
	return refs, nil
}

// read reads one signature and returns why it does not hold.
func (s *Signature) read(f *pdffile.File, pdf []byte, r pdffile.Ref) error {
	about, err := f.Dict(r)
	if err != nil {
		return malformed("%v", err)
	}
	offset, span, err := f.Span(r)
	if err != nil || about == nil {
		return malformed("it is missing")
	}
	if reason, ok := about["Reason"].(pdffile.String); ok {
		s.Reason = pdffile.Text(reason)
	}
	if kind := about["SubFilter"]; kind != pdffile.Name(detached) && kind != pdffile.Name(advanced) {
		return malformed("it is of a kind not known here, %v", kind)
	}
	g, end, err := covered(about["ByteRange"], len(pdf))
	if err != nil {
		return err
	}
	s.Covers = end
	// It stands in the revision that it closes, where nothing but itself is left out.
	start, closes := 0, false
	for _, revision := range f.Revisions {
		// The end of the line may have been missing when it was signed.
		if closes = revision.End >= end && len(bytes.Trim(pdf[end:revision.End], "\r\n")) == 0; closes {
			break
		}
		start = revision.End
	}
	if !closes {
		return malformed("it does not cover the file up to the end of a revision")
	}
	if offset < start || g.from < offset || g.to > offset+len(span) || offset+len(span) > end {
		return malformed("what it leaves out is not itself")
	}
	der, err := contents(pdf[g.from:g.to], about["Contents"])
	if err != nil {
		return err
	}
	o, err := open(der)
	if err != nil {
		return err
	}
	s.Certificate, s.Chain, s.Time = o.chain[0], o.chain, o.time
	return o.verify(g.digest(pdf[:end], o.hash))
}

// covered reads what a signature says it covers: all bytes from the first up to end, but
// for a gap.
func covered(o pdffile.Object, size int) (g gap, end int, err error) {
	list, _ := o.(pdffile.Array)
	n := make([]int, len(list))
	for i := range list {
		v, ok := list[i].(int64)
		if !ok || v < 0 || v > int64(size) {
			return g, 0, malformed("it does not say what it covers")
		}
		n[i] = int(v)
	}
	if len(n) != 4 || n[0] != 0 || n[1] >= n[2] || n[2]+n[3] > size {
		return g, 0, malformed("it does not cover the file from its beginning on")
	}
	return gap{n[1], n[2]}, n[2] + n[3], nil
}

// contents takes the signature out of the gap, which has to be written in the one way
// there is for it: as digits of one case, and zeros behind.
func contents(written []byte, value pdffile.Object) ([]byte, error) {
	data, ok := value.(pdffile.String)
	lower := fmt.Appendf(nil, "<%x>", string(data))
	if !ok || !bytes.Equal(written, lower) && !bytes.Equal(written, bytes.ToUpper(lower)) {
		return nil, malformed("it is not written in digits of one case")
	}
	var whole asn1.RawValue
	rest, err := asn1.Unmarshal([]byte(data), &whole)
	if err != nil {
		return nil, malformed("no signed data in DER")
	}
	if len(bytes.Trim(rest, "\x00")) > 0 {
		return nil, malformed("something stands behind it")
	}
	return whole.FullBytes, nil
}
