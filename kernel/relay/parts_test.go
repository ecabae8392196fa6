package relay

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
	"unicode/utf8"

	"example.com/railbook/kernel/wire"
)

// cells are Cells for tests, which note what they are asked.
type cells struct {
	mu    sync.Mutex
	setup string
	calls []string
}

func (c *cells) called(call string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.calls = append(c.calls, call)
}

// prepare sets the setup and forgets the calls.
func (c *cells) prepare(setup string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.setup, c.calls = setup, nil
}

func (c *cells) Rewrite(code string) (Prepared, error) {
	c.called("rewrite " + code)
	switch code {
	case "explained":
		return Prepared{}, &Explanation{Name: "syntax", Value: "not Go", Traceback: []string{"line 1", "^"}}
	case "unexplained":
		return Prepared{}, errors.New("not Go either")
	case "panic":
		panic("a mistake in the cells")
	case "nothing":
		return Prepared{Code: " "}, nil
	}
	return Prepared{
		Code: strings.ReplaceAll(code, "print", "out"),
		Commit: func(ok bool, number int) string {
			c.called(fmt.Sprint("commit ", ok, " ", number))
			if strings.HasPrefix(code, "note remarkable") {
				return "a remark"
			}
			return ""
		},
		Explain: func(f Failure) *Explanation {
			c.called(fmt.Sprintf("explain %d %s%s%s%s %t", f.Kind, f.Words, f.Status, firstLine(f.Trace), f.Stderr, f.Lost))
			if f.Status == "exit status 7" {
				return nil
			}
			return &Explanation{Name: "ours", Value: "in our words", Traceback: []string{"here"}}
		},
	}, nil
}

func (c *cells) Reset() (string, error) {
	c.called("reset")
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.setup == "error" {
		return "", errors.New("the folder is gone")
	}
	return c.setup, nil
}

func (c *cells) Evaluate(expression string) (Prepared, error) {
	if expression == "" {
		return Prepared{}, &Explanation{Name: "syntax", Value: "nothing to evaluate"}
	}
	return Prepared{Code: expression}, nil
}

func TestCellsPart(t *testing.T) {
	c := &cells{setup: "out setup"}
	f := serve(t, Options{Cells: c})
	const ours = "ours: in our words"
	for _, tt := range []struct {
		code  string
		want  []string
		calls []string
	}{
		{"print a", []string{`stdout "a\n"`, "shell execute_reply [1] ok"}, []string{"reset", "rewrite print a", "commit true 1"}},
		{"explained", []string{"error syntax: not Go", "shell execute_reply [2] error syntax: not Go"}, []string{"rewrite explained"}},
		{"unexplained", []string{"error error: not Go either", "shell execute_reply [3] error error: not Go either"}, []string{"rewrite unexplained"}},
		{"panic", []string{"error internal error: a mistake in the cells", "shell execute_reply [4] error internal error: a mistake in the cells"}, []string{"rewrite panic"}},
		{"nothing", []string{"shell execute_reply [5] ok"}, []string{"rewrite nothing"}},
		{"refuse x", []string{"error " + ours, "shell execute_reply [6] error " + ours}, []string{"rewrite refuse x", "explain 0 x false", "commit false 6"}},
		{"err b\nfail 3", []string{`stderr "b\n"`, "error " + ours, "shell execute_reply [7] error " + ours},
			[]string{"rewrite err b\nfail 3", "explain 1 exit status 3b\n false", "commit false 7"}},
		{`stderr "panic: x\n\ngoroutine 1 [running]:\n"` + "\nexit 2", []string{"error " + ours, "shell execute_reply [8] error " + ours},
			[]string{"rewrite stderr \"panic: x\\n\\ngoroutine 1 [running]:\\n\"\nexit 2", "explain 1 exit status 2panic: xpanic: x\n\ngoroutine 1 [running]:\n false", "commit false 8"}},
		{"err b\nexit 7", []string{`stderr "b\n"`, "error exit status 7: b", "shell execute_reply [9] error exit status 7: b"},
			[]string{"rewrite err b\nexit 7", "explain 1 exit status 7b\n false", "commit false 9"}},
		{"note remarkable", []string{`stderr "a remark\n"`, "shell execute_reply [10] ok"}, []string{"rewrite note remarkable", "commit true 10"}},
		{"die", []string{"error " + ours, "shell execute_reply [11] error " + ours}, []string{"rewrite die", "explain 4 the fake ended by itself\nits last words true", "commit false 11"}},
		{"print b", []string{`stdout "b\n"`, "shell execute_reply [12] ok"}, []string{"reset", "rewrite print b", "commit true 12"}},
	} {
		c.prepare("out setup")
		check(t, tt.code, f.run(tt.code), tt.want...)
		c.mu.Lock()
		check(t, "calls for "+tt.code, c.calls, tt.calls...)
		c.mu.Unlock()
	}
	f.logged("a mistake in the cells")
	c.prepare("")
	f.run("print c", `"store_history":false`)
	c.mu.Lock()
	check(t, "calls for a cell that does not count", c.calls, "rewrite print c", "commit true 0")
	c.mu.Unlock()
	// History has both what was written and what was run.
	for raw, want := range map[string]string{"true": "print b", "false": "out b"} {
		lines := f.finish(f.send(wire.Shell, "history_request", `{"hist_access_type":"tail","n":1,"raw":`+raw+`}`))
		if got := lines[2]; got != `shell history_reply {"history":[[1,12,"`+want+`"]],"status":"ok"}` {
			t.Errorf("raw %s: got %s", raw, got)
		}
	}
}

