package catalogue_test

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"
	"unicode/utf16"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/catalogue"
	"example.com/railbook/sizing/quantity"
)

const goodInjectors = `part,maker,flow,dead_time,minimum_pulse,price,currency
L-1,Lindqvist,550 cc/min at 3 bar,1.2 ms at 12 V; 1.0 ms at 13.5 V,0.9 ms,58.00,EUR
L-2,Lindqvist,1000 cc/min at 3 bar,1.1 ms,,60,EUR
`

func TestReadInjectors(t *testing.T) {
	list, err := catalogue.ReadInjectors("injectors.csv", strings.NewReader(goodInjectors))
	if err != nil {
		t.Fatal(err)
	}
	if len(list) != 2 || list[0].Name() != "Lindqvist L-1" || list[0].Price != 5800 || list[1].Price != 6000 {
		t.Errorf("got %+v", list)
	}
	if got := list[0].Flow.Volume().In(quantity.CCPerMinute); got < 549.999 || got > 550.001 {
		t.Errorf("flow %v", got)
	}
	if len(list[0].DeadTime) != 2 || list[0].MinimumPulse != 0.9*quantity.Millisecond || list[1].MinimumPulse != 0 {
		t.Errorf("dead time %v, least pulse %v and %v", list[0].DeadTime, list[0].MinimumPulse, list[1].MinimumPulse)
	}
}

// TestSpellingsOfCSV wants the same parts however the file is written.
func TestSpellingsOfCSV(t *testing.T) {
	want, err := catalogue.ReadInjectors("", strings.NewReader(goodInjectors))
	if err != nil {
		t.Fatal(err)
	}
	semicolons := strings.ReplaceAll(strings.ReplaceAll(goodInjectors, "1.2 ms at 12 V; 1.0 ms at 13.5 V", `"1.2 ms at 12 V; 1.0 ms at 13.5 V"`), ",", ";")
	for name, text := range map[string]string{
		"CR LF":              strings.ReplaceAll(goodInjectors, "\n", "\r\n"),
		"byte order mark":    "\xef\xbb\xbf" + goodInjectors,
		"semicolons":         semicolons,
		"comments":           "# invented\n\n  # parts\n" + goodInjectors,
		"empty lines":        strings.ReplaceAll(goodInjectors, "\n", "\n\n") + ",,,,,,\n",
		"outer space":        strings.ReplaceAll(goodInjectors, ",", " , "),
		"capitals":           strings.Replace(goodInjectors, "part,maker,flow", "Part,MAKER,Flow", 1),
		"no end of last row": strings.TrimSuffix(goodInjectors, "\n"),
	} {
		got, err := catalogue.ReadInjectors("", strings.NewReader(text))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s: got %+v, want %+v", name, got, want)
		}
	}
}

