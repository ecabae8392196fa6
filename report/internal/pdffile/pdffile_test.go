package pdffile

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"
)

// file makes a PDF of the bodies of objects, numbered from 1; the first is the catalogue.
func file(bodies ...string) []byte {
	var b bytes.Buffer
	b.WriteString("%PDF-1.7\n")
	var offsets []int
	for i, body := range bodies {
		offsets = append(offsets, b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, body)
	}
	table := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(bodies)+1)
	for _, o := range offsets {
		fmt.Fprintf(&b, "%010d 00000 n \n", o)
	}
	fmt.Fprintf(&b, "trailer\n<</Size %d /Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n", len(bodies)+1, table)
	return b.Bytes()
}

func opened(t testing.TB, data []byte) *File {
	t.Helper()
	f, err := Open(data)
	if err != nil {
		t.Fatalf("%v in\n%s", err, data)
	}
	return f
}

// The examples of ISO 32000-1, section 7.3, as far as they are one object.
func TestObjects(t *testing.T) {
	for _, c := range []struct {
		text string
		want Object
	}{
		{"null", nil}, {"true", true}, {"false", false},
		{"123", int64(123)}, {"43445", int64(43445)}, {"+17", int64(17)}, {"-98", int64(-98)}, {"0", int64(0)},
		{"34.5", 34.5}, {"-3.62", -3.62}, {"+123.6", 123.6}, {"4.", 4.0}, {"-.002", -0.002}, {"0.0", 0.0},
		{"(This is a string)", String("This is a string")},
		{"(Strings may contain newlines\nand such.)", String("Strings may contain newlines\nand such.")},
		{"(Strings may contain balanced parentheses ( ) and special characters (*!&}^% and so on).)", String("Strings may contain balanced parentheses ( ) and special characters (*!&}^% and so on).")},
		{"()", String("")},
		{"(These \\\ntwo strings \\\nare the same.)", String("These two strings are the same.")},
		{"(So does this one.\\n)", String("So does this one.\n")}, {"(a\r\nb\rc)", String("a\nb\nc")},
		{"(This string contains \\245two octal characters\\307.)", String("This string contains \xa5two octal characters\xc7.")},
		{"(\\0053)", String("\x053")}, {"(\\053)", String("+")}, {"(\\53)", String("+")}, {"(\\(\\)\\\\\\q)", String("()\\q")},
		{"<4E6F762073686D6F7A206B6120706F702E>", String("Nov shmoz ka pop.")}, {"<90 1F\nA>", String("\x90\x1f\xa0")},
		{"/Name1", Name("Name1")}, {"/A;Name_With-Various***Characters?", Name("A;Name_With-Various***Characters?")},
		{"/Lime#20Green", Name("Lime Green")}, {"/paired#28#29parentheses", Name("paired()parentheses")}, {"/", Name("")},
		{"[549 3.14 false (Ralph) /SomeName]", Array{int64(549), 3.14, false, String("Ralph"), Name("SomeName")}},
		{"[1 2 3 0 R 4]", Array{int64(1), int64(2), Ref{3, 0}, int64(4)}},
		{"<</Type /Example /Subdictionary <</Item1 0.4>> /R 12 0 R /N null>>", Dict{"Type": Name("Example"), "Subdictionary": Dict{"Item1": 0.4}, "R": Ref{12, 0}, "N": nil}},
		{"% a comment\n 7 % another\n", int64(7)},
	} {
		p := &parser{data: []byte(c.text)}
		got, err := p.object(0)
		if err != nil || !reflect.DeepEqual(got, c.want) {
			t.Errorf("%q reads as %#v, %v; want %#v", c.text, got, err, c.want)
			continue
		}
		// What is written reads as the same.
		p = &parser{data: Append(nil, got)}
		if again, err := p.object(0); err != nil || !reflect.DeepEqual(again, got) {
			t.Errorf("%q is written %q, which reads as %#v, %v", c.text, p.data, again, err)
		}
	}
	for _, text := range []string{"", "(", "(a", "<", "<4G>", "<4", "[", "[1", "<<", "<</A", "<</A 1", "<<1 2>>", "<</A 1 /A 2>>", "/a#", "/a#4", "/a#xx", "nul", "1e5", "--1", "0x10", "Inf", "NaN", "]", ">>", "R", strings.Repeat("[", 1000), strings.Repeat("<</A ", 1000)} {
		p := &parser{data: []byte(text)}
		if got, err := p.object(0); !errors.Is(err, ErrFormat) {
			t.Errorf("%.20q reads as %#v, %v", text, got, err)
		}
	}
}

