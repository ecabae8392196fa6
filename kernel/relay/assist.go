package relay

import (
	"context"
	"fmt"
	"runtime/debug"
	"time"
	"unicode/utf8"
)

// assistLimit is how long completing or inspecting may take. The first time, an
// Assist may have much to read.
const assistLimit = 10 * time.Second

// noAssistText is said once where there is no [Assist].
const noAssistText = "completion and help on names are not available in this kernel"

// enqueueAssist has a request answered by the goroutine that assists.
func (r *relay) enqueueAssist(req request) {
	select {
	case r.assists <- req:
	default: // far too many wait: the answers come too late anyway
		r.assist(context.Background(), req, nil)
	}
}

func (r *relay) assistLoop(ctx context.Context) {
	for {
		select {
		case req := <-r.assists:
			limited, cancel := context.WithTimeout(ctx, assistLimit)
			r.assist(limited, req, r.o.Assist)
			cancel()
		case <-ctx.Done():
			return
		}
	}
}

// assist answers a request to complete or inspect.
func (r *relay) assist(ctx context.Context, req request, a Assist) {
	r.answer(req, func(_ *relay, req request) (any, error) {
		var content struct {
			Code   string `json:"code"`
			Cursor *int   `json:"cursor_pos"`
			Detail int    `json:"detail_level"`
		}
		if err := req.Decode(&content); err != nil {
			return nil, err
		}
		cursor := len(content.Code)
		if content.Cursor != nil {
			cursor = byteOffset(content.Code, *content.Cursor)
		}
		if req.Header.Type == "complete_request" {
			return r.complete(ctx, req, a, content.Code, cursor), nil
		}
		return r.inspect(ctx, a, content.Code, cursor, content.Detail), nil
	})
}

// completeReply is the content of a complete_reply.
type completeReply struct {
	Status   string         `json:"status"`
	Matches  []string       `json:"matches"`
	Start    int            `json:"cursor_start"`
	End      int            `json:"cursor_end"`
	Metadata map[string]any `json:"metadata"`
}

// typedMatches is the metadata by which front ends show what matches are. It is
// not in the protocol, but common to front ends.
const typedMatches = "_jupyter_types_experimental"

type typedMatch struct {
	Start     int    `json:"start"`
	End       int    `json:"end"`
	Text      string `json:"text"`
	Kind      string `json:"type"`
	Signature string `json:"signature,omitempty"`
}

func (r *relay) complete(ctx context.Context, req request, a Assist, code string, cursor int) completeReply {
	at := utf8.RuneCountInString(code[:cursor])
	reply := completeReply{Status: "ok", Matches: []string{}, Start: at, End: at, Metadata: map[string]any{}}
	if a == nil {
		if r.o.Assist == nil && r.firstTime(&r.noAssist.complete) {
			r.publish(req.Header, "stream", streamContent{"stderr", noAssistText + "\n"})
		}
		return reply
	}
	var found Completion
	if !r.tryAssist("completing", func() (err error) {
		found, err = a.Complete(ctx, code, cursor)
		return err
	}) || len(found.Matches) == 0 {
		return reply
	}
	start := max(0, min(found.Start, len(code)))
	end := max(start, min(found.End, len(code)))
	reply.Start, reply.End = utf8.RuneCountInString(code[:start]), utf8.RuneCountInString(code[:end])
	typed := make([]typedMatch, len(found.Matches))
	for i, m := range found.Matches {
		reply.Matches = append(reply.Matches, m.Text)
		typed[i] = typedMatch{reply.Start, reply.End, m.Text, m.Kind, m.Signature}
	}
	reply.Metadata[typedMatches] = typed
	return reply
}

// inspectReply is the content of an inspect_reply.
type inspectReply struct {
	Status   string         `json:"status"`
	Found    bool           `json:"found"`
	Data     Inspection     `json:"data"`
	Metadata map[string]any `json:"metadata"`
}

func (r *relay) inspect(ctx context.Context, a Assist, code string, cursor, detail int) inspectReply {
	reply := inspectReply{Status: "ok", Data: Inspection{}, Metadata: map[string]any{}}
	if a == nil {
		if r.o.Assist == nil && r.firstTime(&r.noAssist.inspect) {
			reply.Found, reply.Data["text/plain"] = true, noAssistText
		}
		return reply
	}
	var found Inspection
	if r.tryAssist("inspecting", func() (err error) {
		found, err = a.Inspect(ctx, code, cursor, detail)
		return err
	}) && len(found) > 0 {
		reply.Found, reply.Data = true, found
	}
	return reply
}

// firstTime reports whether it is called for the first time for said.
func (r *relay) firstTime(said *bool) bool {
	r.noAssist.Lock()
	defer r.noAssist.Unlock()
	first := !*said
	*said = true
	return first
}

// tryAssist calls the Assist and reports whether it went well.
func (r *relay) tryAssist(what string, call func() error) (ok bool) {
	defer func() {
		if p := recover(); p != nil {
			r.o.Log(fmt.Sprintf("panic while %s: %v\n%s", what, p, debug.Stack()))
			ok = false
		}
	}()
	if err := call(); err != nil {
		r.o.Log(fmt.Sprintf("%s: %v", what, err))
		return false
	}
	return true
}

// byteOffset returns the byte offset in s of the position that the protocol
// counts in code points. A position outside of s becomes its start or end.
func byteOffset(s string, points int) int {
	if points <= 0 {
		return 0
	}
	for i := range s {
		if points == 0 {
			return i
		}
		points--
	}
	return len(s)
}