func TestMistakesInAList(t *testing.T) {
	const head = "part,flow,dead_time,price,currency\n"
	for _, tt := range []struct{ name, text, want string }{
		{"unknown column", "part,flow,dead_tme\nA,1 cc/min at 3 bar,1 ms\n", `line 1: dead_tme: unknown column, perhaps "dead_time" is meant; want one of part, maker, flow,`},
		{"missing column", "part,flow\nA,500 cc/min at 3 bar\n", "line 1: dead_time: column is missing; want dead_time: by voltage"},
		{"column twice", "part,flow,dead_time,flow\nA,500 cc/min at 3 bar,1 ms,500 cc/min at 3 bar\n", "line 1: flow: stands twice in the header"},
		{"unnamed column", "part,flow,dead_time,\nA,500 cc/min at 3 bar,1 ms,\n", "line 1: column 4: has no name"},
		{"bad unit", head + "A,500 furlong at 3 bar,1 ms,,\n", `line 2: flow = "500 furlong at 3 bar"`},
		{"no unit", head + "A,500 cc/min at 3 bar,1,,\n", `line 2: dead_time = "1": the unit is missing; want`},
		{"not a number", head + "A,NaN cc/min at 3 bar,1 ms,,\n", `line 2: flow = "NaN cc/min at 3 bar"`},
		{"infinite", head + "A,1e999 cc/min at 3 bar,1 ms,,\n", `line 2: flow = "1e999 cc/min at 3 bar"`},
		{"missing value", head + "A,,1 ms,,\n", "line 2: flow: is missing; want flow held open"},
		{"missing name", head + ",500 cc/min at 3 bar,1 ms,,\n", "line 2: part: is missing"},
		{"duplicate", head + "A,500 cc/min at 3 bar,1 ms,,\nA,600 cc/min at 3 bar,1 ms,,\n", `line 3: part = "A": stands in line 2 too; want each part once`},
		{"negative price", head + "A,500 cc/min at 3 bar,1 ms,-5,\n", `line 2: price = "-5": a price must not be negative`},
		{"decimal comma", head + `A,500 cc/min at 3 bar,1 ms,"12,50",` + "\n", `line 2: price = "12,50": a comma in a number is ambiguous`},
		{"price in words", head + "A,500 cc/min at 3 bar,1 ms,cheap,\n", `line 2: price = "cheap": not an amount of money`},
		{"price with currency", head + "A,500 cc/min at 3 bar,1 ms,12 EUR,\n", `line 2: price = "12 EUR": not an amount of money`},
		{"great price", head + "A,500 cc/min at 3 bar,1 ms,99999999999999999999999,\n", "above the greatest price"},
		{"currency in words", head + "A,500 cc/min at 3 bar,1 ms,12,euro\n", `line 2: currency = "euro": is no currency`},
		{"two currencies", head + "A,500 cc/min at 3 bar,1 ms,12,EUR\nB,500 cc/min at 3 bar,1 ms,12,USD\n", `line 3: currency = "USD": is not that of the prices before, EUR`},
		{"ragged row", head + "A,500 cc/min at 3 bar,1 ms\n", `line 2: row = "A": has 3 fields; want 5 fields, as the header has`},
		{"longer row", head + "A,500 cc/min at 3 bar,1 ms,,,,\n", `line 2: row = "A": has 7 fields`},
		{"bare quote", head + "A,500 cc/min at 3 bar,1 ms\"\",,\n", `line 2: row: a bare " in column`},
		{"open quote", head + "\"A,500 cc/min at 3 bar,1 ms,,\n", `line 2: row: a " that is not closed`},
		{"empty", "", "line 1: header: is missing"},
		{"comments alone", "# nothing\n", "header: is missing"},
		{"header alone", head, "line 1: part: no part stands below the header"},
		{"Latin-1", head + "Caf\xe9,500 cc/min at 3 bar,1 ms,,\n", "line 2: file = \"Caf\uFFFD,500 cc/min at 3 bar,1 ms,,\": is not UTF-8"},
		{"zero byte", head + "A\x00,500 cc/min at 3 bar,1 ms,,\n", "line 2: file: holds a zero byte"},
		{"carriage returns", "part,flow,dead_time\rA,500 cc/min at 3 bar,1 ms\r", "file: ends its lines with a carriage return alone"},
		{"falling dead time", head + "A,500 cc/min at 3 bar,1 ms at 12 V; 1.2 ms at 14 V,,\n", `line 2: dead_time = "1 ms at 12 V; 1.2 ms at 14 V"`},
		{"beyond a sheet", "part,flow,dead_time,minimum_pulse\nA,500 cc/min at 3 bar,1 ms,3 s\n", `line 2: minimum_pulse = "3 s": is too large; want from`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			list, err := catalogue.ReadInjectors("injectors.csv", strings.NewReader(tt.text))
			if err == nil || list != nil {
				t.Fatalf("read: %v", list)
			}
			var le *catalogue.ListError
			if !errors.As(err, &le) {
				t.Fatalf("%T is no ListError", err)
			}
			if !strings.Contains(err.Error(), tt.want) {
				t.Errorf("got %v\nwant %s", err, tt.want)
			}
			if !strings.HasPrefix(err.Error(), "injectors.csv has ") {
				t.Errorf("the file is not named: %v", err)
			}
		})
	}
}

