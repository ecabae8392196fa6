package cell

import (
	"sort"
	"strings"
)

// builder writes a program of pieces of cells and knows for each byte where it is
// from.
type builder struct {
	out      strings.Builder
	segments []segment
}

// segment is a run of bytes taken from a cell.
type segment struct {
	out int // in the program
	src *source
	at  int // in the cell
	n   int
}

// edit replaces a part of a text.
type edit struct {
	from, to int
	text     string
}

func (b *builder) text(parts ...string) {
	for _, s := range parts {
		b.out.WriteString(s)
	}
}

// code copies a part of a cell.
func (b *builder) code(src *source, from, to int) {
	if from < to {
		b.segments = append(b.segments, segment{b.out.Len(), src, from, to - from})
		b.out.WriteString(src.text[from:to])
	}
}

// piece copies a part of a cell with edits within it.
func (b *builder) piece(src *source, from, to int, edits []edit) {
	sort.SliceStable(edits, func(i, j int) bool { return edits[i].from < edits[j].from })
	for _, e := range edits {
		if e.from < from || e.to > to {
			continue
		}
		b.code(src, from, e.from)
		if e.text != "" {
			if e.from < e.to {
				// What is written in place of something belongs there.
				b.segments = append(b.segments, segment{b.out.Len(), src, e.from, 0})
			}
			b.out.WriteString(e.text)
		}
		from = e.to
	}
	b.code(src, from, to)
}

// locate finds where in a cell a byte of the program is from. What was written in
// between belongs to what follows it on its line, or else to what precedes it.
func (b *builder) locate(at int) (src *source, offset int, ok bool) {
	i := sort.Search(len(b.segments), func(i int) bool { return b.segments[i].out > at })
	if i > 0 {
		s := b.segments[i-1]
		if at <= s.out+s.n {
			return s.src, s.at + at - s.out, true
		}
		if s.n == 0 { // within what replaces something
			return s.src, s.at, true
		}
	}
	program := b.out.String()
	if i < len(b.segments) && !strings.Contains(program[at:b.segments[i].out], "\n") {
		return b.segments[i].src, b.segments[i].at, true
	}
	if i > 0 {
		s := b.segments[i-1]
		if end := s.out + s.n; !strings.Contains(program[end:at], "\n") {
			return s.src, max(s.at+s.n-1, s.at), true
		}
	}
	return nil, 0, false
}

// at returns the offset of a line and column of the program, which count from 1.
// A column of 0 stands for the first that comes from a cell.
func (b *builder) at(line, column int) (offset int, ok bool) {
	program := b.out.String()
	start := 0
	for ; line > 1; line-- {
		i := strings.IndexByte(program[start:], '\n')
		if i < 0 {
			return 0, false
		}
		start += i + 1
	}
	end := start + strings.IndexByte(program[start:]+"\n", '\n')
	if column > 0 {
		return min(start+column-1, end), true
	}
	for _, s := range b.segments {
		if s.out+s.n > start && s.out <= end && s.n > 0 {
			return max(s.out, start), true
		}
	}
	return 0, false
}

// back finds where in the program a byte of a cell went, the first place if there
// are several.
func (b *builder) back(src *source, at int) (offset int, ok bool) {
	for _, s := range b.segments {
		if s.src == src && s.at <= at && at <= s.at+s.n {
			return s.out + at - s.at, true
		}
	}
	return 0, false
}
