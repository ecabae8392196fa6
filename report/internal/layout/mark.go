package layout

import (
	"crypto/rand"
	"net/url"
	"strings"

	"example.com/railbook/report/internal/typeface"
)

// Links and the places that they lead to are marked in the text itself, so that words may
// come as strings from anywhere and go into paragraphs, lists, cells and tables alike. A
// mark is not printed. It is made of noncharacters, which Unicode keeps for use within a
// program, and begins with a word that no other text can know, so that what somebody
// writes into a build sheet is never taken for one:
//
//	opening target divides text closes   a link
//	opening name closes                  a place
const (
	opens   = "\ufdd0"
	divides = "\ufdd1"
	closes  = "\ufdd2"
)

// opening begins a mark. It is another one in every run of the program, and in no file.
var opening = opens + rand.Text() + opens

// Link returns text that leads to a place of the document, which is made anywhere in it
// by [Anchor] or comes with a section ("section-3", "appendix-A"), a table ("table-7") or
// a figure ("figure-2"); or to a page of the web, where the target is its whole address.
// It is printed with a line under it. Links do not
// stand in one another. A target that is nowhere in the document makes [Doc.PDF] fail.
func Link(target, text string) string {
	if Plain(text) == "" {
		return text
	}
	return opening + target + divides + Plain(text) + closes
}

// Anchor returns a mark that takes no room and makes the place where it stands one that
// links lead to. Put it before the text that it names. A name twice in a document makes
// [Doc.PDF] fail.
func Anchor(name string) string { return opening + name + closes }

// Plain returns text without its marks, as it is printed.
func Plain(text string) string {
	plain, _ := unmark(text)
	return plain
}

// mark is a link or a place in a text.
type mark struct {
	from, to int    // bytes of the text, without marks; of a place, both are the same
	target   string // or the name of the place
	anchor   bool
}

// unmark takes the marks out of a text. What is no whole mark stays.
func unmark(text string) (plain string, marks []mark) {
	if !strings.Contains(text, opening) {
		return text, nil
	}
	var b strings.Builder
	for {
		before, rest, found := strings.Cut(text, opening)
		b.WriteString(before)
		if !found {
			return b.String(), marks
		}
		inner, after, closed := strings.Cut(rest, closes)
		if !closed || strings.Contains(inner, opening) {
			b.WriteString(opens)
			text = rest
			continue
		}
		target, words, link := strings.Cut(inner, divides)
		m := mark{from: b.Len(), target: target, anchor: !link}
		b.WriteString(words)
		m.to = b.Len()
		marks = append(marks, m)
		text = after
	}
}

// run is a part of a line that is a link.
type run struct {
	from, to int // bytes of the line
	target   string
}

// locate finds the marks of a text in its lines, by how many bytes that are no white
// space stand before them: these are the same before and after lines are broken.
func locate(lines []setLine, plain string, marks []mark) {
	for _, m := range marks {
		from, to := inked(plain[:m.from]), inked(plain[:m.to])
		if m.anchor {
			l := lineOf(lines, from)
			l.anchors = append(l.anchors, m.target)
			continue
		}
		seen := 0 // before the line
		for i := range lines {
			l := &lines[i]
			own := l.inked()
			if max(from, seen) < min(to, seen+own) {
				l.links = append(l.links, run{behind(l.text, from-seen), behind(l.text, to-seen-1) + 1, m.target})
			}
			seen += own
		}
	}
}

// lineOf returns the line of what has n bytes before it; of the end of a text, the last.
func lineOf(lines []setLine, n int) *setLine {
	for i := range lines {
		if n -= lines[i].inked(); n < 0 {
			return &lines[i]
		}
	}
	return &lines[len(lines)-1]
}

// inked is how many bytes of a line are no white space.
func (l *setLine) inked() int { return len(l.text) - strings.Count(l.text, " ") }

// inked is how many bytes of a text come out in its lines, white space left out.
func inked(text string) int {
	text, _ = typeface.Printable(text)
	return len(text) - strings.Count(text, " ")
}

// behind returns the place in a line of the byte that has n before it, spaces left out.
func behind(line string, n int) int {
	for i := range len(line) {
		if line[i] == ' ' {
			continue
		}
		if n <= 0 {
			return i
		}
		n--
	}
	return len(line) - 1
}

// web returns the address of a page of the web as a file has it, in ASCII, and whether a
// target is one.
func web(target string) (address string, ok bool) {
	u, err := url.Parse(target)
	if err != nil || u.Scheme != "https" && u.Scheme != "http" || u.Host == "" {
		return "", false
	}
	return u.String(), true
}
