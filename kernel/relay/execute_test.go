package relay

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"example.com/railbook/kernel/wire"
)

// TestCells runs cells that end by themselves and checks what clients hear, in
// order, the input and the states aside.
func TestCells(t *testing.T) {
	const account = `panic: no fuel\n\ngoroutine 1 [running]:\nmain.main()\n\t/tmp/gonb_1/main.go:4 +0x1d\n`
	for _, tt := range []struct {
		name, code string
		want       []string
	}{
		{"streams of gonb", "out a\nerr b\nout c", []string{`stdout "a\n"`, `stderr "b\n"`, `stdout "c\n"`, "shell execute_reply [1] ok"}},
		{"streams of the pump", `stdout "a "` + "\n" + `stderr "b"` + "\n" + `stdout "c\n"` + "\nexit 0", []string{`stdout "a "`, `stderr "b"`, `stdout "c\n"`, "shell execute_reply [1] ok"}},
		{"displays in their place", "out a\nshow <b>\nout c\nupdate d\nout e\nclear", []string{
			`stdout "a\n"`, `display_data {"text/html":"\u003cb\u003e"}`, `stdout "c\n"`, `update_display_data {"text/html":"d"}`, `stdout "e\n"`, `clear_output {"wait":true}`, "shell execute_reply [1] ok"}},
		{"displays among the pump's pieces", `stdout "a"` + "\nshow b\n" + `stdout "c"` + "\nexit 0", []string{
			`stdout "a"`, `display_data {"text/html":"b"}`, `stdout "c"`, "shell execute_reply [1] ok"}},
		{"late display", "show a\nlate b", []string{`display_data {"text/html":"a"}`, `display_data {"text/html":"b"}`, "shell execute_reply [1] ok"}},
		{"result", "result 4", []string{`execute_result [1] {"text/plain":"4"}`, "shell execute_reply [1] ok"}},
		{"result without text", "html <p>", []string{`execute_result [1] {"text/html":"\u003cp\u003e","text/plain":"(text/html)"}`, "shell execute_reply [1] ok"}},
		{"event that is none", "bad\nout a", []string{`stdout "a\n"`, "shell execute_reply [1] ok"}},

		{"refused", "refuse no such package", []string{"error error: no such package", "shell execute_reply [1] error error: no such package"}},
		{"exit status, gonb alone", "out a\nfail 3", []string{
			`stdout "a\n"`, "error exit status 3: the program of the cell ended with exit status 3",
			"shell execute_reply [1] error exit status 3: the program of the cell ended with exit status 3"}},
		{"exit status, gonb alone, then output", "fail 3\nout a", []string{`stderr "exit status 3\n"`, `stdout "a\n"`, "shell execute_reply [1] ok"}},
		{"exit status, gonb alone, late display", "show a\nfail 3\nlate b", []string{
			`display_data {"text/html":"a"}`, `display_data {"text/html":"b"}`, "error exit status 3: the program of the cell ended with exit status 3",
			"shell execute_reply [1] error exit status 3: the program of the cell ended with exit status 3"}},
		{"exit status of the pump", `stderr "bad sheet\n"` + "\nexit 2", []string{
			`stderr "bad sheet\n"`, "error exit status 2: bad sheet", "shell execute_reply [1] error exit status 2: bad sheet"}},
		{"exit line written by a program that goes well", `stderr "exit status 1\n"` + "\nexit 0", []string{`stderr "exit status 1\n"`, "shell execute_reply [1] ok"}},
		{"panic", `stderr "before\n` + account + `"` + "\nexit 2", []string{
			`stderr "before\n"`, "error panic: no fuel", "shell execute_reply [1] error panic: no fuel"}},
		{"panic, gonb alone", `err before` + "\n" + `stderr "` + account + `"` + "\nfail 2", []string{
			`stderr "before\n"`, "error panic: no fuel", "shell execute_reply [1] error panic: no fuel"}},
		{"panic written by a program that goes well", `stderr "` + account + `"` + "\nexit 0", []string{
			`stderr "panic: no fuel\n\ngoroutine 1 [running]:\nmain.main()\n\t/tmp/gonb_1/main.go:4 +0x1d\n"`, "shell execute_reply [1] ok"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			f := serve(t, Options{})
			check(t, tt.code, f.run(tt.code), tt.want...)
			check(t, "the next cell", f.run("out next"), `stdout "next\n"`, "shell execute_reply [2] ok")
		})
	}
}

