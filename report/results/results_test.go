package results_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"example.com/railbook/report"
	"example.com/railbook/report/figure"
	"example.com/railbook/report/results"
	"example.com/railbook/sizing"
)

// made are the results of every sheet of the tests.
func made(t testing.TB) map[string]results.Results {
	t.Helper()
	all := map[string]results.Results{}
	for _, pattern := range []string{"../../testdata/sheets/*.toml", "../testdata/*.toml", "../../notebooks/first-build.toml"} {
		paths, err := filepath.Glob(pattern)
		if err != nil || len(paths) == 0 {
			t.Fatalf("%s: no sheets, %v", pattern, err)
		}
		for _, path := range paths {
			b, err := sizing.Open(path)
			if err != nil {
				t.Fatal(err)
			}
			a, err := sizing.Assess(b)
			if err != nil {
				t.Fatal(err)
			}
			d, err := report.Make(a, report.Options{Figures: []figure.Figure{}, Version: "test"})
			if err != nil {
				t.Fatal(err)
			}
			all[path] = d.Results
		}
	}
	return all
}

func encoded(t testing.TB, r results.Results) []byte {
	t.Helper()
	data, err := r.Encode()
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// schema compiles the schema by a general-purpose library, santhosh-tekuri/jsonschema.
func schema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(results.Schema))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource(results.SchemaID, doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile(results.SchemaID)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func valid(t *testing.T, s *jsonschema.Schema, data []byte) error {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return s.Validate(doc)
}

// TestSchema: the results of every sheet are as the schema says, and read back as they
// were.
func TestSchema(t *testing.T) {
	s := schema(t)
	for path, r := range made(t) {
		data := encoded(t, r)
		if err := valid(t, s, data); err != nil {
			t.Errorf("%s: %v", path, err)
		}
		back, err := results.Decode(data)
		if err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		if again := encoded(t, back); !bytes.Equal(again, data) {
			t.Errorf("%s: reads back otherwise", path)
		}
		r.Assessment, back.Assessment = nil, nil
		if !reflect.DeepEqual(r, back) {
			t.Errorf("%s: reads back as another", path)
		}
	}
}

// TestSchemaRefuses: what the results must not be, neither the schema nor Decode takes.
func TestSchemaRefuses(t *testing.T) {
	s := schema(t)
	good := string(encoded(t, made(t)["../../notebooks/first-build.toml"]))
	for _, c := range []struct{ name, from, to string }{
		{"another form", `"schema": "urn:railbook:results:2"`, `"schema": "urn:railbook:results:3"`},
		{"no form", `"schema": "urn:railbook:results:2",`, ``},
		{"an unknown name", `"verdict":`, `"verdikt":`},
		{"a number as text", `"value": 640`, `"value": "six hundred"`},
		{"a table that is none", `"tables": [`, `"tables": [7,`},
	} {
		t.Run(c.name, func(t *testing.T) {
			data := []byte(strings.Replace(good, c.from, c.to, 1))
			if string(data) == good {
				t.Fatalf("%q is not in the results", c.from)
			}
			if valid(t, s, data) == nil {
				t.Error("the schema takes it")
			}
			if _, err := results.Decode(data); err == nil {
				t.Error("Decode takes it")
			}
		})
	}
	for name, change := range map[string][2]string{
		"another unit system": {`"units": "US"`, `"units": "UK"`},
		"no date":             {`"date": "2026-11-20"`, `"date": "20 November"`},
		"table 0":             {`"table": 1,`, `"table": 0,`},
	} {
		if data := strings.Replace(good, change[0], change[1], 1); data == good || valid(t, s, []byte(data)) == nil {
			t.Errorf("%s: the schema takes it", name)
		}
	}
}

func TestDecodeRefuses(t *testing.T) {
	for _, c := range []struct{ data, says string }{
		{"", "not JSON"}, {"{", "not JSON"}, {"[]", "not JSON"}, {"{}", "unknown form"},
		{`{"schema": "urn:railbook:results:2", "other": 1}`, "do not fit"},
		{`{"schema": "urn:railbook:results:2"} {}`, "not JSON"},
		{`{"schema": "urn:railbook:results:99"}`, `"urn:railbook:results:99"; want "urn:railbook:results:2"`},
	} {
		if _, err := results.Decode([]byte(c.data)); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q: error %v, want one that says %q", c.data, err, c.says)
		}
	}
	if _, err := results.Decode([]byte(`{"schema": "x"}`)); !errors.Is(err, results.ErrSchema) {
		t.Errorf("error %v", err)
	}
}

