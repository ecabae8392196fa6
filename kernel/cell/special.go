package cell

import (
	"bytes"
	"slices"
	"strings"
)

// mode is how a cell is run.
type mode int

const (
	bareMode mode = iota // statements in the order they stand
	mainMode             // "%%" or "%main": what follows is the body of func main
	execMode             // "%exec f": a function of the session is called
	testMode             // "%test": the cell's tests are run
	wasmMode             // "%wasm": the cell is run in the browser
)

// special is what the lines for the cell kernel itself ask for.
type special struct {
	// whole is set where the cell as a whole is for the kernel.
	whole bool
	lines []string // for the kernel, in order
	mode  mode
	call  string // the function that %exec names
	// body is where in the text the body of main begins, in mainMode.
	body int
	// text is the cell with its special lines blank: what is Go keeps its place.
	text string
	// reset is set by %reset, and removed lists what %rm names.
	reset   bool
	removed []string
	lists   []int // the lines that ask for a list of definitions
}

// wholeCell are the words at the beginning of a cell by which it is no Go.
var wholeCell = []string{"%%writefile", "%%script", "%%bash", "%%sh", "%%gx"}

// commentPrefix may stand before special lines, for editors that know Go.
const commentPrefix = "//gonb:"

// readSpecial finds the lines that are for the cell kernel. They are those that
// it takes for its own, wherever they stand.
func readSpecial(code string) special {
	lines := strings.Split(code, "\n")
	if words := strings.Fields(strings.TrimPrefix(lines[0], commentPrefix)); len(words) > 0 && slices.Contains(wholeCell, words[0]) {
		return special{whole: true, lines: []string{code}}
	}
	s := special{}
	text := []byte(code)
	offset := 0
	for i := 0; i < len(lines); i++ {
		end := offset + len(lines[i])
		line := strings.TrimPrefix(lines[i], commentPrefix)
		if len(line) < 2 || line[0] != '%' && line[0] != '!' {
			offset = end + 1
			continue
		}
		from := offset
		joined := line
		for strings.HasSuffix(joined, `\`) && i+1 < len(lines) { // it goes on
			i++
			offset = end + 1
			end = offset + len(lines[i])
			joined = strings.TrimSuffix(joined, `\`) + " " + strings.TrimPrefix(lines[i], commentPrefix)
		}
		blank(text, from, end)
		s.take(strings.TrimRight(joined, "\r"), end)
		offset = end + 1
	}
	// Comments that tell the compiler another place would lead astray.
	for _, directive := range []string{"//line ", "/*line "} {
		for i := 0; ; {
			at := bytes.Index(text[i:], []byte(directive))
			if at < 0 {
				break
			}
			i += at + 2
			text[i] = 'L'
		}
	}
	s.text = string(text)
	return s
}

// blank overwrites text with spaces, but for the ends of lines.
func blank(text []byte, from, to int) {
	for i := from; i < to; i++ {
		if text[i] != '\n' {
			text[i] = ' '
		}
	}
}

// take sorts in one special line, which ends at an offset of the text.
func (s *special) take(line string, end int) {
	command := strings.TrimLeft(line[1:], " \t")
	if command == "" {
		return // the kernel would stumble over it
	}
	word, rest := command, ""
	if i := strings.IndexAny(command, " \t"); i >= 0 {
		word, rest = command[:i], strings.TrimSpace(command[i:])
	}
	if line[0] == '!' {
		s.lines = append(s.lines, line)
		return
	}
	switch word {
	case "%", "main":
		if s.mode == bareMode {
			s.mode, s.body = mainMode, end
		}
		line = "%args " + rest
	case "exec":
		s.mode = execMode
		s.call, rest, _ = strings.Cut(rest, " ")
		line = "%args " + rest
	case "test":
		s.mode = testMode
	case "wasm":
		s.mode = wasmMode
	case "reset":
		s.reset = true
	case "rm", "remove":
		s.removed = append(s.removed, strings.Fields(rest)...)
		return
	case "ls", "list":
		s.lists = append(s.lists, len(s.lines))
	}
	s.lines = append(s.lines, line)
}
