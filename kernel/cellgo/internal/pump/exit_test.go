//go:build unix

package pump

import (
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/janpfeifer/gonb/gonbui"
)

func init() {
	programs["exits"] = func() {
		fmt.Println("out")
		show("D")
		os.Exit(3)
	}
	programs["panics"] = func() {
		fmt.Println("out")
		panic("oh")
	}
	programs["kills itself"] = func() { syscall.Kill(os.Getpid(), syscall.SIGKILL); select {} }
}

func TestExit(t *testing.T) {
	for _, tt := range []struct {
		program string
		before  []string // kinds
		exit    string
	}{
		{"exits", []string{"stdout", html}, "exit status 3"},
		{"panics", []string{"stdout", "stderr"}, "exit status 2"},
		{"kills itself", nil, "signal: killed"},
	} {
		t.Run(tt.program, func(t *testing.T) {
			got := startPump(t, tt.program).finish()
			var kinds []string
			for _, o := range got {
				kinds = append(kinds, o.kind)
			}
			last := len(got) - 1
			if strings.Join(kinds[:last], " ") != strings.Join(tt.before, " ") || got[last] != (output{"exit", tt.exit}) {
				t.Errorf("got %q", got)
			}
		})
	}
}

func init() {
	programs["sleeps"] = func() {
		fmt.Println(os.Getpid())
		time.Sleep(time.Hour)
	}
	programs["cleans up"] = func() {
		c := make(chan os.Signal, 1)
		signal.Notify(c, os.Interrupt)
		fmt.Println(os.Getpid())
		<-c
		fmt.Println("cleaned up")
		os.Exit(5)
	}
	programs["stubborn"] = func() {
		signal.Ignore(os.Interrupt)
		fmt.Println(os.Getpid())
		time.Sleep(time.Hour)
	}
	programs["leaves behind"] = func() {
		same := exec.Command("sleep", "3600")
		own := exec.Command("sleep", "3600")
		own.SysProcAttr = &syscall.SysProcAttr{Setsid: true}
		for _, cmd := range []*exec.Cmd{same, own} {
			cmd.Stdout = os.Stdout // so that the pipe stays open
			if err := cmd.Start(); err != nil {
				panic(err)
			}
			fmt.Println(cmd.Process.Pid)
		}
	}
}

func TestInterrupt(t *testing.T) {
	for _, tt := range []struct{ program, text, exit string }{
		{"sleeps", "", "signal: interrupt"},
		{"cleans up", "cleaned up\n", "exit status 5"},
		{"stubborn", "", "signal: killed"},
	} {
		t.Run(tt.program, func(t *testing.T) {
			g := startPump(t, tt.program)
			g.next()
			g.signal(syscall.SIGINT)
			text := ""
			got := g.finish()
			for _, o := range got[:len(got)-1] {
				text += o.text
			}
			if text != tt.text || got[len(got)-1] != (output{"exit", tt.exit}) {
				t.Errorf("got %q", got)
			}
		})
	}
}

// pid reads the number of a process that the program printed.
func pid(t *testing.T, text string) int {
	t.Helper()
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// checkEnds waits until the process has ended, if only in part: one that nobody
// collects stays in the system's table.
func checkEnds(t *testing.T, pid int) {
	t.Helper()
	for range 1000 {
		stat, err := os.ReadFile(filepath.Join("/proc", strconv.Itoa(pid), "stat"))
		if err != nil || strings.HasPrefix(string(stat[strings.LastIndex(string(stat), ")")+1:]), " Z") {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Errorf("process %d is still running", pid)
	syscall.Kill(pid, syscall.SIGKILL)
}

func onlyLinux(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("on this system the kernel's process group has to be ended")
	}
}

func TestNothingIsLeftRunning(t *testing.T) {
	onlyLinux(t)
	got := startPump(t, "leaves behind").finish()
	for _, line := range strings.Fields(got[0].text) {
		checkEnds(t, pid(t, line))
	}
}

func TestPumpKilled(t *testing.T) {
	onlyLinux(t)
	g := startPump(t, "stubborn")
	o, _ := g.next()
	g.signal(syscall.SIGKILL)
	checkEnds(t, pid(t, o.text))
}

// TestTerminated has the pump end its program at once, as when the kernel is
// closed.
func TestTerminated(t *testing.T) {
	g := startPump(t, "stubborn")
	g.next()
	g.signal(syscall.SIGTERM)
	if got := g.finish(); len(got) != 1 || got[0] != (output{"exit", "signal: killed"}) {
		t.Errorf("got %q", got)
	}
}

// TestKernelGone has the kernel end before the program.
func TestKernelGone(t *testing.T) {
	g := startPump(t, "stubborn")
	o, _ := g.next()
	g.toPump.Close()
	if err := g.cmd.Wait(); err == nil || !strings.Contains(g.written.String(), errGone.Error()) {
		t.Errorf("the pump ended with %v and wrote %q", err, g.written.String())
	}
	checkEnds(t, pid(t, o.text))
}

func init() {
	programs["garbage"] = func() {
		show("before")
		gonbui.Sync()
		pipe, err := os.OpenFile(os.Getenv("GONB_PIPE"), os.O_WRONLY, 0)
		if err != nil {
			panic(err)
		}
		for range 100 {
			pipe.WriteString("this is no display\n")
		}
		fmt.Println("after")
	}
}

func TestGarbage(t *testing.T) {
	got := startPump(t, "garbage").finish()
	var text strings.Builder
	for _, o := range got {
		fmt.Fprintf(&text, "%s %s\n", o.kind, o.text)
	}
	for _, want := range []string{"text/html before", "a display was lost", "after", "exit exit status 0"} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("%q is missing in\n%s", want, text.String())
		}
	}
}