func TestNumbers(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", ""}, {"none", ""}, {"any power", ""},
		{"713.7 hp (first)", "713.7 hp"}, {"+47 %", "47 %"}, {"−4 %", "-4 %"}, {"±2 %", "2 %"}, {"-3.5 kPa", "-3.5 kPa"},
		{"0.8", "0.8"}, {"6, four-stroke", "6"}, {"1.15 ms least", "1.15 ms"}, {"0.62 lb/(hp·h)", "0.62 lb/(hp·h)"}, {"(0.62 lb/(hp·h))", "0.62 lb/(hp·h)"},
		{"950 rpm at 5.802 psia, absolute", "950 rpm, 5.802 psia"}, {"5 %, 10 %, 10 %", "5 %, 10 %, 10 %"},
		{"Lindqvist L-1550: 6, 1550 cc/min at 43.51 psi on n-heptane, sequential", "1550 cc/min, 43.51 psi"},
		{"2 × Skerry 400", "2"}, {"Pumps: 2 × Skerry 400", ""}, {"SAE J1349, ISO 1585", ""}, {"-8 hose", ""},
		{"352 L/h at 200 kPa\n318 L/h at 300 kPa", "352 L/h, 200 kPa, 318 L/h, 300 kPa"}, {"30 °C", "30 °C"}, {"118.4 °F.", "118.4 °F"},
		{"1.5e-05 m³/s", "1.5e-05 m³/s"}, {"007 kPa", "7 kPa"}, {"0 kPa", "0 kPa"}, {"1 2 3", "1"},
	} {
		var got []string
		for _, n := range results.Numbers(c.text) {
			got = append(got, strings.TrimSpace(fmt.Sprintf("%s %s", n.Value, n.Unit)))
			if !json.Valid([]byte(n.Value)) {
				t.Errorf("%q: %s is no number in JSON", c.text, n.Value)
			}
		}
		if text := strings.Join(got, ", "); text != c.want {
			t.Errorf("%q has %q, want %q", c.text, text, c.want)
		}
	}
}

// FuzzNumbers: whatever is printed, its numbers are numbers in JSON.
func FuzzNumbers(f *testing.F) {
	for _, s := range []string{"713.7 hp (first)", "−0 %", "00.5", "±1e-5 kPa", "(1", "lb/(hp h)", "5 lb/(hp h", "\n1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, n := range results.Numbers(text) {
			if !json.Valid([]byte(n.Value)) || n.Unit != "" && !results.Units[n.Unit] {
				t.Errorf("%q has %+v", text, n)
			}
		}
	})
}

// FuzzDecode: whatever decodes encodes, and decodes as the same.
func FuzzDecode(f *testing.F) {
	r := results.Results{Schema: results.SchemaID, Tables: []results.Table{{Number: 1, Columns: []string{"a"}, Rows: []results.Row{{Number: 1, Cells: []results.Cell{results.MakeCell("1 kPa")}}}}}, Assessment: json.RawMessage("{}")}
	data, err := r.Encode()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := results.Decode(data)
		if err != nil {
			return
		}
		once, err := r.Encode()
		if err != nil {
			return // such as a number that is none in JSON
		}
		again, err := results.Decode(once)
		if err != nil {
			t.Fatalf("%s: %v", once, err)
		}
		if twice, err := again.Encode(); err != nil || !bytes.Equal(once, twice) {
			t.Errorf("%s then %s, %v", once, twice, err)
		}
	})
}