func TestMistakesInOtherLists(t *testing.T) {
	pumps := func(text string) error {
		_, err := catalogue.ReadPumps("pumps.csv", strings.NewReader(text))
		return err
	}
	hoses := func(text string) error {
		_, err := catalogue.ReadHoses("hoses.csv", strings.NewReader(text))
		return err
	}
	regulators := func(text string) error {
		_, err := catalogue.ReadRegulators("regulators.csv", strings.NewReader(text))
		return err
	}
	filters := func(text string) error {
		_, err := catalogue.ReadFilters("filters.csv", strings.NewReader(text))
		return err
	}
	const curve = "13.5 V: 400 L/h at 200 kPa; 300 L/h at 500 kPa"
	for _, tt := range []struct {
		name, text, want string
		read             func(string) error
	}{
		{"no colon", "part,curves\nA,400 L/h at 200 kPa\n", "no colon between a voltage and its points", pumps},
		{"rising flow", "part,curves\nA,13.5 V: 300 L/h at 200 kPa; 400 L/h at 500 kPa\n", "line 2: curves = ", pumps},
		{"one point", "part,curves\nA,13.5 V: 300 L/h at 200 kPa\n", "a curve has at least two points", pumps},
		{"less flow at more voltage", "part,curves\nA,12 V: 400 L/h at 200 kPa; 300 L/h at 500 kPa | 14 V: 350 L/h at 200 kPa; 250 L/h at 500 kPa\n", "line 2: curves = ", pumps},
		{"no pumps", "part,curves,most\nA," + curve + ",0\n", `line 2: most = "0": is not a number of pumps`, pumps},
		{"half a pump", "part,curves,most\nA," + curve + ",1.5\n", `line 2: most = "1.5": is not a number of pumps`, pumps},
		{"too many", "part,curves,most\nA," + curve + ",13\n", `line 2: most = "13": is not a number of pumps`, pumps},
		{"relief in the wrong unit", "part,curves,relief\nA," + curve + ",8 kPa\n", `line 2: relief = "8 kPa": is too small`, pumps},
		{"no size", "part,price_per_metre\nA,3\n", "line 2: bore: is missing", hoses},
		{"two sizes", "part,bore,dash\nA,8 mm,-8 hose\n", `line 2: dash = "-8 hose": is given beside bore`, hoses},
		{"dash alone", "part,dash\nA,-8\n", "a dash number alone does not tell the bore", hoses},
		{"bore in metres", "part,bore\nA,8 m\n", `line 2: bore = "8 m": is too large`, hoses},
		{"rough hose", "part,bore,roughness\nA,4 mm,0.4 mm\n", "exceeds a twentieth of the bore", hoses},
		{"low rating", "part,bore,pressure_rating\nA,8 mm,35 Pa\n", `line 2: pressure_rating = "35 Pa": is out of range`, hoses},
		{"price of a hose", "part,bore,price\nA,8 mm,3\n", "line 1: price: unknown column", hoses},
		{"kind", "part,kind\nA,adjustable\n", `line 2: kind = "adjustable"`, regulators},
		{"range", "part,kind,least_base_pressure,most_base_pressure\nA,fixed,60 psi,40 psi\n", `line 2: most_base_pressure = "40 psi": lies below`, regulators},
		{"rise of a fixed one", "part,kind,rise\nA,fixed,2\n", `line 2: rise = "2": belongs to a manifold-referenced regulator`, regulators},
		{"open drop alone", "part,kind,open_drop\nA,fixed,30 kPa\n", "line 2: max_return: is missing beside open_drop", regulators},
		{"loss without a flow", "part,loss\nA,12 kPa\n", `line 2: loss = "12 kPa"`, filters},
	} {
		t.Run(tt.name, func(t *testing.T) {
			err := tt.read(tt.text)
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("got %v, want %s", err, tt.want)
			}
		})
	}
}

// TestAllMistakesAreListed wants every one, and a count of those beyond the first.
func TestAllMistakesAreListed(t *testing.T) {
	var b strings.Builder
	b.WriteString("part,flow,dead_time,price\n")
	for i := range 1500 {
		fmt.Fprintf(&b, "P%d,500 cc/min,1 ms,-1\n", i)
	}
	_, err := catalogue.ReadInjectors("x.csv", strings.NewReader(b.String()))
	var le *catalogue.ListError
	if !errors.As(err, &le) {
		t.Fatal(err)
	}
	if got := len(le.Problems) + le.More; got != 3000 {
		t.Errorf("%d problems, want 3000", got)
	}
	for i, p := range le.Problems[:20] {
		if p.Line != 2+i/2 {
			t.Errorf("problem %d in line %d, want %d", i, p.Line, 2+i/2)
		}
	}
	if text := err.Error(); strings.Count(text, "\n") != 21 || !strings.HasSuffix(text, "and 2980 more") {
		t.Errorf("got %d lines, ending %q", strings.Count(text, "\n"), text[len(text)-40:])
	}
}

