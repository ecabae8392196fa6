package table

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"
	"testing"
	"testing/iotest"

	"golang.org/x/text/encoding/unicode"
)

// read reads a whole table: the numbers of its rows, NaN-like kinds as their words.
func read(t *testing.T, text string, o Options) (*Reader, [][]string) {
	t.Helper()
	r, err := NewReader(strings.NewReader(text), o)
	if err != nil {
		t.Fatal(err)
	}
	var rows [][]string
	for r.Next() {
		rows = append(rows, rowOf(r))
	}
	if r.Err() != nil {
		t.Fatal(r.Err())
	}
	return r, rows
}

func rowOf(r *Reader) []string {
	var cells []string
	for i := range r.Columns() {
		v, kind := r.Number(i)
		if kind == Number {
			cells = append(cells, fmt.Sprint(v))
		} else {
			cells = append(cells, kind.String())
		}
	}
	return cells
}

func heads(r *Reader) string {
	var list []string
	for _, c := range r.Columns() {
		list = append(list, c.Name+"|"+c.Unit)
	}
	return strings.Join(list, " ")
}

// TestShapes reads one table written in the ways that loggers have.
func TestShapes(t *testing.T) {
	want := [][]string{{"0", "2500", "101.5"}, {"0.01", "2512.25", "-3"}, {"0.02", "2530", "1034.75"}}
	const names = "Time|s RPM|1/min MAP|kPa"
	tests := []struct {
		name, text, heads, shape string
	}{
		{"comma, units in the header", "Time (s),RPM (1/min),MAP [kPa]\n0,2500,101.5\n0.01,2512.25,-3\n0.02,2530,1034.75\n",
			names, "UTF-8, LF, cells between commas, decimal point, header in line 1"},
		{"units row", "Time,RPM,MAP\ns,1/min,kPa\n0,2500,101.5\n0.01,2512.25,-3\n0.02,2530,1034.75\n",
			names, "UTF-8, LF, cells between commas, decimal point, header in line 1, units in line 2"},
		{"units row in brackets", "Time,RPM,MAP\n[s],[1/min],[kPa]\n0,2500,101.5\n0.01,2512.25,-3\n0.02,2530,1034.75\n",
			names, "UTF-8, LF, cells between commas, decimal point, header in line 1, units in line 2"},
		{"semicolon, decimal comma, CRLF", "Time;RPM;MAP\r\ns;1/min;kPa\r\n0;2500;101,5\r\n0,01;2512,25;-3\r\n0,02;2530;1034,75\r\n",
			names, "UTF-8, CRLF, cells between semicolons, decimal comma, header in line 1, units in line 2"},
		{"tabs, decimal comma, strokes", "Time/s\tRPM/1/min\tMAP/kPa\n0\t2500\t101,5\n0,01\t2512,25\t-3\n0,02\t2530\t1034,75",
			names, "UTF-8, LF, cells between tabs, decimal comma, header in line 1"},
		{"comma, decimal comma in quotes, thousands", "Time (s),RPM (1/min),\"MAP (kPa)\"\n\"0\",\"2.500\",\"101,5\"\n\"0,01\",\"2.512,25\",\"-3\"\n\"0,02\",\"2.530\",\"1.034,75\"\n",
			names, "UTF-8, LF, cells between commas, decimal comma, header in line 1"},
		{"thousands commas in quotes", "Time (s),RPM (1/min),MAP (kPa)\n0,\"2,500\",101.5\n0.01,\"2,512.25\",-3\n0.02,\"2,530\",\"1,034.75\"\n",
			names, "UTF-8, LF, cells between commas, decimal point, header in line 1"},
		{"thousands spaces", "Time (s);RPM (1/min);MAP (kPa)\n0;2 500;101,5\n0,01;2\u00a0512,25;-3\n0,02;2\u202f530;1'034,75\n",
			names, "UTF-8, LF, cells between semicolons, decimal comma, header in line 1"},
		{"preamble, blank lines, comments between rows", "# made on the bench, cell 3\nEngine: six, long block\n\nVersion;2\n\nTime (s);RPM (1/min);MAP (kPa)\n\n0;2500;101.5\n# a remark\n0.01;2512.25;-3\n// another; one; here\n\n0.02;2530;1034.75\n",
			names, "UTF-8, LF, cells between semicolons, decimal point, header in line 6"},
		{"header that is a comment", "# Time (s), RPM (1/min), MAP (kPa)\n0,2500,101.5\n0.01,2512.25,-3\n0.02,2530,1034.75\n",
			names, "UTF-8, LF, cells between commas, decimal point, header in line 1"},
		{"trailing delimiters", "Time (s),RPM (1/min),MAP (kPa),\n0,2500,101.5,\n0.01,2512.25,-3,\n0.02,2530,1034.75,\n",
			names, "UTF-8, LF, cells between commas, decimal point, header in line 1"},
		{"trailing delimiters of the rows alone", "Time (s),RPM (1/min),MAP (kPa)\n0,2500,101.5,\n0.01,2512.25,-3,\n0.02,2530,1034.75,\n",
			names, "UTF-8, LF, cells between commas, decimal point, header in line 1"},
		{"no header", "0,2500,101.5\n0.01,2512.25,-3\n0.02,2530,1034.75\n",
			"column 1| column 2| column 3|", "UTF-8, LF, cells between commas, decimal point, no header"},
		{"CR alone", "Time (s),RPM (1/min),MAP (kPa)\r0,2500,101.5\r0.01,2512.25,-3\r0.02,2530,1034.75\r",
			names, "UTF-8, CR, cells between commas, decimal point, header in line 1"},
		{"line ends in quotes", "\"Time\n(s)\",RPM (1/min),\"MAP\n(kPa)\"\n0,2500,101.5\n0.01,2512.25,\"-3\"\n0.02,2530,1034.75\n",
			names, "UTF-8, LF, cells between commas, decimal point, header in line 1"},
		{"spaces around cells", "Time (s) , RPM (1/min) , MAP (kPa)\n 0 , 2500 , 101.5\n0.01 , 2512.25 , -3\n0.02,\"2530\" , 1034.75\n",
			names, "UTF-8, LF, cells between commas, decimal point, header in line 1"},
		{"exponents", "Time (s),RPM (1/min),MAP (kPa)\n0,2.5e3,1.015E+2\n1e-2,2512.25,-3\n0.02,2530,1034.75\n",
			names, "UTF-8, LF, cells between commas, decimal point, header in line 1"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r, rows := read(t, tt.text, Options{})
			if got := heads(r); got != tt.heads {
				t.Errorf("heads %q, want %q", got, tt.heads)
			}
			if !reflect.DeepEqual(rows, want) {
				t.Errorf("rows %q, want %q", rows, want)
			}
			if got := r.Shape().String(); got != tt.shape {
				t.Errorf("shape %q, want %q", got, tt.shape)
			}
			if r.Counts().Ragged != 0 || r.Counts().Truncated || r.Counts().Rows != 3 {
				t.Errorf("counts %+v", r.Counts())
			}
		})
	}
}

