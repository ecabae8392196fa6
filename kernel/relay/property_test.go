package relay

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/railbook/kernel/wire"
)

// sendable are requests that may follow each other in any order. Those without a
// reply are marked.
var sendable = []struct {
	typ, content string
	mute         bool
}{
	{typ: "execute_request", content: `{"code":"out a\nshow b\nresult c"}`},
	{typ: "execute_request", content: `{"code":"refuse x"}`},
	{typ: "execute_request", content: `{"code":"fail 1","stop_on_error":false}`},
	{typ: "execute_request", content: `{"code":"sleep 5\nstdout \"a\"\nexit 2","store_history":false}`},
	{typ: "execute_request", content: `{"code":"out a","silent":true}`},
	{typ: "execute_request", content: `{"code":"","user_expressions":{"a":"x"}}`},
	{typ: "execute_request", content: `{"code":"ask a","allow_stdin":false}`},
	{typ: "execute_request", content: `{"code":"die"}`},
	{typ: "execute_request", content: `{"silent":true}`},
	{typ: "execute_request", content: `7`},
	{typ: "kernel_info_request", content: `{}`},
	{typ: "is_complete_request", content: `{"code":"{"}`},
	{typ: "history_request", content: `{"hist_access_type":"tail","n":3,"output":true}`},
	{typ: "comm_info_request", content: `{}`},
	{typ: "complete_request", content: `{"code":"a","cursor_pos":1}`},
	{typ: "inspect_request", content: `{"code":"a","cursor_pos":-5}`},
	{typ: "interrupt_request", content: `{}`},
	{typ: "comm_open", content: `{"comm_id":"1","target_name":"echo"}`, mute: true},
	{typ: "comm_open", content: `{"comm_id":"2","target_name":"gonb_comm"}`, mute: true},
	{typ: "comm_open", content: `{"comm_id":"3","target_name":"nobody"}`, mute: true},
	{typ: "comm_msg", content: `{"comm_id":"1","data":{"x":1}}`, mute: true},
	{typ: "comm_msg", content: `{"comm_id":"1","data":{"do":"end"}}`, mute: true},
	{typ: "comm_msg", content: `{"comm_id":"1","data":{"do":"panic"}}`, mute: true},
	{typ: "comm_msg", content: `{"comm_id":"2","data":{}}`, mute: true},
	{typ: "comm_close", content: `{"comm_id":"1"}`, mute: true},
	{typ: "comm_close", content: `{"comm_id":"2"}`, mute: true},
}

// TestEveryRequestIsAnswered sends random sequences of requests on both sockets,
// without waiting. Each must have one reply on the socket it came from, and one
// busy and one idle, in that order, with all other output of it between them.
func TestEveryRequestIsAnswered(t *testing.T) {
	for seed := range uint64(6) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			random := rand.New(rand.NewPCG(seed, 1))
			f := serve(t, Options{Assist: assist{}, Targets: map[string]Target{"echo": echo}})
			type sent struct {
				id, typ string
				ch      wire.Channel
				mute    bool
			}
			var all []sent
			for range 60 {
				s := sendable[random.IntN(len(sendable))]
				ch := []wire.Channel{wire.Shell, wire.Control}[random.IntN(2)]
				all = append(all, sent{f.send(ch, s.typ, s.content), s.typ, ch, s.mute})
				if random.IntN(4) == 0 {
					f.finish(f.send(wire.Shell, wire.KernelInfoRequest, "{}"))
				}
			}
			for _, s := range all {
				f.await("the end of "+s.typ, func() bool {
					return f.count(s.id, "status idle") > 0 && (s.mute || f.count(s.id, s.ch.String()+" ") > 0)
				})
			}
			f.finish(f.send(wire.Shell, wire.KernelInfoRequest, "{}")) // whatever is too much has come by then
			for _, s := range all {
				lines := f.transcript(s.id)
				replies := slices.DeleteFunc(slices.Clone(lines), func(l string) bool {
					return !strings.HasPrefix(l, "shell ") && !strings.HasPrefix(l, "control ") && !strings.HasPrefix(l, "stdin ")
				})
				outputs := lines[:len(lines)-len(replies)]
				if want := s.ch.String() + " " + replyType(s.typ); s.mute && len(replies) > 0 ||
					!s.mute && (len(replies) != 1 || !strings.HasPrefix(replies[0], want)) {
					t.Errorf("%s on %s: replies %q", s.typ, s.ch, replies)
				}
				if n := f.count(s.id, "status "); n != 2 || outputs[0] != "status busy" {
					t.Errorf("%s: %q", s.typ, outputs)
				}
				// Comms speak when they like, all else only between busy and idle.
				if last := outputs[len(outputs)-1]; !s.mute && last != "status idle" && !strings.HasPrefix(last, "comm_") {
					t.Errorf("%s: %q", s.typ, outputs)
				}
			}
		})
	}
}

// FuzzDispatch hands the relay requests of any type and content, as clients with
// the key may send them, and checks that it still answers.
func FuzzDispatch(f *testing.F) {
	for _, s := range sendable {
		f.Add(s.typ, []byte(s.content), true)
	}
	f.Add("shutdown", []byte("{}"), false)
	f.Add("execute_request", []byte(`{"code":"\ud800","user_expressions":{"":""}}`), false)
	f.Add("history_request", []byte(`{"hist_access_type":"search","pattern":"[*","n":-1}`), false)
	f.Add("complete_request", []byte(`{"code":"😀","cursor_pos":-9223372036854775808}`), false)
	k := serve(f, Options{Cells: idleCells{}, Assist: assist{}, Targets: map[string]Target{"echo": echo}})
	k.run("x") // so the cell kernel is there
	f.Fuzz(func(t *testing.T, typ string, content []byte, control bool) {
		if typ == wire.ShutdownRequest {
			return
		}
		k.t, k.heard = t, nil
		ch := wire.Shell
		if control {
			ch = wire.Control
		}
		m := &wire.Message{Header: wire.Header{Type: typ}, Content: content}
		if _, err := k.c.Send(ch, m); err != nil {
			return // it is no JSON
		}
		if typ == wire.ExecuteRequest {
			k.finish(k.send(wire.Control, wire.InterruptRequest, "{}"))
		}
		k.finish(k.send(wire.Shell, wire.KernelInfoRequest, "{}"), k.send(wire.Control, wire.KernelInfoRequest, "{}"))
	})
}

// idleCells are cells that do nothing.
type idleCells struct{}

func (idleCells) Rewrite(string) (Prepared, error)  { return Prepared{}, nil }
func (idleCells) Evaluate(string) (Prepared, error) { return Prepared{}, nil }
func (idleCells) Reset() (string, error)            { return "", nil }
