package session

import (
	"cmp"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/wire"
)

// diagnose returns what is wrong with a cell that has finished, or nil. It
// takes out of the cell's outputs what the error says better.
func (r *run) diagnose(rec *record, reply wire.Reply) *CellError {
	switch {
	case rec.prompt != nil:
		rec.dropErrors()
		return &CellError{
			Place: rec.place, Name: NoInput,
			Message: fmt.Sprintf("it asks for input (%q), and in a run nobody can give it", *rec.prompt),
		}
	case reply.Status == "ok" && rec.exit == "":
		return nil
	case reply.Status == "ok":
		return r.programFailed(rec)
	case reply.EName == gonbError:
		rec.dropErrors()
		return r.kernelFailed(rec, reply)
	default:
		return told(rec, reply)
	}
}

// gonbError is the name gonb gives to all its errors.
const gonbError = "ERROR"

// told makes an error of a reply that says what is wrong with the cell in terms
// of the cell. The kernel's error message stays in the outputs as it is.
func told(rec *record, reply wire.Reply) *CellError {
	e := &CellError{Place: rec.place, Name: reply.EName, Told: true}
	message, more, _ := strings.Cut(strings.TrimSpace(uncoloured(reply.EValue)), "\n")
	e.Message = cmp.Or(message, reply.EName, "the kernel answered with status "+strconv.Quote(reply.Status))
	e.Name = cmp.Or(e.Name, KernelError)
	account := reply.Traceback
	if len(account) == 0 && more != "" {
		account = []string{more}
	}
	for _, entry := range account {
		for line := range strings.Lines(uncoloured(entry)) {
			e.Words = append(e.Words, strings.TrimRight(line, " \r\n"))
		}
	}
	if len(e.Words) > 0 && (e.Words[0] == e.Name+": "+e.Message || e.Words[0] == e.Message) {
		e.Words = e.Words[1:] // it has been said
	}
	if !slices.ContainsFunc(rec.cell.Outputs, func(o *nbformat.Output) bool { return o.Type == nbformat.Error }) {
		rec.add(&nbformat.Output{Type: nbformat.Error, EName: e.Name, EValue: e.Message, Traceback: slices.Clone(e.Words)})
	}
	return e
}

// lost are the names under which a kernel tells that a cell could not be run at
// all, or was lost with all that the cells before it have left.
var lost = []string{"kernel died", "no cell kernel", "setup failed"}

// asLost makes a [*KernelDied] of an account of that kind.
func asLost(e *CellError) error {
	if !e.Told || !slices.Contains(lost, e.Name) {
		return e
	}
	return &KernelDied{Place: e.Place, Err: errors.New(strings.Join(append([]string{e.Message}, e.Words...), "\n")), Told: true}
}

// colours are the terminal sequences that kernels put into tracebacks.
var colours = regexp.MustCompile(`\x1b\[[0-?]*[ -/]*[@-~]`)

func uncoloured(text string) string { return colours.ReplaceAllString(text, "") }

// dropErrors removes the kernel's error messages from the cell's outputs.
func (rec *record) dropErrors() {
	rec.cell.Outputs = slices.DeleteFunc(rec.cell.Outputs, func(o *nbformat.Output) bool { return o.Type == nbformat.Error })
}

var (
	// A line of the compiler about the program made of the cells.
	compilerLine = regexp.MustCompile(`^(?:.*/)?main(?:_test)?\.go:(\d+):(\d+): (.*)$`)
	// What precedes an entry of the traceback if gonb knows the cell.
	gonbHint = regexp.MustCompile(`^Cell\[(\d+)\]: Line (\d+)\n`)
	// What the parser adds to its first error.
	moreErrors = regexp.MustCompile(` \(and \d+ more errors?\)$`)
	// What the compiler puts above its lines about another package.
	packageLine = regexp.MustCompile(`^# (\S+)$`)
	// How the go command fails, after it has said why.
	bareExit = regexp.MustCompile(`^exit status \d+$`)
)

// kernelFailed makes an error of a reply that tells of one. Its value is the
// output of the tool that failed, line by line, and each entry of its traceback
// belongs to one of these lines.
func (r *run) kernelFailed(rec *record, reply wire.Reply) *CellError {
	e := &CellError{Place: rec.place, Name: KernelError}
	find := r.locator()
	for i, line := range strings.Split(reply.EValue, "\n") {
		line = strings.TrimRight(line, " \r")
		if line == "" || bareExit.MatchString(line) || strings.HasPrefix(line, "# gonb_") {
			continue
		}
		if m := packageLine.FindStringSubmatch(line); m != nil && e.Message == "" {
			e.Message = fmt.Sprintf("package %s does not compile", m[1])
			continue
		}
		m := compilerLine.FindStringSubmatch(line)
		if m == nil {
			e.Words = append(e.Words, line)
			continue
		}
		at := hint{line: number(m[1]), column: number(m[2])}
		if i < len(reply.Traceback) {
			if h := gonbHint.FindStringSubmatch(reply.Traceback[i]); h != nil {
				at.count, at.cellLine = number(h[1]), number(h[2])
			}
		}
		pos := find(at)
		message := moreErrors.ReplaceAllString(m[3], "")
		if e.Name != CompileError {
			e.Name, e.Message, e.At = CompileError, message, pos
		}
		e.Words = append(e.Words, fmt.Sprintf("%s: %s", pos.relative(rec.place, at.line), message))
	}
	if e.Message == "" && len(e.Words) > 0 {
		e.Message, e.Words = e.Words[0], e.Words[1:]
	}
	if e.Message == "" {
		e.Message = "the kernel answered with status " + strconv.Quote(reply.Status)
	}
	if e.Name == CompileError && len(e.Words) == 1 {
		e.Words = nil // it is the message
	}
	return e
}

// relative tells the position in the compiler's or program's words: by line,
// and by cell if it is another than here. Lines that belong to no cell are
// counted as in the generated program.
func (p Position) relative(here Place, generated int) string {
	switch {
	case p.Line == 0:
		return fmt.Sprintf("generated line %d", generated)
	case p.Cell != here.Number:
		return fmt.Sprintf("%s, line %d", cellName(p.Cell), p.Line)
	default:
		return fmt.Sprintf("line %d", p.Line)
	}
}

// wordsKept is how many of the last lines a program wrote are told with the
// error.
const wordsKept = 30

// programFailed makes an error of a program that panicked or exited with a
// status other than 0.
func (r *run) programFailed(rec *record) *CellError {
	exit := exitMessage.FindStringSubmatch(rec.exit)[1]
	if trace := rec.cutTrace(); trace != "" {
		return r.panicked(rec, trace)
	}
	e := &CellError{Place: rec.place, Name: exit, Message: "its program ended with " + exit}
	if exit == "signal: killed" {
		e.Message += ", perhaps for want of memory"
	}
	said := strings.TrimSpace(rec.text("stderr"))
	if said != "" && !strings.Contains(said, "\n") {
		e.Message = said // one line can only be the reason
		return e
	}
	if said == "" {
		said = strings.TrimSpace(rec.text("stdout"))
	}
	if said != "" {
		lines := strings.Split(said, "\n")
		e.Words = lines[max(0, len(lines)-wordsKept):]
	}
	return e
}

func number(s string) int {
	n, _ := strconv.Atoi(s) // a run of digits; too many of them are as good as 0
	return n
}
