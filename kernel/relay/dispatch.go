package relay

import (
	"context"
	"fmt"
	"strings"

	"example.com/railbook/kernel/relay/internal/history"
	"example.com/railbook/kernel/relay/internal/syntax"
	"example.com/railbook/kernel/wire"
)

// listen handles the requests of a channel until ctx ends. None of them makes
// it wait: what takes time is passed on.
func (r *relay) listen(ctx context.Context, ch wire.Channel) {
	for {
		m, err := r.srv.Receive(ctx, ch)
		if err != nil {
			return
		}
		r.dispatch(request{m, ch})
	}
}

// dispatch handles a request or passes it on.
func (r *relay) dispatch(req request) {
	typ := req.Header.Type
	if answer := answers[typ]; answer != nil {
		r.answer(req, answer)
		return
	}
	switch typ {
	case wire.ExecuteRequest:
		r.enqueue(req)
	case "complete_request", "inspect_request":
		r.enqueueAssist(req)
	case wire.InterruptRequest:
		r.interrupt()
		r.answer(req, func(*relay, request) (any, error) { return map[string]string{"status": "ok"}, nil })
	case wire.ShutdownRequest:
		r.quitting.Go(func() { r.shutdown(req) })
	case "comm_open", "comm_msg", "comm_close":
		r.comms.fromClient(req)
	default:
		// Others are for other kernels, or newer than this one.
		r.o.Log(fmt.Sprintf("ignored a message of type %q on %s", typ, req.from))
	}
}

// answers are the requests that are answered at once.
var answers map[string]func(*relay, request) (any, error)

func init() { // what a function says of itself would be a cycle
	answers = map[string]func(*relay, request) (any, error){
		wire.KernelInfoRequest: (*relay).kernelInfo,
		"is_complete_request":  (*relay).isComplete,
		"history_request":      (*relay).findHistory,
		"comm_info_request":    (*relay).commInfo,
		"connect_request":      (*relay).connectInfo,
	}
}

// answer answers a request with what the function returns, or with its error.
func (r *relay) answer(req request, answer func(*relay, request) (any, error)) {
	r.status(req, "busy")
	defer r.status(req, "idle")
	content, err := answer(r, req)
	if err != nil {
		e := errorOf(&Explanation{Name: "bad request", Value: err.Error()})
		e.Status = "error"
		content = e
	}
	r.reply(req, replyType(req.Header.Type), content)
}

// replyType returns what the reply to a request is called.
func replyType(request string) string { return strings.TrimSuffix(request, "_request") + "_reply" }

func (r *relay) isComplete(req request) (any, error) {
	var content struct {
		Code string `json:"code"`
	}
	if err := req.Decode(&content); err != nil {
		return nil, err
	}
	verdict, indent := syntax.Judge(content.Code)
	reply := map[string]string{"status": string(verdict)}
	if verdict == syntax.Incomplete {
		reply["indent"] = indent
	}
	return reply, nil
}

func (r *relay) findHistory(req request) (any, error) {
	query := history.Query{Raw: true}
	if err := req.Decode(&query); err != nil {
		return nil, err
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	return map[string]any{"status": "ok", "history": r.history.Find(query)}, nil
}
