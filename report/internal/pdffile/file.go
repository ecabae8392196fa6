package pdffile

import (
	"bytes"
	"fmt"
	"maps"
	"regexp"
	"slices"
)

// File is a PDF file that has been read.
type File struct {
	Trailer   Dict       // of the newest revision
	Revisions []Revision // oldest first; there is at least one

	data   []byte
	table  int           // where the newest cross-reference table stands
	places map[int]place // of the newest version of every object, by number
}

// Revision is a state of the file that was saved by appending to the one before.
type Revision struct {
	End     int   // how many bytes of the file belong to it and those before
	Objects []int // the numbers of those it adds or replaces, in order
}

// place is where an object stands.
type place struct{ offset, generation int }

// head is the first line of a PDF file.
var head = regexp.MustCompile(`^%PDF-[12]\.[0-9][\r\n]`)

// mostRevisions is how often a file may have been appended to.
const mostRevisions = 200

// Open reads the structure of a file. The error wraps [ErrFormat], [ErrEncrypted] or
// [ErrSize]. The file keeps data, which must not change.
func Open(data []byte) (*File, error) {
	if len(data) > MaxFile {
		return nil, fmt.Errorf("%w: more than %d bytes", ErrSize, MaxFile)
	}
	if !head.Match(data) {
		return nil, fmt.Errorf("%w: it does not begin with %%PDF-", ErrFormat)
	}
	at := bytes.LastIndex(data, []byte(startWord))
	if at < 0 {
		return nil, fmt.Errorf("%w: it has no end, as if cut short", ErrFormat)
	}
	table, _, err := readEnd(data, at)
	if err != nil {
		return nil, err
	}
	f := &File{data: data, table: table, places: map[int]place{}}
	var sections []section // newest first
	for {
		s, err := readSection(data, table)
		if err != nil {
			return nil, err
		}
		sections = append(sections, s)
		if len(sections) > mostRevisions {
			return nil, fmt.Errorf("%w: more than %d revisions", ErrFormat, mostRevisions)
		}
		prev, more := s.trailer["Prev"]
		if !more {
			break
		}
		before, ok := prev.(int64)
		if !ok || before < 0 || before >= int64(table) {
			return nil, fmt.Errorf("%w: the table before the one at byte %d does not stand before it", ErrFormat, table)
		}
		table = int(before)
	}
	f.Trailer = sections[0].trailer
	if _, encrypted := f.Trailer["Encrypt"]; encrypted {
		return nil, ErrEncrypted
	}
	slices.Reverse(sections)
	start := 0
	for i, s := range sections {
		numbers := slices.Sorted(maps.Keys(s.places))
		for _, n := range numbers {
			if o := s.places[n].offset; o < start || o >= s.table {
				return nil, fmt.Errorf("%w: object %d of revision %d does not stand in that revision", ErrFormat, n, i+1)
			}
		}
		maps.Copy(f.places, s.places)
		for _, n := range s.freed {
			delete(f.places, n)
		}
		f.Revisions = append(f.Revisions, Revision{End: s.end, Objects: numbers})
		start = s.end
	}
	return f, nil
}

// Tail is how many bytes stand behind the newest revision, where nothing should be.
func (f *File) Tail() int { return len(f.data) - f.Revisions[len(f.Revisions)-1].End }

// At returns the file as it was at the end of a revision, counted from 0.
func (f *File) At(revision int) (*File, error) {
	return Open(f.data[:f.Revisions[revision].End:f.Revisions[revision].End])
}

// section is one cross-reference section with its trailer (section 7.5).
type section struct {
	table   int // its offset
	places  map[int]place
	freed   []int
	trailer Dict
	end     int // behind its end mark
}

const (
	startWord = "startxref"
	endMark   = "%%EOF"
)

// readSection reads the table at an offset, the trailer behind it and the end mark.
func readSection(data []byte, table int) (section, error) {
	p := &parser{data: data, at: table}
	s := section{table: table, places: map[int]place{}}
	if table > len(data) || !p.word("xref") {
		return s, fmt.Errorf("%w: no cross-reference table at byte %d; a program that rewrites files may have been at work", ErrFormat, table)
	}
	for !p.word("trailer") {
		if err := p.entries(&s); err != nil {
			return s, err
		}
	}
	o, err := p.object(0)
	if err != nil {
		return s, err
	}
	trailer, ok := o.(Dict)
	if !ok {
		return s, p.fail("the trailer is no dictionary")
	}
	if _, hybrid := trailer["XRefStm"]; hybrid {
		return s, p.fail("a cross-reference stream beside the table")
	}
	s.trailer = trailer
	p.skip()
	own, end, err := readEnd(data, p.at)
	if err == nil && own != table {
		err = p.fail("the end points to byte %d in place of the table at byte %d", own, table)
	}
	s.end = end
	return s, err
}

// entries reads one run of entries of a table.
func (p *parser) entries(s *section) error {
	first, err := p.integer()
	if err != nil {
		return err
	}
	count, err := p.integer()
	if err != nil {
		return err
	}
	const least = 18 // bytes of an entry
	if count > (len(p.data)-p.at)/least {
		return p.fail("a table of %d entries", count)
	}
	for n := first; n < first+count; n++ {
		offset, err := p.integer()
		if err != nil {
			return err
		}
		generation, err := p.integer()
		if err != nil {
			return err
		}
		_, twice := s.places[n]
		switch {
		case twice:
			return p.fail("object %d twice in one table", n)
		case p.word("n"):
			s.places[n] = place{offset, generation}
		case p.word("f"):
			s.freed = append(s.freed, n)
		default:
			return p.fail("an entry that is neither used nor free")
		}
	}
	return nil
}

// readEnd reads, from an offset on, the offset of the table and the end mark, and
// returns where the line of the mark ends.
func readEnd(data []byte, at int) (table, end int, err error) {
	p := &parser{data: data, at: at}
	if !p.word(startWord) {
		return 0, 0, p.fail("no " + startWord)
	}
	if table, err = p.integer(); err != nil {
		return 0, 0, err
	}
	for p.at < len(data) && isWhite(data[p.at]) {
		p.at++
	}
	if !bytes.HasPrefix(data[p.at:], []byte(endMark)) {
		return 0, 0, p.fail("no end mark, as if cut short")
	}
	p.at += len(endMark)
	for _, eol := range []string{"\r\n", "\n", "\r"} {
		if bytes.HasPrefix(data[p.at:], []byte(eol)) {
			p.at += len(eol)
			break
		}
	}
	return table, p.at, nil
}