func TestUTF16IsSaid(t *testing.T) {
	var b bytes.Buffer
	b.WriteString("\xff\xfe")
	for _, u := range utf16.Encode([]rune(goodInjectors)) {
		b.Write([]byte{byte(u), byte(u >> 8)})
	}
	_, err := catalogue.ReadInjectors("x.csv", &b)
	if err == nil || !strings.Contains(err.Error(), "file: is UTF-16; want a file saved as UTF-8") {
		t.Errorf("got %v", err)
	}
}

func TestReadFolder(t *testing.T) {
	file := func(text string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(text)} }
	const hose, pump = "part,bore,price_per_metre,currency\nH,8 mm,3,EUR\n", "part,curves,price,currency\nP,13.5 V: 400 L/h at 200 kPa; 300 L/h at 500 kPa,90,EUR\n"
	l, err := catalogue.Read(fstest.MapFS{"injectors.csv": file(goodInjectors), "hoses.csv": file(hose), "pumps.csv": file(pump), "notes.txt": file("x"), "old/pumps.csv": file("broken")})
	if err != nil {
		t.Fatal(err)
	}
	if len(l.Injectors) != 2 || len(l.Hoses) != 1 || len(l.Pumps) != 1 || l.Filters != nil || l.Regulators != nil || l.Currency != "EUR" {
		t.Errorf("got %+v", l)
	}
	for _, tt := range []struct {
		name string
		fs   fstest.MapFS
		want []string
	}{
		{"misspelt", fstest.MapFS{"injector.csv": file(goodInjectors)}, []string{`injector.csv is no parts list, perhaps "injectors.csv" is meant`}},
		{"another list", fstest.MapFS{"customers.csv": file("a,b\n")}, []string{"customers.csv is no parts list; want no .csv file but injectors.csv, pumps.csv,"}},
		{"in capitals", fstest.MapFS{"HOSES.CSV": file(hose)}, []string{`perhaps "hoses.csv" is meant`}},
		{"empty", fstest.MapFS{"readme.txt": file("x")}, []string{"the folder holds no parts list; want one or more of injectors.csv"}},
		{"currencies", fstest.MapFS{"hoses.csv": file(hose), "pumps.csv": file(strings.ReplaceAll(pump, "EUR", "SEK"))}, []string{"pumps.csv: prices in SEK, where hoses.csv has EUR"}},
		{"two with mistakes", fstest.MapFS{"hoses.csv": file("part,bore\nH,8\n"), "pumps.csv": file("part,curves\nP,x\n")}, []string{"hoses.csv has a problem", "pumps.csv has a problem"}},
	} {
		l, err := catalogue.Read(tt.fs)
		if err == nil {
			t.Errorf("%s: read", tt.name)
			continue
		}
		for _, want := range tt.want {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%s: got %v, want %s", tt.name, err, want)
			}
		}
		if len(l.Hoses)+len(l.Pumps) > 0 {
			t.Errorf("%s: lists with an error: %+v", tt.name, l)
		}
	}
}

// TestDemoLists reads the lists of the demo scenario, and wants its sheet to have sets
// that carry.
func TestDemoLists(t *testing.T) {
	l, err := catalogue.Read(os.DirFS("../../notebooks/parts"))
	if err != nil {
		t.Fatal(err)
	}
	if len(l.Injectors) < 10 || len(l.Pumps) < 5 || len(l.Hoses) < 4 || len(l.Regulators) < 3 || len(l.Filters) < 2 {
		t.Errorf("short lists: %d, %d, %d, %d, %d", len(l.Injectors), len(l.Pumps), len(l.Hoses), len(l.Regulators), len(l.Filters))
	}
	c, err := catalogue.Choose(t.Context(), sheets(t)["first-build.toml"], &l, catalogue.Options{Pressures: usualPressures()})
	if err != nil {
		t.Fatal(err)
	}
	if c.Carry == 0 || len(c.Best) != 10 || len(c.Misses) != 10 {
		t.Errorf("%d carry, %d best, %d misses", c.Carry, len(c.Best), len(c.Misses))
	}
}

