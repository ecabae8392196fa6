//go:build unix

package cell_test

import (
	"encoding/gob"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/janpfeifer/gonb/gonbui/protocol"

	"example.com/railbook/kernel/display/internal/cell"
)

// program names, in the environment, what this test binary does in place of
// tests, as the program of a cell.
const program = "CELL_TEST_PROGRAM"

func TestMain(m *testing.M) {
	var err error
	switch os.Getenv(program) {
	case "":
		os.Exit(m.Run())
	case "three displays":
		for i := range 3 {
			err = errors.Join(err, cell.Send(cell.Bundle{
				cell.Text: fmt.Sprint("display ", i), cell.HTML: "<p>display</p>",
				"application/vnd.test+json": map[string]any{"n": i, "list": []float64{1, 2.5}, "gap": nil, "text": "λ", "yes": true},
			}))
		}
	case "not JSON":
		err = cell.Send(cell.Bundle{cell.Text: "x", "application/vnd.test+json": func() {}})
	case "mistake":
		cell.Must("x", errors.New("the sheet has a mistake\n  line 3: boost\n"))
	}
	if err != nil {
		cell.Fail(err)
	}
	os.Exit(0)
}

// fakeKernel is the kernel's end of gonb's pipes.
type fakeKernel struct {
	toKernel, fromKernel string
	shown                []map[protocol.MIMEType]any
	syncs                int
}

func newKernel(t *testing.T) *fakeKernel {
	t.Helper()
	dir := t.TempDir()
	k := &fakeKernel{toKernel: filepath.Join(dir, "to"), fromKernel: filepath.Join(dir, "from")}
	for _, path := range []string{k.toKernel, k.fromKernel} {
		if err := syscall.Mkfifo(path, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return k
}

// serve takes displays and acknowledges synchronisations until the program
// closes its end.
func (k *fakeKernel) serve() error {
	in, err := os.OpenFile(k.toKernel, os.O_RDONLY, 0)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(k.fromKernel, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	defer out.Close()
	requests, replies := gob.NewDecoder(in), gob.NewEncoder(out)
	for {
		var d protocol.DisplayData
		if err := requests.Decode(&d); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
		value, ok := d.Data[protocol.MIMECommValue].(protocol.CommValue)
		if !ok {
			k.shown = append(k.shown, d.Data)
			continue
		}
		k.syncs++
		if err := replies.Encode(&protocol.CommValue{Address: protocol.GonbuiSyncAckAddress, Value: value.Value}); err != nil {
			return err
		}
	}
}

// run runs the program of a cell with the kernel at its other end.
func (k *fakeKernel) run(t *testing.T, name string) string {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), program+"="+name, protocol.GONB_PIPE_ENV+"="+k.toKernel, protocol.GONB_PIPE_BACK_ENV+"="+k.fromKernel)
	served := make(chan error, 1)
	go func() { served <- k.serve() }()
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	select {
	case err := <-served:
		if err != nil {
			t.Fatal(err)
		}
	case <-time.After(10 * time.Second):
		t.Fatal("the program left the kernel's pipe open")
	}
	return string(out)
}

// Displays reach the kernel as one bundle each, in order, JSON as JSON and not
// as text, and the program waits for the kernel after each.
func TestSendToTheKernel(t *testing.T) {
	k := newKernel(t)
	if out := k.run(t, "three displays"); out != "" {
		t.Errorf("it printed %q", out)
	}
	if len(k.shown) != 3 || k.syncs != 3 {
		t.Fatalf("%d displays and %d synchronisations, want 3 of each", len(k.shown), k.syncs)
	}
	for i, got := range k.shown {
		// The kernel encodes what it has got for the notebook.
		raw, err := json.Marshal(got)
		if err != nil {
			t.Fatal(err)
		}
		want := fmt.Sprintf(`{"application/vnd.test+json":{"gap":null,"list":[1,2.5],"n":%d,"text":"λ","yes":true},`+
			`"text/html":"\u003cp\u003edisplay\u003c/p\u003e","text/plain":"display %d"}`, i, i)
		if string(raw) != want {
			t.Errorf("display %d is\n%s\nwant\n%s", i, raw, want)
		}
	}
}

// What cannot be encoded is an error, and nothing of it is shown.
func TestSendWhatIsNotJSON(t *testing.T) {
	k := newKernel(t)
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), program+"=not JSON", protocol.GONB_PIPE_ENV+"="+k.toKernel, protocol.GONB_PIPE_BACK_ENV+"="+k.fromKernel)
	out, err := cmd.CombinedOutput()
	if want := "application/vnd.test+json: json: unsupported type: func()\n"; err == nil || string(out) != want {
		t.Errorf("%v: %q, want it to fail with %q", err, out, want)
	}
}
