package session

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"example.com/railbook/kernel/nbformat"
)

var (
	// How the Go runtime begins to tell of a failure.
	traceStart = regexp.MustCompile(`(?m)^(?:panic: |fatal error: |runtime: |unexpected fault address |SIG[A-Z]+: )`)
	goroutine  = regexp.MustCompile(`(?m)^goroutine \d+ .*\[.*\]:$`)
	// The line that says what happened.
	traceMessage = regexp.MustCompile(`(?m)^(panic|fatal error): (.*)$`)
	// A line for a frame in the program made of the cells. It may hold a remark
	// of gonb's on the cell, which is not to be relied on.
	frame = regexp.MustCompile(`(?m)^[ \t]+.*/gonb_\w+/main(?:_test)?\.go:(\d+)`)
	// The offset of a frame in its function.
	offset = regexp.MustCompile(`(?m) \+0x[0-9a-f]+$`)
)

// cutTrace takes the Go runtime's account of a failure out of the cell's error
// stream and returns it; it is empty if there is none.
func (rec *record) cutTrace() string {
	all := rec.text("stderr")
	start := -1
	for _, m := range traceStart.FindAllStringIndex(all, -1) {
		if goroutine.MatchString(all[m[0]:]) {
			start = m[0]
			break
		}
	}
	if start < 0 {
		return ""
	}
	kept := start
	rec.cell.Outputs = slices.DeleteFunc(rec.cell.Outputs, func(o *nbformat.Output) bool {
		if o.Type != nbformat.Stream || o.Name != "stderr" {
			return false
		}
		n := min(kept, len(o.Text))
		kept -= n
		o.Text = o.Text[:n]
		return n == 0
	})
	return all[start:]
}

// traceLines limits the account of a failure.
const traceLines = 30

// panicked makes an error of the Go runtime's account of a failure.
func (r *run) panicked(rec *record, trace string) *CellError {
	e := &CellError{Place: rec.place, Name: Panic, Message: "see below"}
	if m := traceMessage.FindStringSubmatch(trace); m != nil {
		e.Name, e.Message = m[1], m[2]
	}
	find := r.locator()
	// The frames before the first goroutine are the runtime's own.
	from := goroutine.FindStringIndex(trace)[0]
	if m := frame.FindStringSubmatch(trace[from:]); m != nil {
		e.At = find(hint{line: number(m[1])})
	}
	trace = frame.ReplaceAllStringFunc(trace, func(s string) string {
		line := number(frame.FindStringSubmatch(s)[1])
		pos := find(hint{line: line})
		if pos.Line == 0 {
			return fmt.Sprintf("\tgenerated line %d", line)
		}
		return fmt.Sprintf("\t%s, line %d", cellName(pos.Cell), pos.Line)
	})
	trace = offset.ReplaceAllString(trace, "")
	lines := strings.Split(strings.TrimSpace(trace), "\n")
	if more := len(lines) - traceLines; more > 0 {
		lines = append(lines[:traceLines], fmt.Sprintf("… %d more lines", more))
	}
	e.Words = lines
	return e
}
