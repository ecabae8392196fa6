package relay

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"example.com/railbook/kernel/cellio"
	"example.com/railbook/kernel/wire"
)

// fake is a cell kernel for tests. It behaves as gonb does, its defects
// included; the lines of a cell are commands, see do.
type fake struct {
	srv    *wire.Server
	client *wire.Client
	died   chan struct{}
	once   sync.Once

	executions chan *wire.Message
	interrupts chan struct{} // as gonb passes them to its child
	breaks     chan syscall.Signal
	builds     chan struct{} // taken while a cell is built
	inputs     chan string
	gone       chan struct{} // closed with Close
	goneOnce   sync.Once

	mu    sync.Mutex
	count int
	seen  []string // types of messages, with their content
}

func newFake(t testing.TB) *fake {
	t.Helper()
	conn, err := wire.NewConnection(t.TempDir())
	if err != nil {
		panic(err) // t.Fatal is not for other goroutines
	}
	f := &fake{
		died: make(chan struct{}), executions: make(chan *wire.Message, 1000),
		interrupts: make(chan struct{}, 100), breaks: make(chan syscall.Signal, 100), builds: make(chan struct{}), inputs: make(chan string, 10),
		gone: make(chan struct{}),
	}
	if f.srv, err = wire.Listen(conn, nil); err != nil {
		panic(err) // t.Fatal is not for other goroutines
	}
	go f.listen(wire.Shell)
	go f.listen(wire.Control)
	go f.listen(wire.Stdin)
	go f.execute()
	if f.client, err = wire.Dial(context.Background(), conn); err != nil {
		panic(err) // t.Fatal is not for other goroutines
	}
	if _, err := f.client.Ready(context.Background()); err != nil {
		panic(err) // t.Fatal is not for other goroutines
	}
	t.Cleanup(func() { f.Close() })
	return f
}

func (f *fake) Client() *wire.Client  { return f.client }
func (f *fake) Died() <-chan struct{} { return f.died }
func (f *fake) DeathError() error     { return errors.New("the fake ended by itself\nits last words") }
func (f *fake) Source() ([]byte, error) {
	return []byte("package main"), nil
}

func (f *fake) Close() error {
	f.goneOnce.Do(func() { close(f.gone) })
	f.die()
	f.client.Close()
	return nil
}

// die ends the fake as the system sees it.
func (f *fake) die() {
	f.once.Do(func() { close(f.died) })
	f.srv.Close()
}

// breakable is a fake that is a Breaker and a BuildStopper.
type breakable struct{ *fake }

func (b breakable) StopBuild() bool {
	select {
	case b.builds <- struct{}{}:
		return true
	default:
		return false
	}
}

func (b breakable) Break(sig syscall.Signal) error {
	b.breaks <- sig
	return nil
}

// listen is gonb's dispatcher: only cells wait for each other.
func (f *fake) listen(ch wire.Channel) {
	for {
		m, err := f.srv.Receive(context.Background(), ch)
		if err != nil {
			return
		}
		f.mu.Lock()
		f.seen = append(f.seen, m.Header.Type+" "+string(m.Content))
		f.mu.Unlock()
		switch m.Header.Type {
		case wire.ExecuteRequest:
			f.executions <- m
		case wire.KernelInfoRequest:
			f.send(m.Header, wire.Status, status{"busy"})
			f.srv.Send(ch, &wire.Message{Identities: m.Identities, Header: wire.Header{Type: wire.KernelInfoReply}, Parent: m.Header})
			f.send(m.Header, wire.Status, status{"idle"})
		case wire.InterruptRequest:
			f.interrupts <- struct{}{}
		case "input_reply":
			var c struct{ Value string }
			m.Decode(&c)
			f.inputs <- c.Value
		case "comm_open":
			f.publish(m.Header, "update_display_data", `{"data":{"text/html":""},"metadata":{},"transient":{"display_id":"w"}}`)
			f.publish(m.Header, "comm_msg", `{"comm_id":"w","data":{"address":"#comm_open_ack","value":true}}`)
		case "comm_msg":
			f.publish(m.Header, "comm_msg", `{"comm_id":"w","data":{"address":"back"}}`)
		}
	}
}

func (f *fake) publish(parent wire.Header, typ, content string) {
	f.srv.Send(wire.IOPub, &wire.Message{Header: wire.Header{Type: typ}, Parent: parent, Content: []byte(content)})
}

func (f *fake) send(parent wire.Header, typ string, content any) {
	raw, err := json.Marshal(content)
	if err != nil {
		panic(err)
	}
	f.publish(parent, typ, string(raw))
}

