//go:build unix

package pump

import (
	"encoding/gob"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"example.com/railbook/kernel/cellgo/setting"
	"example.com/railbook/kernel/cellio"
	"github.com/janpfeifer/gonb/gonbui/protocol"
)

// programVariable names, in the environment of this test program, the program
// of a cell to play.
const programVariable = "PUMP_TEST_PROGRAM"

// lookVariable has the pump poll as on systems that tell nothing of the order.
const lookVariable = "PUMP_TEST_LOOK"

// TestMain lets this program play, beside the tests, the pump and the programs
// of cells. The pump is the one with a setting in its environment.
func TestMain(m *testing.M) {
	name := os.Getenv(programVariable)
	if name == "" {
		os.Exit(m.Run())
	}
	if s, err := setting.Read(); err != nil || s != (setting.Setting{}) {
		if err == nil && os.Getenv(lookVariable) != "" {
			err = runWith(s, os.Args, newLooker)
		} else if err == nil {
			err = Run(s, os.Args)
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	programs[name]()
}

// output is what the kernel got from the pump: text of a stream, or a display by
// its MIME type and value, or the exit.
type output struct{ kind, text string }

// gonb plays the kernel: it runs the pump as gonb does and reads its pipes.
type gonb struct {
	t       testing.TB
	cmd     *exec.Cmd
	dir     string
	stdin   *os.File
	read    chan output // closed when the pump has closed its pipe
	written strings.Builder
	toPump  *os.File
	values  *gob.Encoder
}

// programs are the programs of cells, by name.
var programs = map[string]func(){}

// startPump starts the pump on the program of that name.
func startPump(t testing.TB, program string, args ...string) *gonb {
	t.Helper()
	return startPumpOn(t, program, []string{setting.ProgramSuffix}, args...)
}

// startPumpOn is startPump with this test program under the given suffixes.
func startPumpOn(t testing.TB, program string, suffixes []string, args ...string) *gonb {
	t.Helper()
	dir := t.TempDir()
	g := &gonb{t: t, dir: dir, read: make(chan output)}
	binary := filepath.Join(dir, "gonb_test")
	for _, suffix := range append(suffixes, "") {
		if err := os.Symlink(os.Args[0], binary+suffix); err != nil {
			t.Fatal(err)
		}
	}
	display, back := filepath.Join(dir, "gonb_pipe_1"), filepath.Join(dir, "gonb_pipe_2")
	for _, path := range []string{display, back} {
		if err := syscall.Mkfifo(path, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	temp := filepath.Join(dir, "temp")
	if err := os.Mkdir(temp, 0o700); err != nil {
		t.Fatal(err)
	}
	g.cmd = exec.Command(binary, args...)
	g.cmd.Env = append(os.Environ(), programVariable+"="+program, "TMPDIR="+temp,
		protocol.GONB_PIPE_ENV+"="+display, protocol.GONB_PIPE_BACK_ENV+"="+back,
		setting.Setting{Events: true}.Entry())
	g.cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	g.cmd.Stdout, g.cmd.Stderr = &g.written, &g.written
	stdin, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	g.cmd.Stdin, g.stdin = stdin, w
	if err := g.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	stdin.Close()
	t.Cleanup(func() {
		syscall.Kill(-g.cmd.Process.Pid, syscall.SIGKILL)
		w.Close()
	})
	opened := make(chan error, 1)
	go func() {
		var err error
		g.toPump, err = os.OpenFile(back, os.O_WRONLY, 0)
		opened <- err
	}()
	from, err := os.Open(display)
	if err != nil {
		t.Fatal(err)
	}
	if err := <-opened; err != nil {
		t.Fatal(err)
	}
	g.values = gob.NewEncoder(g.toPump)
	go g.receive(from)
	return g
}

// runAlone runs the program as if there were no kernel.
func runAlone(binary, program string) (string, error) {
	cmd := exec.Command(binary)
	cmd.Env = append(os.Environ(), programVariable+"="+program, setting.Setting{Events: true}.Entry(), protocol.GONB_PIPE_ENV+"=")
	out, err := cmd.CombinedOutput()
	return string(out), err
}

// receive reads what the pump sends, and confirms where it asks for that.
func (g *gonb) receive(from *os.File) {
	defer close(g.read)
	for decoder := gob.NewDecoder(from); ; {
		var data protocol.DisplayData
		if decoder.Decode(&data) != nil {
			return
		}
		if request, ok := syncRequest(&data); ok {
			g.send(protocol.GonbuiSyncAckAddress, request)
			continue
		}
		g.read <- outputOf(&data)
	}
}

// send sends a value to the pump.
func (g *gonb) send(address string, value any) {
	g.values.Encode(&protocol.CommValue{Address: address, Value: value}) // it may have ended
}

func outputOf(data *protocol.DisplayData) output {
	raw, err := json.Marshal(data.Data)
	if err != nil {
		return output{"error", err.Error()}
	}
	var bundle map[string]json.RawMessage
	if err := json.Unmarshal(raw, &bundle); err != nil {
		return output{"error", err.Error()}
	}
	e, ok, err := cellio.Decode(bundle)
	switch {
	case err != nil:
		return output{"error", err.Error()}
	case ok && e.Exit != nil:
		return output{"exit", e.Exit.String()}
	case ok:
		return output{e.Stream, e.Text}
	}
	for mime, v := range data.Data {
		return output{string(mime), fmt.Sprint(v)}
	}
	return output{"error", "empty"}
}

// next returns the next output, or false at the end.
func (g *gonb) next() (output, bool) {
	select {
	case o, ok := <-g.read:
		return o, ok
	case <-time.After(time.Minute):
		g.t.Fatal("the pump sends nothing and does not end")
		return output{}, false
	}
}

// finish reads to the end and returns all outputs, adjacent texts of a stream
// joined.
func (g *gonb) finish() []output {
	g.t.Helper()
	var all []output
	for {
		o, ok := g.next()
		if !ok {
			break
		}
		if n := len(all); n > 0 && all[n-1].kind == o.kind && (o.kind == cellio.Stdout || o.kind == cellio.Stderr) {
			all[n-1].text += o.text
			continue
		}
		all = append(all, o)
	}
	if err := g.cmd.Wait(); err != nil || g.written.Len() > 0 {
		g.t.Errorf("the pump ended with %v and wrote %q", err, g.written.String())
	}
	left, err := os.ReadDir(filepath.Join(g.dir, "temp"))
	if err != nil || len(left) > 0 {
		g.t.Errorf("the pump left behind %v, %v", left, err)
	}
	return all
}

// signal sends a signal to the pump alone.
func (g *gonb) signal(s syscall.Signal) {
	if err := g.cmd.Process.Signal(s); err != nil {
		g.t.Error(err)
	}
}
