package pdffile

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"maps"
	"slices"
)

// Update is what is to be appended to a file as its next revision (section 7.5.6).
type Update struct {
	file *File
	next int // number of the next new object
	set  map[Ref]Object
}

// Update begins a revision. The error tells of a file that cannot be appended to.
func (f *File) Update() (*Update, error) {
	if n := f.Tail(); n > 0 {
		return nil, fmt.Errorf("%w: %d bytes stand behind its end", ErrFormat, n)
	}
	size, ok := f.Trailer["Size"].(int64)
	if !ok || size < 1 || size > MaxFile {
		return nil, fmt.Errorf("%w: its trailer does not say how many objects there are", ErrFormat)
	}
	next := int(size)
	for n := range f.places {
		next = max(next, n+1)
	}
	return &Update{file: f, next: next, set: map[Ref]Object{}}, nil
}

// Add adds a new object and returns what refers to it.
func (u *Update) Add(o Object) Ref {
	r := Ref{Number: u.next}
	u.next++
	u.set[r] = o
	return r
}

// Set gives an object another value.
func (u *Update) Set(r Ref, o Object) { u.set[r] = o }

// Bytes returns the file with the revision appended, and where each of its objects
// begins. The bytes before are those of the file. The same update of the same file gives
// the same bytes.
func (u *Update) Bytes() (data []byte, offsets map[Ref]int) {
	var b bytes.Buffer
	b.Write(u.file.data)
	if last := u.file.data[len(u.file.data)-1]; last != '\n' && last != '\r' {
		b.WriteByte('\n')
	}
	refs := slices.SortedFunc(maps.Keys(u.set), func(a, c Ref) int { return a.Number - c.Number })
	offsets = map[Ref]int{}
	for _, r := range refs {
		offsets[r] = b.Len()
		writeObject(&b, r, u.set[r])
	}
	trailer := maps.Clone(u.file.Trailer)
	trailer["Prev"], trailer["Size"] = u.file.table, u.next
	writeEnd(&b, "", refs, offsets, trailer)
	return b.Bytes(), offsets
}

func writeObject(b *bytes.Buffer, r Ref, o Object) {
	fmt.Fprintf(b, "%d %d obj\n%s\nendobj\n", r.Number, r.Generation, Append(nil, o))
}

// writeEnd writes the table of the objects written, the trailer, which is given an
// identifier, and the end mark. The table may begin with entries of free objects.
func writeEnd(b *bytes.Buffer, free string, refs []Ref, offsets map[Ref]int, trailer Dict) {
	table := b.Len()
	b.WriteString("xref\n" + free)
	for i := 0; i < len(refs); {
		run := i + 1
		for run < len(refs) && refs[run].Number == refs[run-1].Number+1 {
			run++
		}
		fmt.Fprintf(b, "%d %d\n", refs[i].Number, run-i)
		for ; i < run; i++ {
			fmt.Fprintf(b, "%010d %05d n \n", offsets[refs[i]], refs[i].Generation)
		}
	}
	trailer["ID"] = id(b.Bytes(), trailer["ID"])
	fmt.Fprintf(b, "trailer\n%s\n%s\n%d\n%s\n", Append(nil, trailer), startWord, table, endMark)
}

// id is the identifier of a file (section 14.4): its first half stays as it is, its second
// follows from the bytes before the trailer, so that nothing depends on the time.
func id(data []byte, old Object) Array {
	sum := sha256.Sum256(data)
	fresh := String(sum[:16])
	if pair, ok := old.(Array); ok && len(pair) == 2 {
		return Array{pair[0], fresh}
	}
	return Array{fresh, fresh}
}
