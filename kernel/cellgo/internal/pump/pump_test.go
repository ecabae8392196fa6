//go:build unix

package pump

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"example.com/railbook/kernel/cellgo/setting"
	"github.com/janpfeifer/gonb/gonbui"
	"github.com/janpfeifer/gonb/gonbui/protocol"
)

const html = "text/html"

func show(text string) { gonbui.DisplayHTML(text) }

// check compares outputs, but for the exit with status 0, which has to come last.
func check(t *testing.T, got []output, want ...output) {
	t.Helper()
	want = append(want, output{"exit", "exit status 0"})
	if !slices.Equal(got, want) {
		t.Errorf("got  %.2000q\nwant %.2000q", got, want)
	}
}

func init() {
	programs["prints"] = func() { fmt.Println("one") }
	programs["args"] = func() { fmt.Printf("%q", os.Args[1:]) }
	programs["both"] = func() {
		fmt.Println("out")
		fmt.Fprintln(os.Stderr, "err")
		fmt.Println("out again")
	}
}

func TestText(t *testing.T) {
	check(t, startPump(t, "prints").finish(), output{"stdout", "one\n"})
	check(t, startPump(t, "args", "-n", "two words").finish(), output{"stdout", `["-n" "two words"]`})
	got := startPump(t, "both").finish()
	// The order of two streams can be missed, but nothing of them.
	text := map[string]string{}
	for _, o := range got {
		text[o.kind] += o.text
	}
	if text["stdout"] != "out\nout again\n" || text["stderr"] != "err\n" {
		t.Errorf("got %q", got)
	}
}

const rounds = 200

func init() {
	programs["print and show"] = func() {
		for i := range rounds {
			fmt.Println(i)
			show(strconv.Itoa(i))
		}
	}
	programs["print, show and wait"] = func() {
		for i := range rounds {
			fmt.Println(i)
			show(strconv.Itoa(i))
			gonbui.Sync()
		}
		fmt.Println("end")
	}
	programs["A D C"] = func() {
		fmt.Println("A")
		show("D")
		fmt.Println("C")
	}
	programs["only displays"] = func() {
		for i := range 500 {
			show(strconv.Itoa(i))
		}
	}
	programs["slowly"] = func() {
		for i := range 30 {
			fmt.Println(i)
			time.Sleep(time.Millisecond)
		}
		show("D")
		fmt.Print("end")
		fmt.Fprint(os.Stderr, "err")
	}
	programs["large displays"] = func() {
		for i := range 20 {
			show(strings.Repeat(strconv.Itoa(i%10), 1<<20))
		}
	}
}

// TestTextBeforeDisplay has text written before displays, without waiting: each
// display comes after the text written before it.
func TestTextBeforeDisplay(t *testing.T) {
	text, shown := "", 0
	for _, o := range startPump(t, "print and show").finish() {
		switch o.kind {
		case "stdout":
			text += o.text
		case html:
			if o.text != strconv.Itoa(shown) || !strings.Contains("\n"+text, "\n"+o.text+"\n") {
				t.Fatalf("display %q comes as number %d after the text %q", o.text, shown, text)
			}
			shown++
		}
	}
	if shown != rounds || strings.Count(text, "\n") != rounds {
		t.Errorf("%d displays and %d lines, want %d", shown, strings.Count(text, "\n"), rounds)
	}
}

// TestOrder has a program that waits after each display.
func TestOrder(t *testing.T) {
	var want []output
	for i := range rounds {
		want = append(want, output{"stdout", fmt.Sprintln(i)}, output{html, strconv.Itoa(i)})
	}
	check(t, startPump(t, "print, show and wait").finish(), append(want, output{"stdout", "end\n"})...)
}

// TestNothingIsLost has programs that end right after their last display.
func TestNothingIsLost(t *testing.T) {
	var want []output
	for i := range 500 {
		want = append(want, output{html, strconv.Itoa(i)})
	}
	check(t, startPump(t, "only displays").finish(), want...)
	want = nil
	for i := range 20 {
		want = append(want, output{html, strings.Repeat(strconv.Itoa(i%10), 1<<20)})
	}
	check(t, startPump(t, "large displays").finish(), want...)
	text, shown := map[string]string{}, 0
	for _, o := range startPump(t, "slowly").finish() {
		text[o.kind] += o.text
		if o.kind == html {
			shown++
		}
	}
	if shown != 1 || strings.Count(text["stdout"], "\n") != 30 || !strings.HasSuffix(text["stdout"], "\nend") || text["stderr"] != "err" {
		t.Errorf("%d displays, text %q", shown, text)
	}
}

func init() {
	programs["é"] = func() { os.Stdout.WriteString(strings.Repeat("é", 200_000)) }
	programs["halves"] = func() {
		for i := range 4 { // the bytes of "é\n", and the first one again
			os.Stdout.Write([]byte("é\n")[i%3 : i%3+1])
			time.Sleep(3 * flushDelay)
			fmt.Fprint(os.Stderr, "λ")
			show("D")
		}
	}
	programs["binary"] = func() { os.Stdout.Write([]byte("a\xff\xc3(\xe2\x82")) }
	programs["much"] = func() {
		for range 200 {
			os.Stdout.WriteString(strings.Repeat("0123456789abcde\n", 100_000/16))
		}
	}
}