func TestTexts(t *testing.T) {
	for _, text := range []string{"", "plain (a) \\", "Ŝ漢 \U0001f600", "\x00\x7f", "é"} {
		if got := Text(Encode(text)); got != text {
			t.Errorf("%q comes back as %q", text, got)
		}
	}
	if got := Text("\xe9"); got != "é" {
		t.Errorf("Latin-1 reads as %q", got)
	}
	if got := Text(Encode("\xff")); got != "\ufffd" {
		t.Errorf("what is no UTF-8 comes back as %q", got)
	}
	at := time.Date(2026, 11, 20, 1, 2, 3, 4, time.FixedZone("", -(3*3600+1800)))
	if got := Date(at); got != "D:20261120010203-03'30'" {
		t.Errorf("a date is written %q", got)
	}
}

func TestLine(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", ""}, {" a\tb\r\n c\u00a0d ", "a b c d"}, {"a\x00\x1b\u202e\u00adb", "ab"}, {"x\ufdd0\uffffy", "xy"}, {"\xff", "\ufffd"},
		{"漢字 אב \U0001f468\u200d\U0001f527", "漢字 אב \U0001f468\u200d\U0001f527"},
	} {
		if got := Line(c.text); got != c.want {
			t.Errorf("%q reads %q, want %q", c.text, got, c.want)
		}
	}
}

func TestRevisions(t *testing.T) {
	base := file("<</Type /Catalog /Pages 2 0 R>>", "<</Type /Pages /Kids [3 0 R] /Count 1>>", "<</Type /Page /Parent 2 0 R>>")
	f := opened(t, base)
	u, err := f.Update()
	if err != nil {
		t.Fatal(err)
	}
	added := u.Add(&Stream{Dict: Dict{"Kind": Name("new")}, Data: []byte("stream\nendstream")})
	u.Set(Ref{3, 0}, Dict{"Type": Name("Page"), "New": added})
	data, offsets := u.Bytes()
	if again, _ := u.Bytes(); !bytes.Equal(data, again) {
		t.Error("the same update gives other bytes")
	}
	if !bytes.HasPrefix(data, base) {
		t.Error("what was there before has changed")
	}
	g := opened(t, data)
	want := []Revision{{len(base), []int{1, 2, 3}}, {len(data), []int{3, 4}}}
	if !reflect.DeepEqual(g.Revisions, want) || g.Tail() != 0 {
		t.Errorf("revisions %v and %d bytes, want %v", g.Revisions, g.Tail(), want)
	}
	pages, err := g.Pages()
	if err != nil || len(pages) != 1 || pages[0].Dict["New"] != added {
		t.Errorf("pages %v, %v", pages, err)
	}
	o, err := g.Get(added)
	if s, ok := o.(*Stream); err != nil || !ok || string(s.Data) != "stream\nendstream" || s.Dict["Kind"] != Name("new") {
		t.Errorf("the new object is %#v, %v", o, err)
	}
	if at, span, err := g.Span(added); err != nil || at != offsets[added] || !bytes.HasPrefix(span, []byte("4 0 obj")) || !bytes.HasSuffix(span, []byte("endobj")) {
		t.Errorf("it stands at %d: %q, %v", at, span, err)
	}
	old, err := g.At(0)
	if err != nil || !reflect.DeepEqual(old.Revisions, want[:1]) {
		t.Errorf("as it was: %+v, %v", old, err)
	}
	id, _ := g.Trailer["ID"].(Array)
	if len(id) != 2 || id[0] != id[1] {
		t.Errorf("identifier %v", g.Trailer["ID"])
	}
	u, _ = g.Update()
	u.Add(Dict{})
	data, _ = u.Bytes()
	if next := opened(t, data).Trailer["ID"].(Array); next[0] != id[0] || next[1] == id[1] {
		t.Errorf("identifier %v, then %v", id, next)
	}
}

func TestAppendingToAFileWithoutALastLine(t *testing.T) {
	base := bytes.TrimRight(file("<</Type /Catalog>>"), "\n")
	u, err := opened(t, base).Update()
	if err != nil {
		t.Fatal(err)
	}
	u.Add(Dict{})
	data, _ := u.Bytes()
	if f := opened(t, data); f.Revisions[0].End != len(base)+1 {
		t.Errorf("the first revision ends at %d, want %d", f.Revisions[0].End, len(base)+1)
	}
}

