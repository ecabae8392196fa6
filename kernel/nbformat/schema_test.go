package nbformat_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/kernel/nbformat"
)

// python is the interpreter for which Debian packages the reference
// implementation of the format, python3-nbformat.
const python = "/usr/bin/python3"

// validator checks each file it is given against the published JSON schema of
// the version the file names. What the reference implementation would warn of,
// such as a cell without an ID, counts as an error.
const validator = `
import sys, warnings
warnings.simplefilter("error")
import nbformat
for name in sys.argv[1:]:
    try:
        nb = nbformat.read(name, as_version=nbformat.NO_CONVERT)
        nbformat.validate(nb)
        assert (nb.nbformat, nb.nbformat_minor) >= (4, 5), "version %d.%d" % (nb.nbformat, nb.nbformat_minor)
    except Exception as e:
        print("%s: %s: %s" % (name, type(e).__name__, str(e)[:2000]))
`

// valid holds the files to the published schema, or skips the test.
func valid(t *testing.T, files ...string) {
	t.Helper()
	if err := exec.Command(python, "-c", "import nbformat").Run(); err != nil {
		t.Skipf("no %s with the package nbformat: %v", python, err)
	}
	out, err := exec.Command(python, append([]string{"-c", validator}, files...)...).CombinedOutput()
	if err != nil || len(out) > 0 {
		t.Errorf("%v\n%s", err, out)
	}
}

// sources are notebooks as others write them, by what is odd about them.
var sources = map[string]string{
	"empty":       `{"nbformat": 4, "nbformat_minor": 5, "cells": []}`,
	"no metadata": `{"nbformat": 4, "cells": [{"cell_type": "code", "source": "1"}, {"cell_type": "raw", "source": ["a\n", "b"]}]}`,
	"version 4.0": `{"nbformat": 4, "nbformat_minor": 0, "metadata": {"kernelspec": {"name": "go", "display_name": "Go"}, "language_info": {"name": "go"}}, "cells": [
	  {"cell_type": "markdown", "metadata": {}, "source": "# T"},
	  {"cell_type": "code", "metadata": {"collapsed": true}, "source": ["1\n"], "execution_count": null, "outputs": []}]}`,
	"version 4.4, ids": `{"nbformat": 4, "nbformat_minor": 4, "metadata": {}, "cells": [
	  {"cell_type": "code", "id": "same", "metadata": {}, "source": "1", "execution_count": 1, "outputs": []},
	  {"cell_type": "code", "id": "same", "metadata": {}, "source": "1", "execution_count": 2, "outputs": []},
	  {"cell_type": "code", "id": "not allowed!", "metadata": {}, "source": "1", "execution_count": null, "outputs": []}]}`,
	"null everywhere": `{"nbformat": 4, "nbformat_minor": null, "metadata": null, "cells": [
	  {"cell_type": "code", "id": null, "metadata": null, "source": "1", "execution_count": null, "outputs": null}]}`,
	"outputs": `{"nbformat": 4, "nbformat_minor": 2, "metadata": {}, "cells": [{"cell_type": "code", "metadata": {}, "source": "1", "outputs": [
	  {"output_type": "stream", "name": "stdout", "text": "a"},
	  {"output_type": "display_data", "data": {"text/plain": "a", "image/png": "aGVsbG8=", "application/vnd.x+json": {"a": [1, null]}}},
	  {"output_type": "execute_result", "data": {"text/plain": ["a\n", "b"]}},
	  {"output_type": "error", "ename": "panic", "evalue": "no fuel"}]}]}`,
	"attachment": `{"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": [
	  {"cell_type": "markdown", "source": "![](attachment:a.png)", "attachments": {"a.png": {"image/png": "aGVsbG8="}}}]}`,
}

func TestWrittenNotebooksFitTheSchema(t *testing.T) {
	dir := t.TempDir()
	var files []string
	for name, text := range sources {
		nb, err := nbformat.Parse([]byte(text))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		path := filepath.Join(dir, strings.ReplaceAll(name, " ", "-")+".ipynb")
		if err := nb.WriteFile(path); err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		files = append(files, path)
	}
	built := &nbformat.Notebook{Cells: []*nbformat.Cell{
		{Type: nbformat.Markdown}, {Type: nbformat.Raw},
		{Type: nbformat.Code, Outputs: []*nbformat.Output{
			{Type: nbformat.Stream, Name: "stderr"}, {Type: nbformat.DisplayData}, {Type: nbformat.ExecuteResult}, {Type: nbformat.Error},
		}},
	}}
	if err := built.Cells[2].Metadata.Set("execution", map[string]string{"iopub.status.busy": "2026-01-01T00:00:00.000000Z"}); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "built.ipynb")
	if err := built.WriteFile(path); err != nil {
		t.Fatal(err)
	}
	valid(t, append(files, path)...)
}

// TestTheValidatorSees makes sure that the check above can fail.
func TestTheValidatorSees(t *testing.T) {
	if err := exec.Command(python, "-c", "import nbformat").Run(); err != nil {
		t.Skipf("no %s with the package nbformat: %v", python, err)
	}
	for name, text := range map[string]string{
		"no id":   `{"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": [{"cell_type": "markdown", "metadata": {}, "source": ""}]}`,
		"old":     `{"nbformat": 4, "nbformat_minor": 4, "metadata": {}, "cells": []}`,
		"no text": `{"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": [{"cell_type": "markdown", "id": "a", "metadata": {}}]}`,
	} {
		path := filepath.Join(t.TempDir(), "bad.ipynb")
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(python, "-c", validator, path).CombinedOutput()
		if err != nil || !strings.HasPrefix(string(out), path+": ") {
			t.Errorf("%s: got %v, %q, want a complaint", name, err, out)
		}
	}
}