func (f *fake) execute() {
	for {
		var m *wire.Message
		select {
		case m = <-f.executions:
		case <-f.gone:
			return
		}
		var c wire.Request
		if err := m.Decode(&c); err != nil {
			panic(err)
		}
		f.mu.Lock()
		f.count++
		count := f.count
		f.mu.Unlock()
		f.send(m.Header, wire.Status, status{"busy"})
		f.send(m.Header, "execute_input", map[string]any{"code": c.Code, "execution_count": count})
		reply := map[string]any{"status": "ok", "execution_count": count, "user_expressions": map[string]any{}}
		late := ""
		for line := range strings.SplitSeq(c.Code, "\n") {
			word, rest, _ := strings.Cut(line, " ")
			switch word {
			case "refuse":
				reply = map[string]any{"status": "error", "ename": "ERROR", "evalue": rest, "traceback": []string{rest}}
				f.send(m.Header, "error", reply)
			case "late":
				late = rest
			default:
				f.do(m, word, rest)
			}
		}
		raw, _ := json.Marshal(reply)
		f.srv.Send(wire.Shell, &wire.Message{Identities: m.Identities, Header: wire.Header{Type: wire.ExecuteReply}, Parent: m.Header, Content: raw})
		f.send(m.Header, wire.Status, status{"idle"})
		if late != "" {
			f.do(m, "show", late)
		}
	}
}

type object = map[string]any

// do does what a line of a cell says.
func (f *fake) do(m *wire.Message, word, rest string) {
	switch word {
	case "", "note": // nothing
	case "out": // a line on standard output, as gonb reports it
		f.send(m.Header, "stream", streamContent{"stdout", rest + "\n"})
	case "err":
		f.send(m.Header, "stream", streamContent{"stderr", rest + "\n"})
	case "show":
		f.send(m.Header, "display_data", object{"data": object{"text/html": rest}, "metadata": object{}, "transient": object{}})
	case "big": // a display of so many bytes
		n, _ := strconv.Atoi(rest)
		f.do(m, "show", strings.Repeat("x", n))
	case "update":
		f.send(m.Header, "update_display_data", object{"data": object{"text/html": rest}, "metadata": object{}, "transient": object{"display_id": "d"}})
	case "result":
		f.send(m.Header, "display_data", object{"data": object{"text/plain": rest}, "metadata": object{ResultKey: true, "kept": 1}, "transient": object{}})
	case "html": // a result without plain text
		f.send(m.Header, "display_data", object{"data": object{"text/html": rest}, "metadata": object{ResultKey: true}})
	case "clear":
		f.send(m.Header, "clear_output", object{"wait": true})
	case "stdout", "stderr": // a quoted piece, as the pump reports it
		text, err := strconv.Unquote(rest)
		if err != nil {
			panic(err)
		}
		f.event(m, cellio.Event{Stream: word, Text: text})
	case "exit": // the end, as the pump reports it and then gonb
		code, _ := strconv.Atoi(rest)
		f.event(m, cellio.Event{Exit: &cellio.Exit{Code: code}})
		if code != 0 {
			f.do(m, "fail", rest)
		}
	case "fail": // the end as gonb alone reports it
		f.send(m.Header, "stream", streamContent{"stderr", "exit status " + rest + "\n"})
	case "bad": // an event that is none
		f.send(m.Header, "display_data", object{"data": object{cellio.MIME: "?"}})
	case "sleep":
		ms, _ := strconv.Atoi(rest)
		time.Sleep(time.Duration(ms) * time.Millisecond)
	case "wait": // for an interrupt
		f.await(f.interrupts, nil)
		f.send(m.Header, "stream", streamContent{"stderr", "signal: interrupt\n"})
	case "build": // until that is stopped
		select {
		case <-f.builds:
		case <-f.gone:
		}
	case "stubborn": // until it is killed
		f.await(nil, f.breaks)
		f.send(m.Header, "stream", streamContent{"stderr", "signal: killed\n"})
	case "catatonic": // until the kernel is ended
		<-f.gone
	case "ask":
		f.srv.Send(wire.Stdin, &wire.Message{
			Identities: m.Identities, Header: wire.Header{Type: wire.InputRequest}, Parent: m.Header,
			Content: fmt.Appendf(nil, `{"prompt":%q,"password":true}`, rest),
		})
		select {
		case v := <-f.inputs:
			f.do(m, "out", "got "+v)
		case <-f.interrupts:
			f.send(m.Header, "stream", streamContent{"stderr", "signal: interrupt\n"})
		case <-f.gone:
		}
	case "comm":
		f.send(m.Header, "comm_msg", object{"comm_id": "w", "data": object{"address": rest}})
	case "die":
		f.die()
		<-f.gone
	default:
		panic("no such command: " + word)
	}
}

func (f *fake) event(m *wire.Message, e cellio.Event) {
	f.send(m.Header, "display_data", object{"data": e.Bundle(), "metadata": object{}, "transient": object{}})
}

// await waits for an interrupt or SIGKILL.
func (f *fake) await(interrupts <-chan struct{}, breaks <-chan syscall.Signal) {
	for {
		select {
		case <-interrupts:
			return
		case sig := <-breaks:
			if sig == syscall.SIGKILL {
				return
			}
		case <-f.gone:
			return
		}
	}
}

// saw returns the messages of the type the fake has received.
func (f *fake) saw(typ string) []string {
	f.mu.Lock()
	defer f.mu.Unlock()
	var list []string
	for _, s := range f.seen {
		if got, content, _ := strings.Cut(s, " "); got == typ {
			list = append(list, content)
		}
	}
	return list
}
