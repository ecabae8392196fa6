package check_test

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"strings"
	"testing"
	"time"

	"example.com/railbook/report"
	"example.com/railbook/report/attach"
	"example.com/railbook/report/check"
	"example.com/railbook/report/internal/pdffile"
	"example.com/railbook/report/results"
)

// Packed by another build, the same report holds.
func TestPackedOtherwise(t *testing.T) {
	f, err := pdffile.Open(quick())
	if err != nil {
		t.Fatal(err)
	}
	// Every stream of the pages unpacked, in a file written anew.
	var b bytes.Buffer
	b.WriteString("%PDF-1.7\n")
	offsets := map[int]int{}
	for _, n := range f.Revisions[0].Objects {
		o, err := f.Get(pdffile.Ref{Number: n})
		if err != nil {
			t.Fatal(err)
		}
		if s, ok := o.(*pdffile.Stream); ok {
			data, err := f.Inflate(s, 1<<24)
			if err != nil {
				t.Fatal(err)
			}
			if s.Dict["Filter"] != nil && s.Dict["Type"] == nil {
				level := repacked(t, data)
				o = &pdffile.Stream{Dict: s.Dict, Data: level}
			}
		}
		offsets[n] = b.Len()
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", n, pdffile.Append(nil, o))
	}
	table := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(offsets)+1)
	for n := 1; n <= len(offsets); n++ {
		fmt.Fprintf(&b, "%010d 00000 n \n", offsets[n])
	}
	old, err := f.At(0)
	if err != nil {
		t.Fatal(err)
	}
	fmt.Fprintf(&b, "trailer\n%s\nstartxref\n%d\n%%%%EOF\n", pdffile.Append(nil, old.Trailer), table)
	list, err := attach.Files(quick())
	if err != nil {
		t.Fatal(err)
	}
	r, err := results.Decode(attached(t, quick(), report.ResultsName))
	if err != nil {
		t.Fatal(err)
	}
	var info struct{ title, author, subject, creator string }
	d, err := f.Dict(f.Trailer["Info"])
	if err != nil {
		t.Fatal(err)
	}
	for name, into := range map[pdffile.Name]*string{"Title": &info.title, "Author": &info.author, "Subject": &info.subject, "Creator": &info.creator} {
		if s, ok := d[name].(pdffile.String); ok {
			*into = pdffile.Text(s)
		}
	}
	date, err := time.Parse(time.DateOnly, r.Report.Date)
	if err != nil {
		t.Fatal(err)
	}
	pdf, err := attach.Add(b.Bytes(), attach.About{Title: info.title, Author: info.author, Subject: info.subject, Creator: info.creator, Language: "en", Date: date}, list)
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Equal(pdf, quick()) {
		t.Fatal("it is packed alike")
	}
	c := check.Run(pdf, check.Options{Unsigned: true})
	if len(c.Failed()) > 0 || !strings.Contains(lines(c), "packed otherwise") {
		t.Errorf("%s", lines(c))
	}
}

// repacked is data packed at another level.
func repacked(t testing.TB, data []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	w, err := zlib.NewWriterLevel(&b, zlib.BestSpeed)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.Write(data); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
