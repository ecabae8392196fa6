package main

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.com/railbook/kernel/kernelspec"
	"example.com/railbook/kernel/launch"
	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/page/pagetest"
)

// TestNotebookClassic uses Railbook's kernel as people do: in the classic Jupyter
// notebook, in a browser, with keys. It runs cells one after the other, looks for the
// table, the chart and the sliders, moves a slider and completes a name.
func TestNotebookClassic(t *testing.T) {
	if testing.Short() {
		t.Skip("starts Jupyter and a browser")
	}
	jupyter, err := exec.LookPath("jupyter-notebook")
	if err != nil {
		t.Skip("the Jupyter notebook is not installed")
	}
	work := t.TempDir()
	copyFile(t, filepath.Join(work, "first-build.toml"), "../../notebooks/first-build.toml")
	writeNotebook(t, filepath.Join(work, "try.ipynb"),
		"build := Open(\"first-build.toml\")", "a := Assess(build)\na", "Headroom(a)", "Controls(build)", "fuel.Bl")
	address := startJupyter(t, jupyter, work)

	tab := pagetest.Open(t, address+"/notebooks/try.ipynb", 1100, 900)
	awaitTrue(t, tab, "the kernel", `globalThis.Jupyter?.notebook?.kernel?.is_connected() && Jupyter.notebook.get_cells().length === 5`)
	tab.Eval(`Jupyter.notebook.select(0); Jupyter.notebook.command_mode(); document.querySelector('.cell').focus(); null`, nil)
	for n := 1; n <= 4; n++ {
		press(tab, "Enter", "Enter", 13, 8)
		awaitTrue(t, tab, fmt.Sprintf("cell %d", n), fmt.Sprintf(`Jupyter.notebook.get_cell(%d).input_prompt_number === %d && !Jupyter.notebook.kernel_busy`, n-1, n))
	}
	outputs := func(n int) string {
		return fmt.Sprintf(`Jupyter.notebook.get_cell(%d).element[0].querySelector('.output')`, n)
	}
	awaitTrue(t, tab, "the table of the assessment", outputs(1)+`.innerText.includes('The system carries 640 hp') && `+outputs(1)+`.querySelector('table') !== null`)
	awaitTrue(t, tab, "the picture of the headroom", outputs(2)+`.querySelector('img')?.naturalWidth > 100`)
	awaitTrue(t, tab, "the sliders", outputs(3)+`.querySelectorAll('input[type=range]').length >= 3`)

	var before, after string
	tab.Eval(outputs(3)+`.innerText`, &before)
	tab.Eval(outputs(3)+`.querySelector('input[type=range]').focus(); null`, nil)
	for range 3 {
		press(tab, "ArrowRight", "ArrowRight", 39, 0)
	}
	awaitTrue(t, tab, "an answer to the slider", outputs(3)+`.innerText !== `+quoted(before))
	tab.Eval(outputs(3)+`.innerText`, &after)
	if !strings.Contains(after, "→") {
		t.Errorf("the panel does not say what was changed:\n%.400s", after)
	}
	var took float64
	tab.Eval(`(async () => {
		const out = `+outputs(3)+`, input = out.querySelector('input[type=range]');
		const fuel = () => (out.innerText.match(/fuel needed\s+\S+/i) || [''])[0];
		const was = fuel(), start = performance.now();
		input.value = Number(input.value) + 3; input.dispatchEvent(new Event('input', {bubbles: true}));
		while (fuel() === was && performance.now() - start < 20000) await new Promise(requestAnimationFrame);
		return performance.now() - start;
	})()`, &took)
	t.Logf("a move of a slider is answered and drawn after %.0f ms", took)
	if took >= 20000 {
		t.Error("a move of a slider is not answered")
	}

	tab.Eval(`Jupyter.notebook.select(4); Jupyter.notebook.edit_mode(); const cm = Jupyter.notebook.get_cell(4).code_mirror; cm.focus(); cm.setCursor(0, 7); null`, nil)
	completed := false
	for end := time.Now().Add(2 * time.Minute); !completed && time.Now().Before(end); {
		press(tab, "Tab", "Tab", 9, 0)
		for range 20 {
			time.Sleep(100 * time.Millisecond)
			tab.Eval(`Jupyter.notebook.get_cell(4).get_text().startsWith('fuel.Blend') ||
				(document.querySelector('.completions')?.innerText || '').includes('Blend')`, &completed)
			if completed {
				break
			}
		}
	}
	if !completed {
		t.Error("Tab does not complete fuel.Bl")
	}
	if picture := os.Getenv("RAILBOOK_PICTURES"); picture != "" {
		tab.Screenshot(filepath.Join(picture, "notebook-classic.png"))
	}
}

// TestNbconvert has Jupyter run a notebook without a browser, with values that live on
// from cell to cell, and wants a failure to be one.
func TestNbconvert(t *testing.T) {
	if testing.Short() {
		t.Skip("starts Jupyter")
	}
	nbconvert, err := exec.LookPath("jupyter-nbconvert")
	if err != nil {
		t.Skip("nbconvert is not installed")
	}
	data, work := installForTest(t), t.TempDir()
	copyFile(t, filepath.Join(work, "first-build.toml"), "../../notebooks/first-build.toml")
	run := func(name string, cells ...string) ([]byte, error) {
		writeNotebook(t, filepath.Join(work, name), cells...)
		cmd := exec.Command(nbconvert, "--to", "notebook", "--execute", "--output", "done-"+name, name)
		cmd.Dir = work
		cmd.Env = append(os.Environ(), "JUPYTER_DATA_DIR="+data, "JUPYTER_CONFIG_DIR="+t.TempDir(), "JUPYTER_RUNTIME_DIR="+t.TempDir())
		return cmd.CombinedOutput()
	}
	if out, err := run("good.ipynb", "build := Open(\"first-build.toml\")\nn := 1", "n += 41\nn", "Assess(build)"); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	nb, err := nbformat.ReadFile(filepath.Join(work, "done-good.ipynb"))
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{1: "42", 2: "The system carries 640 hp"} {
		if want == "" {
			continue
		}
		if got := nb.Cells[i].Outputs; len(got) != 1 || !strings.Contains(textOf(got[0]), want) {
			t.Errorf("cell %d has the outputs %v, want %q", i+1, got, want)
		}
	}
	if out, err := run("bad.ipynb", "undefinedName"); err == nil || !strings.Contains(string(out), "undefinedName is not defined") {
		t.Errorf("a cell that fails: %v, %s", err, out)
	}
}

