package relay

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"example.com/railbook/kernel/wire"
)

// comm sends a comm message and waits until the kernel is idle again.
func (f *front) comm(typ, content string) (id string, heard []string) {
	f.t.Helper()
	id = f.send(wire.Shell, typ, content)
	f.await("idle after "+typ, func() bool { return f.count(id, "status idle") > 0 })
	return id, f.transcript(id)
}

// echo is a target that sends back what it receives until it is told to end.
func echo(c *Comm) {
	c.Send(map[string]any{"opened": c.Opening().Data})
	for {
		m, err := c.Receive()
		if err != nil {
			c.Send(map[string]string{"ended": err.Error()})
			return
		}
		switch string(m.Data) {
		case `{"do":"end"}`:
			return
		case `{"do":"panic"}`:
			panic("a mistake in the target")
		default:
			c.Send(m.Data, m.Buffers...)
		}
	}
}

func TestTarget(t *testing.T) {
	f := serve(t, Options{Targets: map[string]Target{"echo": echo}})
	_, got := f.comm("comm_open", `{"comm_id":"1","target_name":"echo","data":{"a":1}}`)
	check(t, "open", got, "status busy", `comm_msg {"comm_id":"1","data":{"opened":{"a":1}}}`, "status idle")
	lines := f.finish(f.send(wire.Shell, "comm_info_request", `{"target_name":"echo"}`))
	if lines[2] != `shell comm_info_reply {"comms":{"1":{"target_name":"echo"}},"status":"ok"}` {
		t.Errorf("got %s", lines[2])
	}
	lines = f.finish(f.send(wire.Shell, "comm_info_request", `{"target_name":"other"}`))
	if lines[2] != `shell comm_info_reply {"comms":{},"status":"ok"}` {
		t.Errorf("got %s", lines[2])
	}

	// A cell that runs does not keep the target from answering.
	cell := f.execute("out going\nwait")
	f.await("output", func() bool { return f.count(cell, "stdout") > 0 })
	_, got = f.comm("comm_msg", `{"comm_id":"1","data":{"boost":14}}`)
	check(t, "message", got, "status busy", `comm_msg {"comm_id":"1","data":{"boost":14}}`, "status idle")
	_, got = f.comm("comm_msg", `{"comm_id":"1"}`)
	check(t, "message without data", got, "status busy", `comm_msg {"comm_id":"1","data":{}}`, "status idle")
	f.finish(f.send(wire.Control, wire.InterruptRequest, "{}"), cell)

	id, err := f.c.Send(wire.Shell, &wire.Message{
		Header: wire.Header{Type: "comm_msg"}, Content: []byte(`{"comm_id":"1","data":{}}`), Buffers: [][]byte{{0, 1}, {}},
	})
	if err != nil {
		t.Fatal(err)
	}
	f.await("the echo", func() bool { return f.count(id, "status idle") > 0 })
	for _, h := range f.heard {
		if h.Parent.ID == id && h.Header.Type == "comm_msg" && fmt.Sprint(h.Buffers) != "[[0 1] []]" {
			t.Errorf("buffers %v", h.Buffers)
		}
	}

	_, got = f.comm("comm_close", `{"comm_id":"1","data":{}}`)
	check(t, "close", got, "status busy", "status idle")
	f.await("the target's end", func() bool { return f.count("", `comm_msg {"comm_id":"1","data":{"ended":"EOF"}}`) > 0 })
	_, got = f.comm("comm_msg", `{"comm_id":"1","data":{}}`)
	check(t, "message to nobody", got, "status busy", "status idle")
	f.logged(`a message for comm "1", which is not open`)
	if n := f.count("", "comm_close"); n != 0 {
		t.Errorf("%d times closed by the kernel", n)
	}
}

