package relay

import (
	"fmt"
	"regexp"
	"strings"
)

// plain is the Cells that run cells as they are.
type plain struct{}

func (plain) Rewrite(code string) (Prepared, error) { return Prepared{Code: code}, nil }
func (plain) Reset() (string, error)                { return "", nil }

// explain puts the failure of a prepared cell into words.
func explain(p Prepared, f Failure) *Explanation {
	if p.Explain != nil {
		if e := p.Explain(f); e != nil {
			return e
		}
	}
	return plainly(f)
}

// plainly puts a failure into words without knowing what the user wrote.
func plainly(f Failure) *Explanation {
	switch f.Kind {
	case Refused:
		return refused(f)
	case Exited:
		return exited(f)
	case Asked:
		return &Explanation{
			Name:  "no input",
			Value: fmt.Sprintf("the cell asks for input (%q), and here nobody can give it", strings.TrimSpace(f.Words)),
		}
	case Died:
		e := &Explanation{Name: "kernel died", Value: firstLine(f.Words)}
		e.Traceback = append(strings.Split(f.Words, "\n"),
			"The next cell is run by a new one, which does not know what earlier cells declared.")
		return e
	}
	e := &Explanation{Name: "interrupted", Value: "the cell was interrupted"}
	if f.Words != "" {
		e.Value = f.Words
	}
	if f.Lost {
		e.Traceback = []string{e.Error(),
			"It did not heed that, and the cell kernel had to be ended with it.",
			"The next cell is run by a new one, which does not know what earlier cells declared."}
	}
	return e
}

func firstLine(s string) string {
	line, _, _ := strings.Cut(s, "\n")
	return line
}

// noKernel explains that the cell kernel did not start.
func noKernel(err error) *Explanation {
	return &Explanation{
		Name:      "no cell kernel",
		Value:     firstLine(err.Error()),
		Traceback: append([]string{"The cell kernel, which runs the cells, did not start:"}, strings.Split(err.Error(), "\n")...),
	}
}

// badSetup explains that what cells rely on could not be set up.
func badSetup(e *Explanation) *Explanation {
	return &Explanation{
		Name: "setup failed", Value: e.Value,
		Traceback: append([]string{"What all cells rely on could not be set up:"}, e.traceback()...),
	}
}

var (
	// A line of the compiler about the program made of the cells.
	compilerLine = regexp.MustCompile(`^(?:.*/)?main(?:_test)?\.go:\d+:\d+: (.*)$`)
	// What the go command puts above and below the compiler's lines.
	goCommandLine = regexp.MustCompile(`^(?:# gonb_.*|exit status \d+|)$`)
	// The folder the cell kernel builds in, which means nothing to a user.
	buildFolder = regexp.MustCompile(`[^\s"]*/gonb_\w+/`)
	colour      = regexp.MustCompile("\x1b\\[[0-9;]*m")
)

// refused explains that the cell kernel could not build or do what the cell
// wants, in its own words.
func refused(f Failure) *Explanation {
	e := &Explanation{Name: "error"}
	lines := strings.Split(f.Words, "\n")
	for i, line := range lines {
		line = strings.TrimRight(line, " \r")
		if goCommandLine.MatchString(line) {
			continue
		}
		line = buildFolder.ReplaceAllString(line, "")
		if m := compilerLine.FindStringSubmatch(line); m != nil && e.Name == "error" {
			e.Name, e.Value = "compile error", m[1]
		}
		if len(f.Remarks) == len(lines) {
			line = strings.TrimSpace(colour.ReplaceAllString(buildFolder.ReplaceAllString(f.Remarks[i], ""), ""))
		}
		e.Traceback = append(e.Traceback, line)
	}
	if e.Value == "" && len(e.Traceback) > 0 {
		e.Value = firstLine(e.Traceback[0])
	}
	if e.Value == "" {
		e.Value = "the cell kernel refused the cell without a word"
	}
	if e.Name == "compile error" {
		e.Traceback = append([]string{e.Error()}, e.Traceback...)
	}
	return e
}

// traceLines limits the account of a panic.
const traceLines = 30

var (
	// The line of the account that says what happened.
	traceMessage = regexp.MustCompile(`(?m)^(panic|fatal error): (.*)$`)
	// The offset of a frame in its function.
	offset = regexp.MustCompile(`(?m) \+0x[0-9a-f]+$`)
)

// exited explains how the program of a cell failed.
func exited(f Failure) *Explanation {
	if m := traceMessage.FindStringSubmatch(f.Trace); m != nil {
		e := &Explanation{Name: m[1], Value: m[2]}
		account := buildFolder.ReplaceAllString(offset.ReplaceAllString(f.Trace, ""), "")
		e.Traceback = strings.Split(strings.TrimSpace(account), "\n")
		if more := len(e.Traceback) - traceLines; more > 0 {
			e.Traceback = append(e.Traceback[:traceLines], fmt.Sprintf("… %d more lines", more))
		}
		return e
	}
	e := &Explanation{Name: f.Status, Value: "the program of the cell ended with " + f.Status}
	if f.Status == "signal: killed" {
		e.Value += ", perhaps for want of memory"
	}
	if said := strings.TrimSpace(f.Stderr); said != "" && !strings.Contains(said, "\n") {
		e.Value = said // one line can only be the reason
	}
	return e
}
