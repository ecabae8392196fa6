package front

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.com/railbook/kernel/page/pagetest"
	"example.com/railbook/kernel/whatif"
	"example.com/railbook/kernel/whatif/internal/browser"
	"example.com/railbook/sizing"
)

// notebook is as much of the classic Jupyter notebook as a cell's panel needs: it keeps
// what is sent through a comm and delivers replies.
const notebook = `<!DOCTYPE html><meta charset="utf-8"><title>Notebook</title><script>
const sent = [], on = {};
let opened = '';
const comm = {on_msg(f) { on.message = f; }, on_close(f) { on.close = f; }, send(data) { sent.push(JSON.stringify(data)); }};
globalThis.Jupyter = {notebook: {kernel: {comm_manager: {new_comm(target) { opened = target; return comm; }}}}};
const deliver = reply => on.message({content: {data: reply}});
</script>`

// cell is a cell of such a notebook in a browser, with a process behind it.
type cell struct {
	*browser.Browser
	t     *testing.T
	ctx   context.Context
	panel *whatif.Panel
}

func openCell(t *testing.T, head string) cell {
	t.Helper()
	build, err := sizing.Open("../../../testdata/sheets/turbo.toml")
	if err != nil {
		t.Fatal(err)
	}
	panel, err := whatif.New(build)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
	t.Cleanup(cancel)
	b, err := browser.Start(ctx)
	if errors.Is(err, pagetest.ErrNoBrowser) {
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := b.Close(); err != nil {
			t.Error(err)
		}
	})
	path := filepath.Join(t.TempDir(), "cell.html")
	if err := os.WriteFile(path, []byte(head+fragment(t, panel.Describe(), Cell{ID: "panel-1", Target: "railbook-1"})), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := b.Open(ctx, path, ""); err != nil {
		t.Fatal(err)
	}
	return cell{b, t, ctx, panel}
}

// text evaluates an expression that has text for value.
func (c cell) text(expression string) (s string) {
	c.t.Helper()
	if err := c.Eval(c.ctx, expression, &s); err != nil {
		c.t.Fatal(err)
	}
	return s
}

// answer answers the oldest request that waits.
func (c cell) answer() whatif.Request {
	c.t.Helper()
	if err := c.Wait(c.ctx, `sent.length > 0`); err != nil {
		c.t.Fatal(err)
	}
	request := c.text(`sent.shift()`)
	var r whatif.Request
	if err := json.Unmarshal([]byte(request), &r); err != nil {
		c.t.Fatal(err)
	}
	c.text(fmt.Sprintf(`(deliver(%s), "")`, c.panel.Handle([]byte(request))))
	return r
}

func (c cell) slide(stop int) {
	c.t.Helper()
	c.text(fmt.Sprintf(`(() => { const i = document.querySelector('input[type=range]'); i.value = %d; i.dispatchEvent(new Event('input')); return ''; })()`, stop))
}

// TestCell moves a slider in a cell, answers as the process behind it does, and ends it.
func TestCell(t *testing.T) {
	c := openCell(t, notebook)
	if got := c.text(`opened`); got != "railbook-1" {
		t.Errorf("comm to %q", got)
	}
	c.answer() // the panel asks once at the start
	for _, stop := range []int{40, 45, 50} {
		c.slide(stop)
	}
	// The first move is asked at once; of those behind it the last one counts.
	if r := c.answer(); r.Settings.Stops[whatif.Boost] != 40 {
		t.Errorf("first asked: %+v", r)
	}
	if r := c.answer(); r.Settings.Stops[whatif.Boost] != 50 {
		t.Errorf("then asked: %+v", r)
	}
	want, err := c.panel.State(whatif.Settings{Stops: map[string]int{whatif.Boost: 50}})
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Wait(c.ctx, `document.querySelector('#panel-1').dataset.state === 'ready'`); err != nil {
		t.Fatal(err)
	}
	if got := c.text(`document.querySelector('.rbw-verdict').textContent`); got != want.Verdict {
		t.Errorf("verdict %q, want %q", got, want.Verdict)
	}
	if got := c.text(`document.querySelector('#panel-1 h3').textContent`); got != "Straight six for the harbour hillclimb" {
		t.Errorf("heading %q", got)
	}
	c.text(`(on.close(), "")`)
	c.slide(10)
	if err := c.Wait(c.ctx, `document.querySelector('.rbw-notice:not([hidden])') !== null`); err != nil {
		t.Fatal(err)
	}
	if got := c.text(`document.querySelector('.rbw-notice').textContent`); got != "The sliders do not work: the cell that answers has ended; run it again." {
		t.Errorf("notice %q", got)
	}
	if lines := c.Console(); len(lines) > 0 {
		t.Errorf("console: %q", lines)
	}
}

// TestCellElsewhere wants the tables to stay, with a word on why, where there is no comm.
func TestCellElsewhere(t *testing.T) {
	c := openCell(t, `<!DOCTYPE html><meta charset="utf-8"><title>Elsewhere</title>`)
	got := c.text(`document.querySelector('#panel-1').textContent`)
	if !strings.HasPrefix(got, "There are no live sliders here: sliders need the classic Jupyter notebook") || !strings.Contains(got, "The system carries 640 hp") {
		t.Errorf("shown: %.200q", got)
	}
}