func TestOpenRefuses(t *testing.T) {
	good := string(file("<</Type /Catalog>>"))
	for _, c := range []struct {
		name, data string
		is         error
		says       string
	}{
		{"nothing", "", ErrFormat, "begin with %PDF-"},
		{"another format", "PK\x03\x04", ErrFormat, "begin with %PDF-"},
		{"only a beginning", "%PDF-1.7\n", ErrFormat, "cut short"},
		{"cut in the end", good[:len(good)-4], ErrFormat, "cut short"},
		{"cut in the middle", good[:len(good)/2], ErrFormat, "cut short"},
		{"encrypted", strings.Replace(good, "/Size", "/Encrypt 9 0 R /Size", 1), ErrEncrypted, "encrypted"},
		{"no table", strings.Replace(good, "xref\n0", "xxxx\n0", 1), ErrFormat, "no cross-reference table"},
		{"a table beyond the end", strings.Replace(good, "startxref\n", "startxref\n9", 1), ErrFormat, ""},
		{"too many entries", strings.Replace(good, "xref\n0 2", "xref\n0 99999999", 1), ErrFormat, "a table of 99999999 entries"},
		{"an entry of no kind", strings.Replace(good, "65535 f", "65535 x", 1), ErrFormat, "neither used nor free"},
		{"an object in the wrong place", strings.Replace(good, "0000000009", "0000000999", 1), ErrFormat, "does not stand in that revision"},
		{"a stream of references", strings.Replace(good, "/Size", "/XRefStm 9 /Size", 1), ErrFormat, "cross-reference stream"},
		{"tables in a circle", strings.Replace(good, "/Size", "/Prev 46 /Size", 1), ErrFormat, "does not stand before it"},
		{"tables backwards", strings.Replace(good, "/Size", "/Prev -1 /Size", 1), ErrFormat, "does not stand before it"},
		{"huge", "%PDF-1.7\n" + strings.Repeat(" ", MaxFile), ErrSize, "more than"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if f, err := Open([]byte(c.data)); !errors.Is(err, c.is) || !strings.Contains(err.Error(), c.says) || f != nil {
				t.Errorf("error %v, want %v that says %q", err, c.is, c.says)
			}
		})
	}
}

func TestObjectsRefused(t *testing.T) {
	for _, c := range []struct{ name, body, says string }{
		{"another number", "", "does not begin"},
		{"no end", "<</A 1>> 2", "does not end"},
		{"a stream too long", "<</Length 999999>>\nstream\nabc\nendstream", "which the file has not"},
		{"a stream too short", "<</Length 1>>\nstream\nabc\nendstream", "does not end here"},
		{"a stream of no length", "<<>>\nstream\nabc\nendstream", "without a length"},
		{"a stream of its own length", "<</Length 2 0 R>>\nstream\nabc\nendstream", ""},
		{"a stream without a dictionary", "[]\nstream\nabc\nendstream", "without a dictionary"},
		{"a stream with no line", "<</Length 3>>\nstream abc\nendstream", "no end of line"},
	} {
		t.Run(c.name, func(t *testing.T) {
			data := file("<</Type /Catalog>>", c.body)
			if c.body == "" {
				data = bytes.Replace(file("<</Type /Catalog>>", "null"), []byte("2 0 obj"), []byte("7 0 obj"), 1)
			}
			o, err := opened(t, data).Get(Ref{2, 0})
			if !errors.Is(err, ErrFormat) || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%#v, error %v, want one that says %q", o, err, c.says)
			}
		})
	}
	circle := opened(t, file("2 0 R", "1 0 R"))
	if _, err := circle.Resolve(Ref{1, 0}); !errors.Is(err, ErrFormat) {
		t.Errorf("references in a circle: error %v", err)
	}
	if _, _, err := circle.Root(); err == nil {
		t.Error("a catalogue that is none passes")
	}
	if _, err := opened(t, file("<</Pages 2 0 R>>", "<</Type /Pages /Kids [2 0 R 2 0 R]>>")).Pages(); err == nil {
		t.Error("pages in a circle pass")
	}
	// Every node twice below itself: a tree of 2^30.
	bodies := []string{"<</Pages 2 0 R>>"}
	for i := range 30 {
		bodies = append(bodies, fmt.Sprintf("<</Kids [%d 0 R %d 0 R]>>", i+3, i+3))
	}
	if _, err := opened(t, file(append(bodies, "<</Kids []>>")...)).Pages(); !errors.Is(err, ErrSize) {
		t.Errorf("a tree without end: error %v", err)
	}
}