func textOf(o *nbformat.Output) string {
	text, _ := o.Data.Text("text/plain")
	return text
}

// press presses and releases a key; modifiers are those of the DevTools protocol, 8 for
// Shift.
func press(tab *pagetest.Tab, key, code string, number, modifiers int) {
	for _, kind := range []string{"rawKeyDown", "keyUp"} {
		tab.Call("Input.dispatchKeyEvent", map[string]any{
			"type": kind, "key": key, "code": code, "windowsVirtualKeyCode": number, "modifiers": modifiers,
		}, nil)
	}
}

// awaitTrue waits until a JavaScript expression is true.
func awaitTrue(t *testing.T, tab *pagetest.Tab, what, expression string) {
	t.Helper()
	for end := time.Now().Add(3 * time.Minute); ; time.Sleep(100 * time.Millisecond) {
		var there bool
		tab.Eval("(() => { try { return Boolean("+expression+") } catch (e) { return false } })()", &there)
		if there {
			return
		}
		if time.Now().After(end) {
			var seen string
			tab.Eval(`document.body.innerText.slice(0, 3000)`, &seen)
			t.Fatalf("%s does not come; the page has:\n%s", what, seen)
		}
	}
}

func quoted(text string) string {
	return "JSON.parse(" + fmt.Sprintf("%q", nbQuote(text)) + ")"
}

// nbQuote is a text as JSON.
func nbQuote(text string) string {
	b := nbformat.MimeBundle{}
	b.SetText("text/plain", text)
	return string(b["text/plain"])
}

func copyFile(t *testing.T, to, from string) {
	t.Helper()
	data, err := os.ReadFile(from)
	if err == nil {
		err = os.WriteFile(to, data, 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// writeNotebook writes a notebook of code cells for Railbook's kernel.
func writeNotebook(t *testing.T, path string, cells ...string) {
	t.Helper()
	var list []string
	for i, c := range cells {
		list = append(list, fmt.Sprintf(`{"id": "cell-%d", "cell_type": "code", "metadata": {}, "execution_count": null, "outputs": [], "source": %s}`, i, nbQuote(c)))
	}
	text := `{"cells": [` + strings.Join(list, ",\n") + `], "metadata": {"kernelspec": {"name": "railbook", "display_name": "Railbook", "language": "go"}}, "nbformat": 4, "nbformat_minor": 5}`
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// installForTest builds this command and puts its kernel into a Jupyter folder of its own,
// which it returns.
func installForTest(t *testing.T) (data string) {
	t.Helper()
	m, err := launch.FindModule(".")
	if err != nil {
		t.Fatal(err)
	}
	program := filepath.Join(t.TempDir(), "railbook")
	if out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	// What the first cell would wait for.
	if _, err := m.Build(t.Context(), func(line string) { t.Log(line) }); err != nil {
		t.Fatal(err)
	}
	if _, err := m.BuildGopls(t.Context(), func(line string) { t.Log(line) }); err != nil {
		t.Fatal(err)
	}
	data = t.TempDir()
	_, err = kernelspec.Write(data, kernelspec.Spec{
		Program: program, Args: []string{"kernel", "--module", m.Root, "--connection", "{connection_file}"},
	})
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// startJupyter starts a notebook server on a folder and returns its address.
func startJupyter(t *testing.T, jupyter, folder string) string {
	t.Helper()
	data := installForTest(t)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	address := l.Addr().String()
	l.Close()
	_, port, _ := net.SplitHostPort(address)
	ctx, cancel := context.WithCancel(context.Background())
	cmd := exec.CommandContext(ctx, jupyter, "--no-browser", "--allow-root", "--ip=127.0.0.1", "--port="+port, "--notebook-dir="+folder,
		"--NotebookApp.token=", "--NotebookApp.password=")
	cmd.Env = append(os.Environ(), "JUPYTER_DATA_DIR="+data, "JUPYTER_CONFIG_DIR="+t.TempDir(), "JUPYTER_RUNTIME_DIR="+t.TempDir())
	cmd.Cancel = func() error { return cmd.Process.Signal(os.Interrupt) }
	cmd.WaitDelay = 10 * time.Second
	var log strings.Builder
	cmd.Stdout, cmd.Stderr = &log, &log
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		// The server asks on the first interrupt and ends on the second.
		cmd.Process.Signal(os.Interrupt)
		cancel()
		cmd.Wait()
		if t.Failed() {
			t.Log(log.String())
		}
	})
	for end := time.Now().Add(2 * time.Minute); ; time.Sleep(100 * time.Millisecond) {
		if reply, err := http.Get("http://" + address + "/api"); err == nil {
			reply.Body.Close()
			return "http://" + address
		}
		if time.Now().After(end) {
			t.Fatal("the notebook server does not answer")
		}
	}
}
