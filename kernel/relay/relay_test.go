package relay

import (
	"context"
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"

	"example.com/railbook/kernel/wire"
)

func TestStarting(t *testing.T) {
	f := serve(t, Options{})
	if first := f.heard[0]; first.summary != "status starting" || first.Parent.ID != "" {
		t.Errorf("first heard %s of parent %q", first.summary, first.Parent.ID)
	}
	f.finish(f.send(wire.Shell, wire.KernelInfoRequest, "{}"))
	if n := f.count("", "status starting"); n != 1 {
		t.Errorf("the kernel started %d times", n)
	}
}

// TestAnswers makes every request of the protocol on both sockets: each is
// answered on the socket it came from, between its own busy and idle.
func TestAnswers(t *testing.T) {
	f := serve(t, Options{About: About{Version: "1.2", Banner: "b"}})
	f.run("out x\nresult 4")
	for _, tt := range []struct {
		typ, content, want string // the content of the reply, or its beginning before "…"
	}{
		{"kernel_info_request", `{}`, `{"banner":"b","debugger":false,"help_links":[],"implementation":"railbook","implementation_version":"1.2",` +
			`"language_info":{"codemirror_mode":"go","file_extension":".go","mimetype":"text/x-go","name":"go","nbconvert_exporter":"script","pygments_lexer":"go","version":"1.…`},
		{"is_complete_request", `{"code":"for {"}`, `{"indent":"\t","status":"incomplete"}`},
		{"is_complete_request", `{"code":"%env A"}`, `{"status":"complete"}`},
		{"is_complete_request", `{"code":"x)"}`, `{"status":"invalid"}`},
		{"is_complete_request", `{}`, `{"status":"complete"}`},
		{"history_request", `{"hist_access_type":"tail","n":1,"output":true}`, `{"history":[[1,1,["out x\nresult 4","4"]]],"status":"ok"}`},
		{"history_request", `{"hist_access_type":"search","pattern":"y"}`, `{"history":[],"status":"ok"}`},
		{"history_request", `{}`, `{"history":[],"status":"ok"}`},
		{"comm_info_request", `{}`, `{"comms":{},"status":"ok"}`},
		{"complete_request", `{"code":"fu","cursor_pos":2}`, `{"status":"ok","matches":[],"cursor_start":2,"cursor_end":2,"metadata":{}}`},
		{"complete_request", `{}`, `{"status":"ok","matches":[],"cursor_start":0,"cursor_end":0,"metadata":{}}`},
		{"inspect_request", `{"code":"fu","cursor_pos":2,"detail_level":0}`, `{"status":"ok","found":…`},
		{"interrupt_request", `{}`, `{"status":"ok"}`},
		{"connect_request", `{}`, `{"control_port":2,"hb_port":5,"iopub_port":3,"shell_port":1,"status":"ok","stdin_port":4}`},
		{"execute_request", `{"code":"out a"}`, `{"execution_count":…`},
		{"execute_request", `{"code":" \n"}`, `{"execution_count":…`},

		// What is wrong with a request is said in its reply.
		{"execute_request", `{}`, `{"status":"error","ename":"bad request","evalue":"content of execute_request: code is missing","traceback":["bad request: content of execute_request: code is missing"]}`},
		{"execute_request", `null`, `{"status":"error",…`},
		{"execute_request", `{"code":7}`, `{"status":"error",…`},
		{"execute_request", `{"code":"","silent":"x"}`, `{"status":"error",…`},
		{"execute_request", `{"code":"","user_expressions":{"a":1}}`, `{"status":"error",…`},
		{"execute_request", `[]`, `{"status":"error",…`},
		{"is_complete_request", `{"code":7}`, `{"status":"error","ename":"bad request","evalue":"content of is_complete_request: json: …`},
		{"history_request", `{"n":"x"}`, `{"status":"error",…`},
		{"complete_request", `{"cursor_pos":"x"}`, `{"status":"error",…`},
		{"inspect_request", `7`, `{"status":"error",…`},
		{"comm_info_request", `{"target_name":7}`, `{"status":"error",…`},
	} {
		for _, ch := range []wire.Channel{wire.Shell, wire.Control} {
			t.Run(tt.typ+" "+tt.content+" on "+ch.String(), func(t *testing.T) {
				id := f.send(ch, tt.typ, tt.content)
				lines := f.finish(id)
				if first, last := lines[0], lines[len(lines)-2]; first != "status busy" || last != "status idle" {
					t.Errorf("begins with %s and ends with %s", first, last)
				}
				if n := f.count(id, "status "); n != 2 {
					t.Errorf("%d changes of state, want 2: %q", n, lines)
				}
				reply := f.heard[len(f.heard)-1]
				for _, h := range f.heard {
					if h.Parent.ID == id && h.from != wire.IOPub {
						reply = h
					}
				}
				if reply.from != ch || reply.Header.Type != replyType(tt.typ) || reply.Parent.Type != tt.typ || reply.Parent.Session == "" {
					t.Errorf("got %s on %s with parent %+v", reply.Header.Type, reply.from, reply.Parent)
				}
				beginning, _, open := strings.Cut(tt.want, "…")
				if got := string(reply.Content); got != tt.want && !(open && strings.HasPrefix(got, beginning)) {
					t.Errorf("got  %s\nwant %s", got, tt.want)
				}
			})
		}
	}
}