// TestSchemaNamesEveryColumn wants a file made by the schema to be read: each list's
// columns in a header, with the examples below.
func TestSchemaNamesEveryColumn(t *testing.T) {
	text := catalogue.Schema()
	for _, want := range []string{"injectors.csv", "pumps.csv", "hoses.csv", "regulators.csv", "filters.csv", "dead_time     *", "price_per_metre"} {
		if !strings.Contains(text, want) {
			t.Errorf("the schema does not say %q", want)
		}
	}
	files := fstest.MapFS{}
	for section := range strings.SplitSeq(text, "\n\n") {
		name, rest, ok := strings.Cut(section, ": ")
		if !ok || !strings.HasSuffix(name, ".csv") {
			continue
		}
		lines := strings.Split(rest, "\n")[1:]
		var header, row []string
		for i := 0; i+1 < len(lines) && !strings.HasPrefix(lines[i], "  * "); i += 2 {
			column := strings.Fields(lines[i])[0]
			if column == "dash" { // in place of bore
				continue
			}
			header, row = append(header, column), append(row, `"`+strings.TrimSpace(lines[i+1])+`"`)
		}
		files[name] = &fstest.MapFile{Data: []byte(strings.Join(header, ",") + "\n" + strings.Join(row, ",") + "\n")}
	}
	if len(files) != 5 {
		t.Fatalf("the schema has %d lists", len(files))
	}
	if _, err := catalogue.Read(files); err != nil {
		t.Error(err)
	}
}

// FuzzRead wants any bytes to be read or refused, and a part that was read to be one
// that a build sheet takes.
func FuzzRead(f *testing.F) {
	f.Add([]byte(goodInjectors))
	f.Add([]byte("part;flow;dead_time\nA;500 cc/min at 3 bar;\"1 ms at 12 V; 0.9 ms at 14 V\"\n")) // semicolons
	f.Add([]byte("# c\n\xef\xbb\xbfpart,flow\n\"A,\n"))                                            // a mark in the wrong place, an open quote
	f.Add([]byte("part,curves,most,relief\nP,12 V: 1 L/h at 1 kPa; 0 L/h at 2 kPa | 13 V: 2 L/h at 1 kPa; 1 L/h at 2 kPa,2,8 bar\n"))
	f.Add([]byte("part,bore,dash,roughness,pressure_rating,price_per_metre\nH,,\"-8 tube, wall 1 mm\",,20 bar,1.5\n"))
	f.Add([]byte("part,kind,least_base_pressure,most_base_pressure,slope\nR,fixed,3 bar,5 bar,8 kPa per 100 L/h\n"))
	f.Add([]byte("part,flow,dead_time\nA,1CC/..min at 1BAr,0ms\n")) // a unit as lists read it, and a range in a sheet
	f.Add([]byte("part,loss,price,currency\nF,12 kPa at 500 L/h,1,EUR\n"))
	b := sheetOf(f, sizing.Template)
	f.Fuzz(func(t *testing.T, data []byte) {
		var l catalogue.Lists
		l.Injectors, _ = catalogue.ReadInjectors("i", bytes.NewReader(data))
		l.Pumps, _ = catalogue.ReadPumps("p", bytes.NewReader(data))
		l.Hoses, _ = catalogue.ReadHoses("h", bytes.NewReader(data))
		l.Regulators, _ = catalogue.ReadRegulators("r", bytes.NewReader(data))
		l.Filters, _ = catalogue.ReadFilters("f", bytes.NewReader(data))
		none := catalogue.Candidate{Injector: -1, Pump: -1, Count: 1, Hose: -1, Filter: -1, Regulator: -1, Pressure: 3 * quantity.BarDiff}
		try := func(c catalogue.Candidate) {
			if err := l.Build(b, c).Validate(); err != nil {
				t.Errorf("a part that was read is refused: %v", err)
			}
			out, err := l.Rewrite("", []byte(sizing.Template), c)
			if err != nil {
				t.Errorf("%v\n%s", err, out)
			}
		}
		for i := range l.Injectors {
			c := none
			c.Injector = i
			try(c)
		}
		for i := range l.Pumps {
			c := none
			c.Pump = i
			try(c)
		}
		for i := range l.Hoses {
			c := none
			c.Hose = i
			try(c)
		}
		for i := range l.Regulators {
			c := none
			c.Regulator = i
			try(c)
		}
		for i := range l.Filters {
			c := none
			c.Filter = i
			try(c)
		}
	})
}

func sheetOf(t testing.TB, text string) sizing.Build {
	t.Helper()
	b, err := sizing.Read("sheet", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return b
}
