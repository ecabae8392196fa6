package stream

import (
	"regexp"
	"strings"
	"time"
)

// Patience is how long the start of an account of a panic is kept back after
// the last piece of it, for the program to end. The Go runtime writes the
// account in one go and ends at once; a program that only logs "panic: " does
// not end.
const Patience = 300 * time.Millisecond

// maxTrace is how much is kept back.
const maxTrace = 1 << 20

// markers are how the Go runtime's account of a failure begins, at the start of
// a line. As read in the runtime's source of Go 1.26: panic.go (printpanics,
// throw, fatal), signal_unix.go.
var markers = []string{"panic: ", "fatal error: ", "runtime: ", "unexpected fault address ", "SIG"}

// goroutineLine is part of every account.
var goroutineLine = regexp.MustCompile(`(?m)^goroutine \d+ .*\[.*\]:$`)

// Trace keeps back, of what a program writes to standard error, the Go
// runtime's account of a failure. Its zero value is ready for use, by one
// goroutine at a time.
type Trace struct {
	held    string
	midLine bool // that what was passed on ended within a line
	until   time.Time
}

// Add takes text written at the time now and returns what may be passed on.
func (t *Trace) Add(now time.Time, text string) (pass string) {
	t.held += text
	at := 0
	if t.midLine {
		at = nextLine(t.held, 0)
	}
	for at < len(t.held) && !begins(t.held[at:]) {
		at = nextLine(t.held, at)
	}
	pass, t.held = t.held[:at], t.held[at:]
	if pass != "" {
		t.midLine = !strings.HasSuffix(pass, "\n")
	}
	t.until = now.Add(Patience)
	if len(t.held) > maxTrace {
		pass += t.Release()
	}
	return pass
}

// nextLine returns where the line after the one at i begins.
func nextLine(s string, i int) int {
	n := strings.IndexByte(s[i:], '\n')
	if n < 0 {
		return len(s)
	}
	return i + n + 1
}

// begins reports whether s begins with a marker, or is the beginning of one.
func begins(s string) bool {
	for _, m := range markers {
		if strings.HasPrefix(s, m) || strings.HasPrefix(m, s) {
			return true
		}
	}
	return false
}

// Due returns when [Trace.Release] has to be called. It is false if nothing is
// kept back.
func (t *Trace) Due() (time.Time, bool) { return t.until, t.held != "" }

// Release returns what is kept back, for passing on.
func (t *Trace) Release() string {
	held := t.held
	t.held = ""
	if held != "" {
		t.midLine = !strings.HasSuffix(held, "\n")
	}
	return held
}

// Take returns what is kept back if it is an account of a failure: it begins
// with a marker and shows a goroutine, or it is a fatal error without one.
func (t *Trace) Take() (trace string, ok bool) {
	if !IsTrace(t.held) {
		return "", false
	}
	trace, t.held = t.held, ""
	return trace, true
}

// IsTrace reports whether the text is an account of a failure from its start.
func IsTrace(text string) bool {
	begun := false
	for _, m := range markers {
		begun = begun || strings.HasPrefix(text, m)
	}
	return begun && (goroutineLine.MatchString(text) || strings.HasPrefix(text, "fatal error: "))
}

// Find returns the account of a failure in a text that holds other things
// before it; "" if there is none.
func Find(text string) string {
	for at := 0; at < len(text); at = nextLine(text, at) {
		if IsTrace(text[at:]) {
			return text[at:]
		}
	}
	return ""
}
