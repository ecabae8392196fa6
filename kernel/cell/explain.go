package cell

import (
	"regexp"
	"strconv"
	"strings"

	"example.com/railbook/kernel/cell/keep"
)

// Failure is what is known of a cell that the cell kernel could not build, or
// whose program failed.
type Failure struct {
	// Words are those of the tool that could not build the program, line by line.
	Words string
	// Status is "exit status N" or "signal: NAME", of a program that ended so.
	Status string
	// Trace is the Go runtime's account of a panic or a fatal error.
	Trace string
	// Stderr is the end of what the program wrote to standard error.
	Stderr string
	// Interrupted tells that the user ended the cell.
	Interrupted bool
}

// The lines of tools and of the Go runtime that matter.
var (
	// A line of the compiler about the program.
	compilerLine = regexp.MustCompile(`^(?:.*/)?railbook_cell(?:_test)?\.go:(\d+)(?::(\d+))?: (.*)$`)
	// What the go command puts above the compiler's lines.
	packageLine = regexp.MustCompile(`^# (\S+)`)
	// A frame of a trace, in the program or elsewhere.
	frameLine    = regexp.MustCompile(`^\s+(?:\S*\s)*?(\S+\.go):(\d+)(?: \+0x[0-9a-f]+)?$`)
	traceMessage = regexp.MustCompile(`(?m)^(?:panic: |fatal error: )(.*)$`)
	goroutine    = regexp.MustCompile(`(?m)^goroutine \d+ .*\[.*\]:$`)
	recovered    = regexp.MustCompile(` \[recovered.*\]$`)
	valueOfPanic = regexp.MustCompile(`^(?:main\.)?(\w+)\((.*)\)$`)
)

// Explain puts a failure into words about the cells. It is nil where the session
// has nothing to say beyond what the failure says itself.
func (p *Prepared) Explain(f Failure) *Error {
	if p.fail != nil {
		return p.fail
	}
	if p.plan == nil || p.b == nil {
		return nil
	}
	p.s.mu.Lock()
	defer p.s.mu.Unlock()
	switch {
	case f.Trace != "":
		return p.panicked(f.Trace)
	case f.Words != "":
		return p.notBuilt(f.Words)
	case f.Status != "" || f.Interrupted:
		return p.ended(f)
	}
	return nil
}

// place returns the place in a cell of a line and column of the program.
func (p *Prepared) place(line, column int) (Position, bool) {
	at, ok := p.b.at(line, column)
	if !ok {
		return Position{}, false
	}
	src, offset, ok := p.b.locate(at)
	if !ok {
		return Position{}, false
	}
	pos := src.position(offset, p.plan.src)
	if column == 0 {
		pos.Column = 0
	}
	return pos, true
}

// notBuilt makes an error of the compiler's words.
func (p *Prepared) notBuilt(words string) *Error {
	p.s.library.changed() // the check did not expect this
	var list []*complaint
	var rest []string
	for line := range strings.Lines(words) {
		line = strings.TrimRight(line, " \r\n")
		m := compilerLine.FindStringSubmatch(line)
		switch {
		case m != nil:
			c := &complaint{problem: problem{message: scrub(m[3])}, words: scrub(m[3])}
			if at, ok := p.b.at(lineNumber(m[1]), lineNumber(m[2])); ok {
				if src, offset, ok := p.b.locate(at); ok {
					c.src, c.at = src, offset
				}
			}
			list = append(list, c)
		case len(list) > 0 && strings.HasPrefix(line, "\t"):
			last := list[len(list)-1]
			last.message += "\n" + line
			last.words += "\n" + line
		case strings.HasSuffix(line, "undefined: "+entry):
			return &Error{Name: CompileError, Value: "the cell kernel does not find the program of the cell; restart the kernel"}
		case line != "" && !packageLine.MatchString(line) && !strings.HasPrefix(line, "exit status"):
			rest = append(rest, line)
		}
	}
	if len(list) == 0 {
		if len(rest) == 0 {
			return nil
		}
		return &Error{Name: CompileError, Value: rest[0], Words: rest[1:], Speaker: "the tools"}
	}
	e, _ := p.plan.complain(list...).(*Error)
	return e
}