func TestEncodings(t *testing.T) {
	const text = "Zeit [s];Ladedruck [kPa];Öl [°C]\r\n0;101,5;80\r\n0,1;102,5;81\r\n"
	utf16 := func(e unicode.Endianness, bom unicode.BOMPolicy) string {
		s, err := unicode.UTF16(e, bom).NewEncoder().String(text)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	tests := []struct {
		name, bytes string
		told        Encoding
		want        Encoding
		mark        bool
	}{
		{"UTF-8", text, "", UTF8, false},
		{"UTF-8 with mark", "\xef\xbb\xbf" + text, "", UTF8, true},
		{"UTF-16LE with mark", utf16(unicode.LittleEndian, unicode.UseBOM), "", UTF16LE, true},
		{"UTF-16BE with mark", utf16(unicode.BigEndian, unicode.UseBOM), "", UTF16BE, true},
		{"UTF-16LE told", utf16(unicode.LittleEndian, unicode.IgnoreBOM), UTF16LE, UTF16LE, false},
		{"UTF-16BE told", utf16(unicode.BigEndian, unicode.IgnoreBOM), UTF16BE, UTF16BE, false},
		{"Windows-1252 header", strings.NewReplacer("Ö", "\xd6", "°", "\xb0").Replace(text), "", UTF8, false},
		{"Windows-1252 told", strings.NewReplacer("Ö", "\xd6", "°", "\xb0").Replace(text), Windows1252, Windows1252, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r, rows := read(t, tt.bytes, Options{Encoding: tt.told})
			if got, want := heads(r), "Zeit|s Ladedruck|kPa Öl|°C"; got != want {
				t.Errorf("heads %q, want %q", got, want)
			}
			if want := [][]string{{"0", "101.5", "80"}, {"0.1", "102.5", "81"}}; !reflect.DeepEqual(rows, want) {
				t.Errorf("rows %q", rows)
			}
			if s := r.Shape(); s.Encoding != tt.want || s.Mark != tt.mark {
				t.Errorf("encoding %s, mark %v; want %s, %v", s.Encoding, s.Mark, tt.want, tt.mark)
			}
		})
	}
}