func TestTargetEnds(t *testing.T) {
	f := serve(t, Options{Targets: map[string]Target{"echo": echo}})
	for _, do := range []string{"end", "panic"} {
		f.comm("comm_open", `{"comm_id":"`+do+`","target_name":"echo"}`)
		id := f.send(wire.Shell, "comm_msg", `{"comm_id":"`+do+`","data":{"do":"`+do+`"}}`)
		f.await("the close", func() bool { return f.count(id, "comm_close") > 0 })
		check(t, do, f.transcript(id), "status busy", "status idle", `comm_close {"comm_id":"`+do+`","data":{}}`)
	}
	f.logged("panic in comm target echo: a mistake in the target")
	lines := f.finish(f.send(wire.Shell, "comm_info_request", "{}"))
	if !strings.Contains(lines[2], `"comms":{}`) {
		t.Errorf("left over: %s", lines[2])
	}
}

// TestTargetBehind has a target skip what newer messages make pointless, and
// leave some of them.
func TestTargetBehind(t *testing.T) {
	opened, release := make(chan struct{}), make(chan struct{})
	f := serve(t, Options{Targets: map[string]Target{"slow": func(c *Comm) {
		close(opened)
		<-release
		for c.Waiting() > 2 {
			if _, err := c.Receive(); err != nil {
				t.Error(err)
			}
		}
		m, err := c.Receive()
		c.Send(map[string]any{"got": m.Data, "error": err})
	}}})
	open := f.send(wire.Shell, "comm_open", `{"comm_id":"1","target_name":"slow"}`)
	<-opened
	var ids []string
	for i := range 10 {
		ids = append(ids, f.send(wire.Shell, "comm_msg", fmt.Sprintf(`{"comm_id":"1","data":{"i":%d}}`, i)))
	}
	f.finish(f.send(wire.Shell, wire.KernelInfoRequest, "{}")) // so all have arrived
	close(release)
	for _, id := range append(ids, open) {
		f.await("idle", func() bool { return f.count(id, "status idle") == 1 })
		if n := f.count(id, "status busy"); n != 1 {
			t.Errorf("busy %d times", n)
		}
	}
	if n := f.count(ids[8], `comm_msg {"comm_id":"1","data":{"error":null,"got":{"i":8}}}`); n != 1 {
		t.Errorf("got %q", f.transcript(""))
	}
}

func TestTargetKernelEnds(t *testing.T) {
	ended := make(chan error, 1)
	f := serve(t, Options{Targets: map[string]Target{"t": func(c *Comm) {
		_, err := c.Receive()
		if c.Context().Err() == nil {
			err = errors.New("the context goes on")
		}
		ended <- err
	}}})
	f.comm("comm_open", `{"comm_id":"1","target_name":"t"}`)
	f.finish(f.send(wire.Control, wire.ShutdownRequest, "{}"))
	if err := <-ended; !errors.Is(err, errStopped) || errors.Is(err, io.EOF) {
		t.Errorf("got %v", err)
	}
}

func TestUnknownTarget(t *testing.T) {
	f := serve(t, Options{})
	_, got := f.comm("comm_open", `{"comm_id":"1","target_name":"jupyter.widget","data":{}}`)
	check(t, "open", got, "status busy", `comm_close {"comm_id":"1","data":{}}`, "status idle")
	for _, typ := range []string{"comm_open", "comm_msg", "comm_close"} {
		for _, content := range []string{"{}", "7", "null", `{"comm_id":7}`, `{"comm_id":"nobody's"}`} {
			f.comm(typ, content)
		}
	}
	check(t, "afterwards", f.run("out a"), `stdout "a\n"`, "shell execute_reply [1] ok")
}