func lineNumber(s string) int {
	n, _ := strconv.Atoi(s) // digits, or nothing
	return n
}

// ended makes an error of a program that just ended.
func (p *Prepared) ended(f Failure) *Error {
	e := &Error{Name: f.Status, Value: "the program ended with " + f.Status, At: p.step(), Speaker: "the program"}
	said := strings.TrimSpace(f.Stderr)
	switch {
	case f.Interrupted:
		e.Name, e.Value = "interrupted", "the cell was interrupted"
	case f.Status == "signal: killed":
		e.Value += ", perhaps for want of memory"
	case said != "" && !strings.Contains(said, "\n"):
		e.Value = said // one line can only be the reason
	case said != "":
		lines := strings.Split(said, "\n")
		e.Value, e.Words = strings.TrimSpace(lines[0]), lines[1:]
		if more := len(e.Words) - traceLines; more > 0 {
			e.Words = e.Words[more:]
		}
	}
	return e
}

// step is the place of the statement at which the program was.
func (p *Prepared) step() Position {
	places := p.plan.stepPlaces()
	n := 0
	if p.plan.stepping() {
		var ok bool
		if n, ok = keep.ReadStep(p.s.o.Folder, strconv.Itoa(p.plan.src.id)); !ok {
			return Position{}
		}
	}
	if n >= len(places) {
		return Position{}
	}
	return p.plan.src.position(places[n], p.plan.src)
}

// traceLines limits the account of a failure.
const traceLines = 30

// panicked makes an error of the Go runtime's account of a failure.
func (p *Prepared) panicked(trace string) *Error {
	e := &Error{Name: Panic, Value: "see below", Speaker: "the program"}
	if m := traceMessage.FindStringSubmatch(trace); m != nil {
		if strings.HasPrefix(m[0], "fatal") {
			e.Name = FatalError
		}
		e.Value = plainPanic(recovered.ReplaceAllString(m[1], ""))
	}
	// The frames before the first goroutine are the runtime's own.
	body := trace
	if at := goroutine.FindStringIndex(trace); at != nil {
		body = trace[at[1]:]
	}
	lines := strings.Split(strings.TrimRight(trace[:len(trace)-len(body)], "\n"), "\n")
	frames := strings.Split(strings.Trim(body, "\n"), "\n")
	for i := 0; i < len(frames); i++ {
		call := frames[i]
		m := []string(nil)
		if i+1 < len(frames) {
			m = frameLine.FindStringSubmatch(frames[i+1])
		}
		if m == nil {
			lines = append(lines, call)
			continue
		}
		i++
		if hiddenFrame(call) {
			continue
		}
		where := m[1] + ":" + m[2]
		if strings.HasSuffix(m[1], ProgramFile) || strings.HasSuffix(m[1], TestFile) {
			pos, ok := p.place(lineNumber(m[2]), 0)
			if !ok {
				continue
			}
			if e.At.Line == 0 {
				e.At = p.pointAt(pos, e.Value)
			}
			where = pos.name()
		}
		lines = append(lines, cleanCall(call), "\t"+where)
	}
	if more := len(lines) - traceLines; more > 0 {
		lines = append(lines[:traceLines], "… "+strconv.Itoa(more)+" more lines")
	}
	e.Words = lines
	return e
}

// hiddenFrame reports whether a call is of the program around the cell.
func hiddenFrame(call string) bool {
	return strings.HasPrefix(call, "example.com/railbook/kernel/cell/keep.") || strings.HasPrefix(call, "main."+entry+"(") ||
		strings.HasPrefix(call, "main.main(")
}

// cleanCall names a call as the cells do.
func cleanCall(call string) string {
	call = strings.ReplaceAll(call, "main."+bodyName+"(", "main.cell(")
	call = strings.ReplaceAll(call, "main."+mainName+"(", "main.main(")
	return strings.ReplaceAll(call, "main."+bodyName+".", "main.cell.")
}

