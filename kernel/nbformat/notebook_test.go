package nbformat

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// written-by-jupyter.ipynb was written by version 5.5.0 of the nbformat package
// of the Jupyter project, with every cell and output type in it.
const jupyterFile = "testdata/written-by-jupyter.ipynb"

func TestSameBytesAsJupyter(t *testing.T) {
	want, err := os.ReadFile(jupyterFile)
	if err != nil {
		t.Fatal(err)
	}
	nb, err := Parse(want)
	if err != nil {
		t.Fatal(err)
	}
	got, err := nb.Encode()
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("reading and writing %s changed it; now\n%s", jupyterFile, got)
	}
}

func TestParseFields(t *testing.T) {
	nb, err := ReadFile(jupyterFile)
	if err != nil {
		t.Fatal(err)
	}
	if len(nb.Cells) != 4 {
		t.Fatalf("got %d cells, want 4", len(nb.Cells))
	}
	md, code := nb.Cells[0], nb.Cells[2]
	if md.ID != "intro" || md.Type != Markdown || !strings.HasPrefix(md.Source, "# Rail pressure\n\nText") {
		t.Errorf("markdown cell: got %+v", md)
	}
	if got, _ := md.Attachments["a.png"].Text("image/png"); got != "aGVsbG8=" {
		t.Errorf("attachment: got %q", got)
	}
	if code.Source != "x := 1\nfmt.Println(x)" || code.ExecutionCount != 3 {
		t.Errorf("code cell: got %+v", code)
	}
	if !code.HasTag("raises-exception") || code.HasTag("raises") || md.HasTag("raises-exception") {
		t.Error("HasTag: wrong answer")
	}
	var types []string
	for _, o := range code.Outputs {
		types = append(types, o.Type)
	}
	if want := []string{Stream, Stream, DisplayData, ExecuteResult, Error}; !slices.Equal(types, want) {
		t.Fatalf("outputs: got %v, want %v", types, want)
	}
	if o := code.Outputs[0]; o.Name != "stdout" || o.Text != "1\n2\nno newline" {
		t.Errorf("stream: got %+v", o)
	}
	if o := code.Outputs[4]; o.EName != "ERROR" || o.EValue != "exit status 2" || len(o.Traceback) != 2 {
		t.Errorf("error: got %+v", o)
	}
	nb.ClearOutputs()
	if code.Outputs != nil || code.ExecutionCount != 0 {
		t.Error("ClearOutputs left something")
	}
}

func TestUnknownFieldsKept(t *testing.T) {
	const in = `{"nbformat": 4, "nbformat_minor": 7, "new_top": [1.50], "metadata": {"m": {"k": 1}}, "cells": [
	  {"cell_type": "code", "id": "a", "metadata": {"x": "y"}, "source": "1", "outputs": [
	    {"output_type": "stream", "name": "stdout", "text": "t", "new_stream": true},
	    {"output_type": "hologram", "depth": {"b": 2, "a": 1}}],
	   "new_cell": null}]}`
	nb, err := Parse([]byte(in))
	if err != nil {
		t.Fatal(err)
	}
	out, err := nb.Encode()
	if err != nil {
		t.Fatal(err)
	}
	var want, got bytes.Buffer
	json.Compact(&got, out)
	json.Compact(&want, []byte(`{"cells": [{"cell_type": "code", "execution_count": null, "id": "a", "metadata": {"x": "y"},
	  "new_cell": null, "outputs": [{"name": "stdout", "new_stream": true, "output_type": "stream", "text": ["t"]},
	  {"depth": {"a": 1, "b": 2}, "output_type": "hologram"}], "source": ["1"]}],
	  "metadata": {"m": {"k": 1}}, "nbformat": 4, "nbformat_minor": 7, "new_top": [1.50]}`))
	if got.String() != want.String() {
		t.Errorf("got  %s\nwant %s", &got, &want)
	}
}

func TestParseErrors(t *testing.T) {
	cell := func(s string) string {
		return `{"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": [
		  {"cell_type": "raw", "source": "", "metadata": {}}, ` + s + `]}`
	}
	for _, tt := range []struct{ name, in, want string }{
		{"empty", "", "not JSON: the file is empty"},
		{"not JSON", "{\n\"cells\": oops}", "line 2: not JSON: invalid character 'o' looking for beginning of value"},
		{"cut short", "{\n\"cells\": [\n", "line 3: not JSON: unexpected end of JSON input"},
		{"list", "[]", "not a notebook: got a list, want an object"},
		{"other JSON", `{"a": 1}`, "not a notebook: nbformat: missing"},
		{"format 3", `{"nbformat": 3, "worksheets": []}`, "nbformat 3 is not supported, want 4: open and save the notebook in a current Jupyter"},
		{"no cells", `{"nbformat": 4}`, "cells: missing"},
		{"cells", `{"nbformat": 4, "cells": {}}`, "cells: got an object, want a list"},
		{"metadata", `{"nbformat": 4, "cells": [], "metadata": 3}`, "metadata: got the number 3, want an object"},
		{"cell", cell(`"x"`), "cell 2: got a string, want an object"},
		{"no type", cell(`{"source": ""}`), "cell 2: cell_type: missing"},
		{"type", cell(`{"cell_type": "heading", "source": ""}`), `cell 2: cell_type: got "heading", want "code", "markdown" or "raw"`},
		{"source", cell(`{"cell_type": "code", "source": 7}`), "cell 2: source: got the number 7, want a string or a list of strings"},
		{"source line", cell(`{"cell_type": "code", "source": ["a", null]}`), "cell 2: source: got null in a list of strings"},
		{"count", cell(`{"cell_type": "code", "source": "", "execution_count": "1"}`), "cell 2: execution_count: got a string, want a whole number"},
		{"outputs", cell(`{"cell_type": "code", "source": "", "outputs": {}}`), "cell 2: outputs: got an object, want a list"},
		{"output", cell(`{"cell_type": "code", "source": "", "outputs": [null]}`), "cell 2: output 1: got null, want an object"},
		{"stream", cell(`{"cell_type": "code", "source": "", "outputs": [{"output_type": "stream", "name": "stdout"}]}`), "cell 2: output 1: text: missing"},
		{"traceback", cell(`{"cell_type": "code", "source": "", "outputs": [{"output_type": "error", "ename": "", "evalue": "", "traceback": "x"}]}`), "cell 2: output 1: traceback: got a string, want a list of strings"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Parse([]byte(tt.in))
			if err == nil || err.Error() != tt.want {
				t.Errorf("got  %v\nwant %s", err, tt.want)
			}
		})
	}
}

func TestReadFileErrorsNameTheFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "bad.ipynb")
	if err := os.WriteFile(path, []byte("no"), 0o666); err != nil {
		t.Fatal(err)
	}
	for _, p := range []string{path, path + ".missing"} {
		if _, err := ReadFile(p); err == nil || !strings.Contains(err.Error(), p) {
			t.Errorf("got %v, want an error that names %s", err, p)
		}
	}
}

func TestIDs(t *testing.T) {
	const in = `{"nbformat": 4, "nbformat_minor": 2, "metadata": {}, "cells": [
	  {"cell_type": "code", "source": "1"},
	  {"cell_type": "code", "source": "1"},
	  {"cell_type": "code", "source": "1", "id": "kept"},
	  {"cell_type": "code", "source": "1", "id": "kept"},
	  {"cell_type": "code", "source": "1", "id": "not allowed"}]}`
	parse := func() *Notebook {
		nb, err := Parse([]byte(in))
		if err != nil {
			t.Fatal(err)
		}
		return nb
	}
	nb, again := parse(), parse()
	seen := map[string]bool{}
	for i, c := range nb.Cells {
		if !validID(c.ID) || seen[c.ID] {
			t.Errorf("cell %d: ID %q is malformed or taken", i+1, c.ID)
		}
		seen[c.ID] = true
		if c.ID != again.Cells[i].ID {
			t.Errorf("cell %d: ID %q, and %q on second reading", i+1, c.ID, again.Cells[i].ID)
		}
	}
	if nb.Cells[2].ID != "kept" || nb.Cells[3].ID == "kept" {
		t.Error("the first cell with an ID must keep it, the second must not")
	}
	if nb.Minor != 5 {
		t.Errorf("minor version: got %d, want 5", nb.Minor)
	}
}

func TestEncodeBuilt(t *testing.T) {
	nb := &Notebook{Cells: []*Cell{{Type: Code, Source: "a\n\nb\n", Outputs: []*Output{{Type: DisplayData, Data: MimeBundle{}}}}}}
	data := nb.Cells[0].Outputs[0].Data
	data.SetText("text/html", "<i>&</i>")
	if err := data.SetJSON("application/json", map[string]any{"a": "<"}); err != nil {
		t.Fatal(err)
	}
	if err := nb.Cells[0].Metadata.Set("tags", []string{"x"}); err != nil {
		t.Fatal(err)
	}
	out, err := nb.Encode()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"\"a\\n\",\n    \"\\n\",\n    \"b\\n\"\n   ]", `"<i>&</i>"`, `"a": "<"`, `"nbformat_minor": 5`, `"id": "`} {
		if !bytes.Contains(out, []byte(want)) {
			t.Errorf("missing %s in\n%s", want, out)
		}
	}
	nb.Cells[0].Metadata["bad"] = json.RawMessage("{")
	if _, err := nb.Encode(); err == nil || !strings.HasPrefix(err.Error(), "cell 1: metadata: bad: not JSON") {
		t.Errorf("raw value that is no JSON: got %v", err)
	}
}

func FuzzParse(f *testing.F) {
	seed, err := os.ReadFile(jupyterFile)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(seed)
	f.Add([]byte(`{"nbformat":4,"cells":[]}`))
	f.Add([]byte(`{"nbformat":4,"cells":[{"cell_type":"code","source":["a\n","b"],"outputs":[{"output_type":"?","\u2028":1e400}]}]}`))       // unknown output, huge number
	f.Add([]byte(`{"nbformat":4,"metadata":null,"cells":[{"cell_type":"raw","source":"\ud800","attachments":{"a":{"text/x":["p","q"]}}}]}`)) // lone surrogate
	f.Add([]byte("\xef\xbb\xbf[]"))
	f.Fuzz(func(t *testing.T, data []byte) {
		nb, err := Parse(data)
		if err != nil {
			return
		}
		once, err := nb.Encode()
		if err != nil {
			t.Fatalf("parsed but does not encode: %v", err)
		}
		nb, err = Parse(once)
		if err != nil {
			t.Fatalf("does not parse what it wrote: %v", err)
		}
		twice, err := nb.Encode()
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(once, twice) {
			t.Errorf("not stable:\n%s\n%s", once, twice)
		}
	})
}