// TestKernelsWidgets passes on the messages between the cell kernel's widgets
// and its programs, which run meanwhile.
func TestKernelsWidgets(t *testing.T) {
	f := serve(t, Options{})
	cell := f.execute("comm install\nwait")
	f.await("the first message", func() bool { return f.count(cell, "comm_msg") > 0 })
	open := f.send(wire.Shell, "comm_open", `{"comm_id":"w","target_name":"gonb_comm","kernel_id":"0","data":{}}`)
	f.await("the answer", func() bool { return f.count(open, "comm_msg") > 0 && f.count(open, "status idle") > 0 })
	for _, want := range []string{
		"status busy", "status idle", `update_display_data {"text/html":""}`, `comm_msg {"comm_id":"w","data":{"address":"#comm_open_ack","value":true}}`,
	} {
		if f.count(open, want) != 1 {
			t.Errorf("%s is missing in %q", want, f.transcript(open))
		}
	}
	message := f.send(wire.Shell, "comm_msg", `{"comm_id":"w","data":{"address":"/x","value":3}}`)
	f.await("the answer", func() bool { return f.count(message, `comm_msg {"comm_id":"w","data":{"address":"back"}}`) > 0 })
	if got := f.fake(0).saw("comm_msg"); len(got) != 1 || got[0] != `{"comm_id":"w","data":{"address":"/x","value":3}}` {
		t.Errorf("the cell kernel saw %q", got)
	}
	lines := f.finish(f.send(wire.Shell, "comm_info_request", "{}"))
	if !strings.Contains(lines[2], `"comms":{"w":{"target_name":"gonb_comm"}}`) {
		t.Errorf("got %s", lines[2])
	}
	f.finish(f.send(wire.Control, wire.InterruptRequest, "{}"), cell)

	// When the cell kernel is gone, so is the comm.
	f.run("die")
	f.await("the close", func() bool { return f.count("", `comm_close {"comm_id":"w"`) > 0 })
	_, got := f.comm("comm_close", `{"comm_id":"w","data":{}}`)
	check(t, "close again", got, "status busy", "status idle")
}

// TestPassedLimit checks that only so much is remembered of what was passed on.
func TestPassedLimit(t *testing.T) {
	f := serve(t, Options{})
	f.run("out a")
	f.comm("comm_open", `{"comm_id":"w","target_name":"gonb_comm"}`)
	for range passedLimit + 10 {
		f.send(wire.Shell, "comm_msg", `{"comm_id":"w","data":{}}`)
	}
	id, _ := f.comm("comm_msg", `{"comm_id":"w","data":{}}`)
	f.await("the last answer", func() bool { return f.count(id, "comm_msg") > 0 })
}

func TestLocal(t *testing.T) {
	var k *fake
	l, err := Start(t.Context(), Options{
		Start: func(context.Context, func(string)) (Kernel, error) {
			k = newFake(t)
			return k, nil
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	var texts []string
	reply, err := l.Client().Execute(t.Context(), wire.NewRequest("out a\nfail 3", false), func(string) {}, func(m *wire.Message) {
		var c streamContent
		if m.Header.Type == "stream" && m.Decode(&c) == nil {
			texts = append(texts, c.Text)
		}
	})
	if err != nil || reply.Status != "error" || reply.EName != "exit status 3" {
		t.Errorf("got %+v, %v", reply, err)
	}
	check(t, "output", texts, "a\n")
	if source, err := l.Source(); err != nil || string(source) != "package main" {
		t.Errorf("source: got %q, %v", source, err)
	}
	select {
	case <-l.Died():
		t.Error("a kernel at work counts as dead")
	default:
	}
	for range 2 {
		if err := l.Close(); err != nil {
			t.Error(err)
		}
	}
	<-l.Died()
	if err := l.DeathError(); !errors.Is(err, errClosed) {
		t.Errorf("got %v", err)
	}
	select {
	case <-k.gone:
	default:
		t.Error("the cell kernel goes on")
	}
	if _, err := l.Source(); err == nil {
		t.Error("source of a kernel that has ended")
	}
	if _, err := Start(t.Context(), Options{}); !errors.Is(err, errNoStart) {
		t.Errorf("no Start: got %v", err)
	}
}