// TestBusyAnswers checks that all but cells are answered while one is run.
func TestBusyAnswers(t *testing.T) {
	f := serve(t, Options{})
	cell := f.execute("out going\nwait")
	f.await("output", func() bool { return f.count(cell, "stdout") > 0 })
	var ids []string
	for _, ch := range []wire.Channel{wire.Shell, wire.Control} {
		for _, typ := range []string{wire.KernelInfoRequest, "complete_request", "inspect_request", "is_complete_request", "history_request", "comm_info_request"} {
			ids = append(ids, f.send(ch, typ, "{}"))
		}
	}
	f.finish(ids...)
	if err := f.c.Heartbeat(t.Context()); err != nil {
		t.Error(err)
	}
	if n := f.count(cell, "shell "); n != 0 {
		t.Fatal("the cell has ended")
	}
	f.finish(f.send(wire.Control, wire.InterruptRequest, "{}"), cell)
}

// TestBadMessages checks that what is no request, or unknown, is ignored.
func TestBadMessages(t *testing.T) {
	f := serve(t, Options{})
	for _, ch := range []wire.Channel{wire.Shell, wire.Control} {
		f.send(ch, "debug_request", "{}")
		f.logged(`ignored a message of type "debug_request" on ` + ch.String())
		f.send(ch, "", "[]")
	}
	f.send(wire.Stdin, "unknown", "{}")
	f.logged(`ignored a message of type "unknown" on stdin`)
	f.send(wire.Stdin, "input_reply", `{"value":"nobody asked"}`)
	f.send(wire.Stdin, "input_reply", `7`)
	forger := f.conn
	forger.Key = "another"
	c, err := wire.Dial(t.Context(), forger)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	if _, err := c.Send(wire.Shell, &wire.Message{Header: wire.Header{Type: wire.ExecuteRequest}, Content: []byte(`{"code":"out forged"}`)}); err != nil {
		t.Fatal(err)
	}
	f.logged("dropped a message on shell: wrong signature")
	check(t, "afterwards", f.run("out alive"), `stdout "alive\n"`, "shell execute_reply [1] ok")
	for _, id := range []string{"kernel_info_request"} {
		f.finish(f.send(wire.Shell, id, `"not even an object"`))
	}
}

func TestShutdown(t *testing.T) {
	for _, ch := range []wire.Channel{wire.Control, wire.Shell} {
		for _, restart := range []string{"true", "false"} {
			f := serve(t, Options{})
			cell, behind := f.execute("out going\ncatatonic"), f.execute("out never")
			f.await("output", func() bool { return f.count(cell, "stdout") > 0 })
			id := f.send(ch, wire.ShutdownRequest, `{"restart":`+restart+`}`)
			want := `{"restart":` + restart + `,"status":"ok"}`
			check(t, "shutdown", f.finish(id), "status busy", "shutdown_reply "+want, "status idle", ch.String()+" shutdown_reply "+want)
			check(t, "the cell", f.finish(cell)[3:],
				"error interrupted: "+shutDown, "status idle", "shell execute_reply [1] error interrupted: "+shutDown)
			check(t, "the cell behind", f.finish(behind), "status busy", "status idle", "shell execute_reply [1] aborted")
			select {
			case err := <-f.end:
				if err != nil {
					t.Errorf("Serve: %v", err)
				}
				f.end <- nil
			case <-time.After(patience):
				t.Fatal("Serve goes on")
			}
			select {
			case <-f.fake(0).gone:
			default:
				t.Error("the cell kernel goes on")
			}
		}
	}
}

func TestContextEnds(t *testing.T) {
	f := serve(t, Options{})
	cell := f.execute("catatonic")
	f.await("busy", func() bool { return f.count(cell, "status busy") > 0 })
	f.stop()
	f.finish(cell)
	err := <-f.end
	if f.end <- nil; !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want the context's cause", err)
	}
	select {
	case <-f.fake(0).gone:
	default:
		t.Error("the cell kernel goes on")
	}
}

func TestServeErrors(t *testing.T) {
	conn, err := wire.NewConnection(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	if err := Serve(t.Context(), conn, Options{}); !errors.Is(err, errNoStart) {
		t.Errorf("no Start: got %v", err)
	}
	f := serve(t, Options{})
	if err := Serve(t.Context(), f.conn, Options{Start: func(context.Context, func(string)) (Kernel, error) { return nil, nil }}); err == nil {
		t.Error("served on sockets that are in use")
	}
}

// TestTwoClients checks that replies go to who asked and outputs to all.
func TestTwoClients(t *testing.T) {
	f := serve(t, Options{})
	other := &front{t: t}
	var err error
	if other.c, err = wire.Dial(t.Context(), f.conn); err != nil {
		t.Fatal(err)
	}
	defer other.c.Close()
	other.finish(other.send(wire.Shell, wire.KernelInfoRequest, "{}"))
	id := f.execute("out hello")
	f.finish(id)
	other.await("the output", func() bool { return other.count(id, "status idle") > 0 })
	check(t, "another client", other.transcript(id), "status busy", "execute_input [1] out hello", `stdout "hello\n"`, "status idle")
}

func TestHeaders(t *testing.T) {
	f := serve(t, Options{})
	id := f.execute("out a\nshow b\nfail 1")
	f.finish(id)
	sessions := map[string]bool{}
	ids := map[string]bool{}
	for _, h := range f.heard {
		sessions[h.Header.Session] = true
		if h.Header.ID == "" || ids[h.Header.ID] || h.Header.Version != "5.4" {
			t.Errorf("header %+v", h.Header)
		}
		ids[h.Header.ID] = true
		if _, err := time.Parse("2006-01-02T15:04:05.000000Z", h.Header.Date); err != nil {
			t.Error(err)
		}
		if h.from == wire.IOPub && (len(h.Identities) != 1 || string(h.Identities[0]) != h.Header.Type) {
			t.Errorf("topic %q of %s", h.Identities, h.Header.Type)
		}
		if !json.Valid(h.Metadata) {
			t.Errorf("metadata %s", h.Metadata)
		}
	}
	if len(sessions) != 1 {
		t.Errorf("the kernel has %d sessions", len(sessions))
	}
}