// TestCells tells numbers, nothing, NaN and text apart.
func TestCells(t *testing.T) {
	r, rows := read(t, "a,b,c\n1,2,3\n,NaN,text\n-,+Inf,12 kPa\nN/A,-inf,\"1,2,3\"\n1e400,0x10,1_000\n", Options{})
	want := [][]string{
		{"1", "2", "3"},
		{"empty", "not finite", "not a number"},
		{"empty", "not finite", "not a number"},
		{"empty", "not finite", "not a number"},
		{"not finite", "not a number", "not a number"},
	}
	if !reflect.DeepEqual(rows, want) {
		t.Errorf("rows %q, want %q", rows, want)
	}
	if r.Line() != 6 {
		t.Errorf("the last row is in line %d, want 6", r.Line())
	}
}

func TestDuplicateColumns(t *testing.T) {
	r, _ := read(t, "t (s),RPM,rpm,RPM,MAP (kPa)\n0,1,2,3,4\n1,1,2,3,4\n", Options{})
	for name, want := range map[string]int{"t": 0, "T (S)": 0, "rpm": 2, "column 4": 3, "MAP": 4, "map (kpa)": 4} {
		if got, err := r.Find(name); got != want || err != nil {
			t.Errorf("Find(%q) = %d, %v; want %d", name, got, err, want)
		}
	}
	for _, name := range []string{"RPM", "boost", "column 6", "column 0", ""} {
		if _, err := r.Find(name); !errors.Is(err, ErrColumn) {
			t.Errorf("Find(%q): %v, want %v", name, err, ErrColumn)
		}
	}
	if _, err := r.Find("RPM"); err == nil || !strings.Contains(err.Error(), "columns 2 and 4") {
		t.Errorf("the error does not name both columns: %v", err)
	}
}

func TestRaggedRows(t *testing.T) {
	var b strings.Builder
	b.WriteString("t,a,b\n")
	for i := range 100 {
		if i == 50 || i == 60 {
			b.WriteString("1,2\n")
		}
		fmt.Fprintf(&b, "%d,2,3\n", i)
	}
	b.WriteString("7,8") // cut off
	r, rows := read(t, b.String(), Options{})
	if want := (Counts{Rows: 100, Ragged: 2, First: 52, Truncated: true}); r.Counts() != want || len(rows) != 100 {
		t.Errorf("counts %+v, %d rows; want %+v", r.Counts(), len(rows), want)
	}
	r, err := NewReader(strings.NewReader(strings.ReplaceAll(b.String(), "9,2,3", "9,2")), Options{})
	if err != nil {
		t.Fatal(err)
	}
	for r.Next() {
	}
	if !errors.Is(r.Err(), ErrRagged) || !strings.Contains(r.Err().Error(), "the first in line 11") {
		t.Errorf("error %v, want %v that names line 11", r.Err(), ErrRagged)
	}
}

// TestRaggedFromTheStart finds the header where the first rows under it are cut.
func TestRaggedFromTheStart(t *testing.T) {
	r, rows := read(t, "a,b,c\n1,2,3\n4,5\n6,7\n8,9,10\n11,12,13\n14,15,16\n", Options{MostRagged: 0.5})
	if heads(r) != "a| b| c|" || len(rows) != 4 || r.Counts().Ragged != 2 || r.Counts().First != 3 {
		t.Errorf("heads %q, %d rows, counts %+v", heads(r), len(rows), r.Counts())
	}
}