func TestInflate(t *testing.T) {
	pack := func(data []byte) string {
		var b bytes.Buffer
		w := zlib.NewWriter(&b)
		w.Write(data)
		w.Close()
		return b.String()
	}
	stream := func(filter, data string) string {
		return fmt.Sprintf("<</Length %d %s>>\nstream\n%s\nendstream", len(data), filter, data)
	}
	bomb := pack(make([]byte, 20<<20))
	for _, c := range []struct {
		name, body string
		limit      int
		want       string
		is         error
	}{
		{"plain", stream("", "abc"), 3, "abc", nil},
		{"packed", stream("/Filter /FlateDecode", pack([]byte("abc"))), 3, "abc", nil},
		{"packed, in a list", stream("/Filter [/FlateDecode]", pack([]byte("abc"))), 3, "abc", nil},
		{"no filter in a list", stream("/Filter []", "abc"), 3, "abc", nil},
		{"larger than the limit", stream("/Filter /FlateDecode", pack([]byte("abcd"))), 3, "", ErrSize},
		{"plain and larger", stream("", "abcd"), 3, "", ErrSize},
		{"a thousand times what it seems", stream("/Filter /FlateDecode", bomb), 1 << 20, "", ErrSize},
		{"another filter", stream("/Filter /LZWDecode", "abc"), 9, "", ErrFormat},
		{"two filters", stream("/Filter [/FlateDecode /FlateDecode]", "abc"), 9, "", ErrFormat},
		{"not packed at all", stream("/Filter /FlateDecode", "abc"), 9, "", ErrFormat},
		{"cut short", stream("/Filter /FlateDecode", pack([]byte("abcdefgh"))[:8]), 9, "", ErrFormat},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := opened(t, file("<</Type /Catalog>>", c.body))
			o, err := f.Get(Ref{2, 0})
			if err != nil {
				t.Fatal(err)
			}
			got, err := f.Inflate(o.(*Stream), c.limit)
			if string(got) != c.want || !errors.Is(err, c.is) {
				t.Errorf("%q, error %v; want %q, %v", got, err, c.want, c.is)
			}
		})
	}
}

func TestTail(t *testing.T) {
	f := opened(t, append(file("<</Type /Catalog>>"), "\nmore"...))
	if f.Tail() != 5 {
		t.Errorf("%d bytes behind the end, want 5", f.Tail())
	}
	if _, err := f.Update(); err == nil || !strings.Contains(err.Error(), "5 bytes stand behind its end") {
		t.Errorf("error %v", err)
	}
}

// FuzzOpen: no file breaks the reader, and what is read of one is within it.
func FuzzOpen(f *testing.F) {
	f.Add(file("<</Type /Catalog /Pages 2 0 R>>", "<</Type /Pages /Kids [3 0 R]>>", "<</Type /Page /Contents 4 0 R>>", "<</Length 3>>\nstream\nabc\nendstream"))
	f.Add(file("<</Type /Catalog /Pages 2 0 R /Names <</EmbeddedFiles <</Names [(a) 3 0 R]>>>>>>", "<</Length 1 0 R /Filter /FlateDecode>>\nstream\nx\x9c\nendstream"))
	f.Add([]byte("%PDF-1.3\nxref\n0 1\n0000000000 65535 f \ntrailer<</Root 1 0 R>>startxref 9 %%EOF"))
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := Open(data)
		if err != nil {
			return
		}
		end := 0
		for _, r := range file.Revisions {
			if r.End <= end || r.End > len(data) {
				t.Errorf("revisions %v of %d bytes", file.Revisions, len(data))
			}
			end = r.End
			for _, n := range r.Objects {
				o, err := file.Get(Ref{Number: n})
				if s, ok := o.(*Stream); ok && err == nil {
					file.Inflate(s, 1000)
				}
			}
		}
		pages, _ := file.Pages()
		for _, p := range pages {
			file.Content(p)
		}
		if u, err := file.Update(); err == nil {
			u.Add(Dict{"A": math.Pi})
			next, _ := u.Bytes()
			if _, err := Open(next); err != nil {
				t.Errorf("appended to, the file does not read: %v\n%q", err, next)
			}
		}
	})
}