func TestBadSetup(t *testing.T) {
	c := &cells{setup: "refuse no such package"}
	f := serve(t, Options{Cells: c})
	const want = "setup failed: no such package"
	check(t, "a cell", f.run("print a"), "error "+want, "shell execute_reply [1] error "+want)
	c.prepare("fail 1")
	const exits = "setup failed: the program of the cell ended with exit status 1"
	check(t, "a cell", f.run("print a"), "error "+exits, "shell execute_reply [2] error "+exits)
	c.prepare("error")
	const gone = "setup failed: the folder is gone"
	check(t, "a cell", f.run("print a"), "error "+gone, "shell execute_reply [3] error "+gone)
	c.prepare("")
	check(t, "a cell", f.run("print a"), `stdout "a\n"`, "shell execute_reply [4] ok")
}

func TestUserExpressions(t *testing.T) {
	f := serve(t, Options{Cells: &cells{}})
	id := f.execute("print a", `"user_expressions":{"shown":"show <p>","printed":"out 4","both":"out 5\nresult 6","bad":"refuse x","none":"","deaf":"ask a"}`)
	f.finish(id)
	reply := f.heard[len(f.heard)-1]
	for _, h := range f.heard {
		if h.Header.Type == wire.ExecuteReply {
			reply = h
		}
	}
	const want = `{"execution_count":1,"payload":[],"status":"ok","user_expressions":{` +
		`"bad":{"status":"error","ename":"error","evalue":"x","traceback":["x"]},` +
		`"both":{"status":"ok","data":{"text/plain":"6"},"metadata":{"kept":1}},` +
		`"deaf":{"status":"error","ename":"no input","evalue":"the cell asks for input (\"a\"), and here nobody can give it","traceback":["no input: the cell asks for input (\"a\"), and here nobody can give it"]},` +
		`"none":{"status":"error","ename":"syntax","evalue":"nothing to evaluate","traceback":["syntax: nothing to evaluate"]},`
	if got := string(reply.Content); !strings.HasPrefix(got, want) {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	check(t, "what is heard of the cell", f.transcript(id), "status busy", "execute_input [1] print a", `stdout "a\n"`, "status idle", "shell execute_reply [1] ok")

	f = serve(t, Options{})
	f.finish(f.execute("out a", `"user_expressions":{"x":"out 4"}`))
	f.await("the reply", func() bool { return f.count("", "shell execute_reply") > 0 })
	for _, h := range f.heard {
		if h.Header.Type == wire.ExecuteReply && !strings.Contains(string(h.Content), `"x":{"status":"error","ename":"not supported"`) {
			t.Errorf("nobody to evaluate: got %s", h.Content)
		}
	}
}

// assist is an Assist for tests. It completes and inspects the word before the
// cursor.
type assist struct{}

func (a assist) Complete(ctx context.Context, code string, cursor int) (Completion, error) {
	start := strings.LastIndexAny(code[:cursor], " .") + 1
	switch word := code[start:cursor]; word {
	case "error":
		return Completion{}, errors.New("no gopls")
	case "panic":
		panic("a mistake in the assist")
	case "wild":
		return Completion{Start: -7, End: 1000, Matches: []Match{{Text: "x"}}}, nil
	case "wait":
		<-ctx.Done()
		return Completion{}, context.Cause(ctx)
	default:
		return Completion{start, cursor, []Match{{word + "end", "var", ""}, {word + "Fn", "function", "(x int)"}}}, nil
	}
}

func (a assist) Inspect(_ context.Context, code string, cursor, detail int) (Inspection, error) {
	if code == "" {
		return nil, nil
	}
	return Inspection{"text/plain": fmt.Sprintf("%s|%s %d", code[:cursor], code[cursor:], detail)}, nil
}

// TestAssist checks above all positions, which clients count in code points: 😀
// is one, has four bytes, and two units of UTF-16.
func TestAssist(t *testing.T) {
	f := serve(t, Options{Assist: assist{}})
	for _, tt := range []struct{ typ, content, want string }{
		{"complete", `{"code":"λ😀.bl x","cursor_pos":5}`,
			`{"status":"ok","matches":["blend","blFn"],"cursor_start":3,"cursor_end":5,"metadata":{"_jupyter_types_experimental":[` +
				`{"start":3,"end":5,"text":"blend","type":"var"},{"start":3,"end":5,"text":"blFn","type":"function","signature":"(x int)"}]}}`},
		{"complete", `{"code":"😀 error","cursor_pos":7}`, `{"status":"ok","matches":[],"cursor_start":7,"cursor_end":7,"metadata":{}}`},
		{"complete", `{"code":"😀 panic","cursor_pos":7}`, `{"status":"ok","matches":[],"cursor_start":7,"cursor_end":7,"metadata":{}}`},
		{"complete", `{"code":"😀 wild","cursor_pos":6}`,
			`{"status":"ok","matches":["x"],"cursor_start":0,"cursor_end":6,"metadata":{"_jupyter_types_experimental":[{"start":0,"end":6,"text":"x","type":""}]}}`},
		{"inspect", `{"code":"a😀b","cursor_pos":2,"detail_level":1}`, `{"status":"ok","found":true,"data":{"text/plain":"a😀|b 1"},"metadata":{}}`},
		{"inspect", `{"code":"a😀b","cursor_pos":99}`, `{"status":"ok","found":true,"data":{"text/plain":"a😀b| 0"},"metadata":{}}`},
		{"inspect", `{"code":"a😀b","cursor_pos":-1}`, `{"status":"ok","found":true,"data":{"text/plain":"|a😀b 0"},"metadata":{}}`},
		{"inspect", `{"code":"a😀b"}`, `{"status":"ok","found":true,"data":{"text/plain":"a😀b| 0"},"metadata":{}}`},
		{"inspect", `{"code":"","cursor_pos":0}`, `{"status":"ok","found":false,"data":{},"metadata":{}}`},
	} {
		lines := f.finish(f.send(wire.Shell, tt.typ+"_request", tt.content))
		if want := "shell " + tt.typ + "_reply " + tt.want; lines[2] != want {
			t.Errorf("%s %s: got\n%s\nwant\n%s", tt.typ, tt.content, lines[2], want)
		}
	}
	f.logged("no gopls")
	f.logged("a mistake in the assist")
}

// TestNoAssist checks that the want of an Assist is told once and not again.
func TestNoAssist(t *testing.T) {
	f := serve(t, Options{})
	const none = `shell complete_reply {"status":"ok","matches":[],"cursor_start":0,"cursor_end":0,"metadata":{}}`
	check(t, "first", f.finish(f.send(wire.Shell, "complete_request", "{}")), "status busy", fmt.Sprintf("stderr %q", noAssistText+"\n"), "status idle", none)
	check(t, "second", f.finish(f.send(wire.Shell, "complete_request", "{}")), "status busy", "status idle", none)
	first := f.finish(f.send(wire.Shell, "inspect_request", "{}"))[2]
	if !strings.Contains(first, noAssistText) {
		t.Errorf("got %s", first)
	}
	check(t, "again", f.finish(f.send(wire.Shell, "inspect_request", "{}")), "status busy", "status idle", `shell inspect_reply {"status":"ok","found":false,"data":{},"metadata":{}}`)
}

func FuzzByteOffset(f *testing.F) {
	f.Add("λ😀x", 2)
	f.Add("\xff", 1)
	f.Fuzz(func(t *testing.T, s string, points int) {
		at := byteOffset(s, points)
		if at < 0 || at > len(s) {
			t.Fatalf("offset %d in %q", at, s)
		}
		if n := utf8.RuneCountInString(s); points >= 0 && points <= n && utf8.RuneCountInString(s[:at]) != points {
			t.Errorf("%d points into %q is byte %d", points, s, at)
		}
	})
}

func TestUntilOrphaned(t *testing.T) {
	parents := make(chan int, 3)
	parents <- 7
	parents <- 7
	parents <- 1
	ctx, cancel := untilChanged(t.Context(), func() int { return <-parents }, time.Millisecond)
	defer cancel()
	<-ctx.Done()
	if err := context.Cause(ctx); !errors.Is(err, ErrOrphaned) {
		t.Errorf("got %v", err)
	}
	ctx, cancel = UntilOrphaned(t.Context())
	cancel()
	<-ctx.Done()
	if err := context.Cause(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}

// TestPlainly checks what is said of failures by a relay that does not know what
// the user wrote.
func TestPlainly(t *testing.T) {
	for _, tt := range []struct {
		name string
		f    Failure
		want Explanation
	}{
		{"compiler", Failure{
			Kind: Refused, Words: "# gonb_1a2b\n/tmp/x/gonb_1a2b/main.go:5:2: undefined: x\n\nexit status 1",
			Remarks: []string{"\x1b[31m# gonb_1a2b\x1b[0m", "Cell[2]: Line 3\nx\n^\n\n\x1b[31mundefined: x\x1b[0m", "", ""},
		}, Explanation{"compile error", "undefined: x", []string{"compile error: undefined: x", "Cell[2]: Line 3\nx\n^\n\nundefined: x"}}},
		{"other words", Failure{Kind: Refused, Words: "no such file\nreally"}, Explanation{"error", "no such file", []string{"no such file", "really"}}},
		{"no words", Failure{Kind: Refused}, Explanation{Name: "error", Value: "the cell kernel refused the cell without a word"}},
		{"trace", Failure{Kind: Exited, Status: "exit status 2", Trace: "panic: no fuel\n\ngoroutine 1 [running]:\nmain.main()\n\t/tmp/gonb_1/main.go:4 +0x1d\n"},
			Explanation{"panic", "no fuel", []string{"panic: no fuel", "", "goroutine 1 [running]:", "main.main()", "\tmain.go:4"}}},
		{"killed", Failure{Kind: Exited, Status: "signal: killed"}, Explanation{Name: "signal: killed", Value: "the program of the cell ended with signal: killed, perhaps for want of memory"}},
		{"one line", Failure{Kind: Exited, Status: "exit status 1", Stderr: "no sheet\n"}, Explanation{Name: "exit status 1", Value: "no sheet"}},
		{"interrupted", Failure{Kind: Interrupted}, Explanation{Name: "interrupted", Value: "the cell was interrupted"}},
		{"asked", Failure{Kind: Asked, Words: "name? "}, Explanation{Name: "no input", Value: `the cell asks for input ("name?"), and here nobody can give it`}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := plainly(tt.f)
			if got.Name != tt.want.Name || got.Value != tt.want.Value || !slices.Equal(got.Traceback, tt.want.Traceback) {
				t.Errorf("got  %q\nwant %q", *got, tt.want)
			}
		})
	}
	long := plainly(Failure{Kind: Exited, Trace: "panic: x\n\ngoroutine 1 [running]:\n" + strings.Repeat("f()\n", 100)})
	if n := len(long.Traceback); n != traceLines+1 || long.Traceback[traceLines] != "… 73 more lines" {
		t.Errorf("a long account has %d lines, the last %q", n, long.Traceback[n-1])
	}
}

func TestExplanationError(t *testing.T) {
	for want, e := range map[string]Explanation{"a: b": {Name: "a", Value: "b"}, "a": {Name: "a"}, "b": {Value: "b"}} {
		if got := e.Error(); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}