// pointAt finds the column in a line at which a panic is most likely to have
// come up.
func (p *Prepared) pointAt(pos Position, message string) Position {
	only := func(what string) int {
		if strings.Count(pos.Text, what) == 1 {
			return strings.Index(pos.Text, what) + 1
		}
		return 0
	}
	switch {
	case strings.Contains(pos.Text, "panic("):
		pos.Column = only("panic(")
	case strings.Contains(message, "divides by zero"):
		pos.Column = only("/")
	case strings.Contains(message, "element"):
		pos.Column = only("[")
	}
	return pos
}

// panics are the Go runtime's messages in plain words.
var panics = []struct {
	pattern *regexp.Regexp
	words   string
}{
	{regexp.MustCompile(`^runtime error: index out of range \[(-?\d+)\] with length (\d+)$`), "there is no element $1: they count from 0, and there are $2"},
	{regexp.MustCompile(`^runtime error: slice bounds out of range \[(.*)\] with (?:length|capacity) (\d+)$`), "there is no part [$1] of elements: they count from 0, and there are $2"},
	{regexp.MustCompile(`^runtime error: slice bounds out of range \[(\d+):(\d+)\]$`), "a part of elements cannot go from $1 back to $2"},
	{regexp.MustCompile(`^runtime error: invalid memory address or nil pointer dereference$`), "a pointer here is nil: nothing has been put into it"},
	{regexp.MustCompile(`^runtime error: integer divide by zero$`), "this divides by zero"},
	{regexp.MustCompile(`^assignment to entry in nil map$`), "this map was never made; make it first, as in m := map[string]int{}"},
	{regexp.MustCompile(`^interface conversion: (?:interface \{\}|\S+) is (\S+), not (\S+)$`), "the value is of type $1, not $2"},
	{regexp.MustCompile(`^interface conversion: (\S+) is not (\S+): missing method (\w+)$`), "a $1 is no $2: it lacks the method $3"},
	{regexp.MustCompile(`^all goroutines are asleep - deadlock!$`), "the program waits for something that will never come (deadlock)"},
	{regexp.MustCompile(`^stack overflow$`), "a function calls itself without end (stack overflow)"},
	{regexp.MustCompile(`^concurrent map (?:writes|read and map write|iteration and map write)$`), "a map is changed by one goroutine while another uses it; guard it with a sync.Mutex"},
	{regexp.MustCompile(`^send on closed channel$`), "this channel is closed, so nothing can be sent to it"},
	{regexp.MustCompile(`^close of closed channel$`), "this channel is closed already"},
	{regexp.MustCompile(`^close of nil channel$`), "this channel was never made"},
	{regexp.MustCompile(`^runtime error: makeslice: (?:len|cap) out of range$`), "nothing can be so long"},
	{regexp.MustCompile(`^runtime error: hash of unhashable type (\S+)$`), "a $1 cannot be the key of a map"},
	{regexp.MustCompile(`^runtime error: comparing uncomparable type (\S+)$`), "values of type $1 cannot be compared"},
	{regexp.MustCompile(`^sync: negative WaitGroup counter$`), "the WaitGroup is done more often than was added"},
	{regexp.MustCompile(`^(?:sync: )?unlock of unlocked mutex$`), "this lock is not locked, so it cannot be unlocked"},
}

// plainPanic puts the value of a panic into plain words.
func plainPanic(text string) string {
	if m := valueOfPanic.FindStringSubmatch(text); m != nil && strings.HasPrefix(m[2], `"`) {
		if s, err := strconv.Unquote(m[2]); err == nil {
			return s // a value of a type of strings
		}
	}
	for _, p := range panics {
		if p.pattern.MatchString(text) {
			return p.pattern.ReplaceAllString(text, p.words) + " (" + strings.TrimPrefix(text, "runtime error: ") + ")"
		}
	}
	return text
}