func TestRefused(t *testing.T) {
	long := "t,a\n0,1\n1,2\n" + strings.Repeat("x", 3<<20)
	tests := []struct {
		name, text string
		o          Options
		is         error
		says       string
	}{
		{"empty", "", Options{}, ErrNoTable, "empty"},
		{"blank", " \n\n", Options{}, ErrNoTable, "empty"},
		{"prose", "This is a letter.\nIt holds no table.\n", Options{}, ErrNoTable, "no rows of two cells"},
		{"one column", "rpm\n1\n2\n", Options{}, ErrNoTable, "no rows of two cells"},
		{"no numbers", "a,b\nc,d\ne,f\n", Options{}, ErrNoTable, "no two rows of numbers"},
		{"header of another length", "a,b,c\n1,2\n3,4\n5,6\n", Options{}, ErrNoTable, "line 1 has 3 names where the rows below it have 2 cells"},
		{"two decimal marks", "a;b\n1,5;2.5\n1,5;2.5\n", Options{}, ErrAmbiguous, `"2.5" and a decimal comma in "1,5"`},
		{"thousands or decimals", "a;b\n1,234;2\n1,235;2\n", Options{}, ErrAmbiguous, `"1,234"`},
		{"UTF-16 without mark", "a\x00,\x00b\x00\n\x00", Options{}, ErrEncoding, "UTF-16LE"},
		{"unknown encoding", "a,b\n1,2\n", Options{Encoding: "EBCDIC"}, ErrEncoding, "EBCDIC"},
		{"quote that never closes", "a,b\n1,2\n3,4\n\"5,6\n7,8\n", Options{}, ErrQuote, "line 4"},
		{"quote that swallows the file", "a,b\n1,2\n3,4\n\"5,6\n" + strings.Repeat("7,8\n", 1<<20), Options{}, ErrQuote, "line 4"},
		{"endless line", long, Options{}, ErrTooLong, "line 4"},
		{"header line that is not there", "a,b\n1,2\n3,4\n", Options{Header: 7}, ErrNoTable, "no two rows"},
		{"odd delimiter", "a,b\n1,2\n", Options{Delimiter: '"'}, ErrNoTable, "cannot stand between cells"},
		{"odd decimal mark", "a,b\n1,2\n", Options{Decimal: '!'}, ErrNoTable, "decimal mark"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r, err := NewReader(strings.NewReader(tt.text), tt.o)
			for err == nil && r.Next() {
			}
			if err == nil {
				err = r.Err()
			}
			if !errors.Is(err, tt.is) || !strings.Contains(fmt.Sprint(err), tt.says) {
				t.Errorf("error %v; want %v that says %q", err, tt.is, tt.says)
			}
		})
	}
}

func TestOptions(t *testing.T) {
	tests := []struct {
		name, text string
		o          Options
		heads      string
		want       []string
	}{
		{"decimal comma told", "a;b\n1,234;2\n1,235;2\n", Options{Decimal: ','}, "a| b|", []string{"1.234", "2"}},
		{"decimal point told", "a;b\n1,234;2\n1,235;2\n", Options{Decimal: '.'}, "a| b|", []string{"1234", "2"}},
		{"delimiter told", "a|b;c|d\n1|2;3|4\n1|2;3|4\n", Options{Delimiter: '|'}, "a| b;c| d|", []string{"1", "not a number", "4"}},
		{"header told above a line of types", "a,b\nfloat,float\n1,2\n3,4\n", Options{Header: 1}, "a| b|", []string{"1", "2"}},
		{"units told", "a,b\nvolts,furlongs\n1,2\n3,4\n", Options{Header: 1, Units: 2}, "a|volts b|furlongs", []string{"1", "2"}},
		{"no header told", "a,b\n1,2\n3,4\n", Options{Header: None}, "column 1| column 2|", []string{"1", "2"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r, rows := read(t, tt.text, tt.o)
			if heads(r) != tt.heads || !reflect.DeepEqual(rows[0], tt.want) {
				t.Errorf("heads %q, first row %q; want %q, %q", heads(r), rows[0], tt.heads, tt.want)
			}
		})
	}
}

// TestReadErrors gives the error of the source, wherever it occurs.
func TestReadErrors(t *testing.T) {
	broken := errors.New("disk gone")
	text := "a,b\n" + strings.Repeat("1,2\n", 200_000)
	for _, at := range []int{0, 3, 1000, len(text)} {
		src := io.MultiReader(strings.NewReader(text[:at]), iotest.ErrReader(broken))
		r, err := NewReader(src, Options{})
		for err == nil && r.Next() {
		}
		if err == nil {
			err = r.Err()
		}
		if !errors.Is(err, broken) {
			t.Errorf("after %d bytes: %v, want %v", at, err, broken)
		}
	}
}