func TestCharacters(t *testing.T) {
	check(t, startPump(t, "é").finish(), output{"stdout", strings.Repeat("é", 200_000)})
	text := ""
	for _, o := range startPump(t, "halves").finish() {
		if o.kind == "stdout" {
			text += o.text
		}
	}
	// What is no character is replaced on the way to a client, byte by byte.
	if text != "é\n\uFFFD" {
		t.Errorf("got %q", text)
	}
	check(t, startPump(t, "binary").finish(), output{"stdout", "a\uFFFD\uFFFD(\uFFFD\uFFFD"})
}

func TestMuchTextInLargePieces(t *testing.T) {
	g := startPump(t, "much")
	size, pieces := 0, 0
	for o, ok := g.next(); ok; o, ok = g.next() {
		if o.kind == "stdout" {
			size += len(o.text)
			pieces++
		}
	}
	if size != 20_000_000 || pieces > size/chunkSize+10 {
		t.Errorf("%d bytes in %d pieces, want 20000000 in not many more than %d", size, pieces, size/chunkSize)
	}
}

func init() {
	programs["asks"] = func() {
		fmt.Print("name")
		fmt.Print("? ")
		var name string
		fmt.Scan(&name)
		fmt.Println("hello", name)
	}
}

// TestAtOnce answers a question, for which it has to come while the program
// waits.
func TestAtOnce(t *testing.T) {
	g := startPump(t, "asks")
	text := ""
	for text != "name? " {
		o, ok := g.next()
		if !ok {
			t.Fatalf("the program ended after %q", text)
		}
		text += o.text
	}
	g.stdin.WriteString("Rail\n")
	check(t, g.finish(), output{"stdout", "hello Rail\n"})
}

func init() {
	programs["listens"] = func() {
		got := make(chan string)
		gonbui.OnCommValueUpdate = func(v *protocol.CommValue) { got <- fmt.Sprint(v.Address, "=", v.Value) }
		gonbui.SendData(&protocol.DisplayData{Data: map[protocol.MIMEType]any{
			protocol.MIMECommSubscribe: &protocol.CommSubscription{Address: "/slider"},
		}})
		fmt.Println(<-got)
		fmt.Println(<-got)
	}
}

// TestValuesReachTheProgram has the kernel send values to the program, as those of sliders.
func TestValuesReachTheProgram(t *testing.T) {
	g := startPump(t, "listens")
	if o, ok := g.next(); !ok || o.kind != string(protocol.MIMECommSubscribe) {
		t.Errorf("got %q, want the subscription", o)
	}
	g.send("/slider", 3)
	g.send("/slider", []float64{1.5})
	check(t, g.finish(), output{"stdout", "/slider=3\n/slider=[1.5]\n"})
}

func init() {
	programs["endless"] = func() {
		for line := strings.Repeat("y", 1<<10) + "\n"; ; {
			os.Stdout.WriteString(line)
		}
	}
}

// TestBackpressure leaves unread what an endless program writes. The pump does
// not keep it instead.
func TestBackpressure(t *testing.T) {
	g := startPump(t, "endless")
	for range 3 {
		g.next()
	}
	time.Sleep(300 * time.Millisecond)
	status, err := os.ReadFile(filepath.Join("/proc", strconv.Itoa(g.cmd.Process.Pid), "status"))
	if err != nil {
		t.Skip(err)
	}
	_, rest, _ := strings.Cut(string(status), "VmHWM:")
	size, err := strconv.Atoi(strings.Fields(rest)[0])
	if err != nil || size > 64<<10 {
		t.Errorf("the pump uses %d kB, %v", size, err)
	}
	g.signal(syscall.SIGINT)
	for o, ok := g.next(); ok; o, ok = g.next() {
		if o.kind == "exit" && o.text != "signal: interrupt" {
			t.Errorf("got %q", o)
		}
	}
}

// TestLooker runs the tests above that have to hold on every system.
func TestLooker(t *testing.T) {
	t.Setenv(lookVariable, "1")
	t.Run("text", TestText)
	t.Run("text before display", TestTextBeforeDisplay)
	t.Run("order", TestOrder)
	t.Run("nothing is lost", TestNothingIsLost)
	t.Run("characters", TestCharacters)
	t.Run("at once", TestAtOnce)
	t.Run("exit", TestExit)
}

func TestWithoutKernel(t *testing.T) {
	// The pump becomes the program.
	binary := filepath.Join(t.TempDir(), "gonb_test")
	for _, link := range []string{binary, binary + setting.ProgramSuffix} {
		if err := os.Symlink(os.Args[0], link); err != nil {
			t.Fatal(err)
		}
	}
	out, err := runAlone(binary, "prints")
	if err != nil || out != "one\n" {
		t.Errorf("got %q, %v", out, err)
	}
}

func TestNoProgram(t *testing.T) {
	g := startPumpOn(t, "prints", nil)
	got := g.finish()
	if len(got) != 2 || got[0].kind != "stderr" || !strings.Contains(got[0].text, "the cell's program cannot be run") ||
		got[1] != (output{"exit", "exit status 127"}) {
		t.Errorf("got %q", got)
	}
}