// TestPiecesAreJoined checks that many small pieces become few messages, and no
// text is lost.
func TestPiecesAreJoined(t *testing.T) {
	f := serve(t, Options{})
	var code, want strings.Builder
	const pieces = 2000
	for i := range pieces {
		fmt.Fprintf(&code, "stdout %q\n", fmt.Sprintf("λ%d ", i))
		fmt.Fprintf(&want, "λ%d ", i)
	}
	id := f.execute(code.String() + "exit 0")
	f.finish(id)
	var got strings.Builder
	messages := 0
	for _, h := range f.heard {
		if h.Header.Type == "stream" {
			var c streamContent
			if err := h.Decode(&c); err != nil {
				t.Fatal(err)
			}
			got.WriteString(c.Text)
			messages++
		}
	}
	if got.String() != want.String() {
		t.Error("text was lost")
	}
	if messages > pieces/10 {
		t.Errorf("%d pieces became %d messages", pieces, messages)
	}
}

func TestResultMetadata(t *testing.T) {
	f := serve(t, Options{})
	f.run("result 4")
	for _, h := range f.heard {
		if h.Header.Type != "execute_result" {
			continue
		}
		var c struct{ Metadata map[string]any }
		if err := h.Decode(&c); err != nil || len(c.Metadata) != 1 || c.Metadata["kept"] != 1.0 {
			t.Errorf("metadata %v, %v, want without the mark of a result", c.Metadata, err)
		}
	}
}

// TestCounting checks the execution counter and what a cell says of itself.
func TestCounting(t *testing.T) {
	f := serve(t, Options{})
	for _, tt := range []struct {
		more  []string
		code  string
		input string // "" for none
		reply string
	}{
		{nil, "", "execute_input [0] ", "shell execute_reply [0] ok"},
		{nil, "out a", "execute_input [1] out a", "shell execute_reply [1] ok"},
		{[]string{`"store_history":false`}, "out a", "execute_input [1] out a", "shell execute_reply [1] ok"},
		{[]string{`"silent":true`}, "out a\nshow b\nresult c\nerr d", "", "shell execute_reply [1] ok"},
		{[]string{`"silent":true`, `"store_history":true`}, "refuse x", "", "shell execute_reply [1] error error: x"},
		{[]string{`"silent":true`}, "", "", "shell execute_reply [1] ok"},
		{[]string{`"silent":false`, `"store_history":true`, `"allow_stdin":true`}, "refuse x", "execute_input [2] refuse x", "shell execute_reply [2] error error: x"},
		{[]string{`"silent":null`, `"store_history":null`}, "", "execute_input [2] ", "shell execute_reply [2] ok"},
		{nil, "out a", "execute_input [3] out a", "shell execute_reply [3] ok"},
	} {
		id := f.execute(tt.code, tt.more...)
		lines := f.finish(id)
		if last := lines[len(lines)-1]; last != tt.reply {
			t.Errorf("%q with %s: got %s, want %s", tt.code, tt.more, last, tt.reply)
		}
		if tt.input == "" {
			check(t, "silent", lines[:len(lines)-1], "status busy", "status idle")
		} else if lines[1] != tt.input {
			t.Errorf("%q with %s: got %s, want %s", tt.code, tt.more, lines[1], tt.input)
		}
	}
	lines := f.finish(f.send(wire.Shell, "history_request", `{"hist_access_type":"range","session":0,"start":1}`))
	if got, want := lines[2], `shell history_reply {"history":[[1,1,"out a"],[1,2,"refuse x"],[1,3,"out a"]],"status":"ok"}`; got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

// TestStopOnError sends cells at once, the first of which fails.
func TestStopOnError(t *testing.T) {
	for _, tt := range []struct {
		name, first string
		more        []string
		aborts      bool
	}{
		{"by default", "sleep 50\nrefuse x", nil, true},
		{"asked for", "sleep 50\nfail 1", []string{`"stop_on_error":true`}, true},
		{"not wanted", "sleep 50\nrefuse x", []string{`"stop_on_error":false`}, false},
		{"silent", "sleep 50\nrefuse x", []string{`"silent":true`}, false},
		{"at once", "refuse x", nil, true},
		{"no failure", "out a", nil, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			f := serve(t, Options{})
			f.run("out warm")
			ids := []string{f.execute(tt.first, tt.more...), f.execute("out b"), f.execute("out c", `"silent":true`)}
			info := f.send(wire.Shell, wire.KernelInfoRequest, "{}")
			f.finish(ids...)
			f.finish(info)
			for _, id := range ids[1:] {
				lines := f.transcript(id)
				aborted := strings.HasSuffix(lines[len(lines)-1], " aborted")
				if aborted != tt.aborts {
					t.Errorf("the cell behind: %q", lines)
				}
				if aborted && len(lines) != 3 {
					t.Errorf("an aborted cell is heard of: %q", lines)
				}
			}
			// Cells sent once the failure is known are run.
			if lines := f.run("out d"); len(lines) != 2 {
				t.Errorf("a cell sent later: %q", lines)
			}
		})
	}
}