// TestSmallReads gives the same rows however the text comes.
func TestSmallReads(t *testing.T) {
	text := "a;b;c\n1,5;\"x\"\"y\";3\n" + strings.Repeat("2,5;\"two\nlines\";4\n", 50)
	_, want := read(t, text, Options{})
	for name, src := range map[string]io.Reader{
		"one byte": iotest.OneByteReader(strings.NewReader(text)),
		"half":     iotest.HalfReader(strings.NewReader(text)),
		"with EOF": iotest.DataErrReader(strings.NewReader(text)),
	} {
		r, err := NewReader(src, Options{})
		if err != nil {
			t.Fatal(err)
		}
		var rows [][]string
		for r.Next() {
			rows = append(rows, rowOf(r))
		}
		if !reflect.DeepEqual(rows, want) || r.Err() != nil {
			t.Errorf("%s: %d rows, %v; want %d", name, len(rows), r.Err(), len(want))
		}
	}
}

// TestClock reads times of a run and of a day.
func TestClock(t *testing.T) {
	r, err := NewReader(strings.NewReader("t;v\n12:00:01,5;1\n12:00:02,5;2\n"), Options{})
	if err != nil || !r.Next() {
		t.Fatal(err)
	}
	if v, kind := r.Clock(0); v != 43201.5 || kind != Number {
		t.Errorf("clock %v, %v; want 43201.5", v, kind)
	}
	for text, want := range map[string]float64{
		"0:01": 1, "1:00.25": 60.25, "100:59": 6059, "23:59:59": 86399,
		"1970-01-02 00:00:01": 86401, "1970-01-01T00:01:00.5Z": 60.5,
	} {
		if v, kind := clock([]byte(text)); v != want || kind != Number {
			t.Errorf("clock(%q) = %v, %v; want %v", text, v, kind, want)
		}
	}
	for _, text := range []string{"", "5", "1:60", "1:2:3:4", "-1:00", "1:-5", "1.5:00", "a:b", "2026-13-40 00:00:00"} {
		if v, kind := clock([]byte(text)); kind == Number {
			t.Errorf("clock(%q) = %v, want none", text, v)
		}
	}
}

// TestFlatMemory reads a long table without keeping any of it.
func TestFlatMemory(t *testing.T) {
	text := []byte("1234.5,6789.0,0.85\n")
	src := io.MultiReader(strings.NewReader("a,b,c\n"), &repeat{text: text, left: 200_000})
	r, err := NewReader(src, Options{})
	if err != nil {
		t.Fatal(err)
	}
	allocs := testing.AllocsPerRun(1, func() {
		for range 100_000 {
			if !r.Next() {
				t.Fatal(r.Err())
			}
			r.Number(2)
		}
	})
	if allocs > 0 {
		t.Errorf("%v allocations for 100,000 rows, want none", allocs)
	}
	if len(r.scan.buf) > bufferSize {
		t.Errorf("the buffer has grown to %d bytes", len(r.scan.buf))
	}
}

// repeat is a text over and over.
type repeat struct {
	text []byte
	at   int
	left int // times
}

func (r *repeat) Read(p []byte) (int, error) {
	n := 0
	for n < len(p) && r.left > 0 {
		m := copy(p[n:], r.text[r.at:])
		n += m
		if r.at += m; r.at == len(r.text) {
			r.at = 0
			r.left--
		}
	}
	if n == 0 {
		return 0, io.EOF
	}
	return n, nil
}

func TestMarksAreMarks(t *testing.T) {
	for _, m := range marks {
		d := unicode.UTF8.NewDecoder()
		if m.encoding != UTF8 {
			d = unicode.UTF16(unicode.BigEndian, unicode.UseBOM).NewDecoder()
		}
		if got, err := d.Bytes([]byte(m.mark)); err != nil || len(bytes.TrimPrefix(got, []byte("\ufeff"))) != 0 {
			t.Errorf("%s: mark decodes to %q, %v", m.encoding, got, err)
		}
	}
}