func TestErrorMessage(t *testing.T) {
	f := serve(t, Options{})
	id := f.execute("refuse # gonb_1234\\n")
	f.finish(id)
	var message, reply map[string]any
	for _, h := range f.heard {
		if h.Parent.ID != id {
			continue
		}
		switch h.Header.Type {
		case "error":
			json.Unmarshal(h.Content, &message)
		case wire.ExecuteReply:
			json.Unmarshal(h.Content, &reply)
			var metadata struct{ Started, Status string }
			if err := json.Unmarshal(h.Metadata, &metadata); err != nil || metadata.Status != "error" || metadata.Started == "" {
				t.Errorf("metadata %s, %v", h.Metadata, err)
			}
		}
	}
	for _, key := range []string{"ename", "evalue", "traceback"} {
		if fmt.Sprint(message[key]) != fmt.Sprint(reply[key]) || message[key] == nil {
			t.Errorf("%s: %v in the message, %v in the reply", key, message[key], reply[key])
		}
	}
	if _, ok := message["status"]; ok || reply["status"] != "error" || reply["execution_count"] != 1.0 {
		t.Errorf("message %v, reply %v", message, reply)
	}
}

func TestInput(t *testing.T) {
	f := serve(t, Options{})
	id := f.execute("ask name?")
	f.await("the question", func() bool { return f.count(id, "stdin input_request") > 0 })
	question := f.heard[len(f.heard)-1]
	if string(question.Content) != `{"prompt":"name?","password":true}` || question.from != wire.Stdin {
		t.Errorf("asked %s on %s", question.Content, question.from)
	}
	for _, parent := range []string{"another", question.Header.ID} {
		m := &wire.Message{
			Header: wire.Header{Type: "input_reply"}, Parent: wire.Header{ID: parent},
			Content: []byte(`{"value":"Ada of ` + parent + `","status":"ok"}`),
		}
		if _, err := f.c.Send(wire.Stdin, m); err != nil {
			t.Fatal(err)
		}
	}
	check(t, "input", f.finish(id)[2:], fmt.Sprintf("stdout %q", "got Ada of "+question.Header.ID+"\n"), "status idle", "stdin input_request name?", "shell execute_reply [1] ok")

	id = f.execute("ask again?")
	f.await("the question", func() bool { return f.count(id, "stdin input_request") > 0 })
	f.send(wire.Stdin, "input_reply", `{"value":7}`) // no text
	check(t, "bad input", f.finish(id)[2:], `stdout "got \n"`, "status idle", "stdin input_request again?", "shell execute_reply [2] ok")

	const refused = `no input: the cell asks for input ("name?"), and here nobody can give it`
	within(t, patience/2, "refusing input", func() {
		check(t, "input not allowed", f.run("ask name?", `"allow_stdin":false`), "error "+refused, "shell execute_reply [3] error "+refused)
	})
	check(t, "afterwards", f.run("out a"), `stdout "a\n"`, "shell execute_reply [4] ok")
}
