package attach

import (
	"fmt"

	"example.com/railbook/report/internal/pdffile"
)

// ErrPDF marks a file that is not a PDF as reports are, [ErrEncrypted] one that is
// encrypted and [ErrSize] one that is, or holds what is, too large to be one.
var (
	ErrPDF       = pdffile.ErrFormat
	ErrEncrypted = pdffile.ErrEncrypted
	ErrSize      = pdffile.ErrSize
)

// Files returns what is attached to a PDF, in the order of its list. A PDF without
// attachments gives none. The error wraps [ErrPDF], [ErrEncrypted], [ErrSize] or
// [ErrFile]; no file is then returned.
func Files(pdf []byte) ([]File, error) {
	f, err := pdffile.Open(pdf)
	if err != nil {
		return nil, err
	}
	_, catalogue, err := f.Root()
	if err != nil {
		return nil, err
	}
	trees, err := f.Dict(catalogue["Names"])
	if err != nil {
		return nil, err
	}
	r := reader{f: f}
	if err := r.node(trees["EmbeddedFiles"], 0); err != nil {
		return nil, err
	}
	return r.files, nil
}

// reader takes attachments out of a name tree (section 7.9.6).
type reader struct {
	f     *pdffile.File
	files []File
	nodes int
	bytes int
}

// What a tree of names can be at most.
const (
	deepestNode = 8
	mostNodes   = 4 * MostFiles
	mostInAll   = 4 * MostBytes
)

func (r *reader) node(o pdffile.Object, depth int) error {
	d, err := r.f.Dict(o)
	if err != nil {
		return err
	}
	if r.nodes++; depth > deepestNode || r.nodes > mostNodes {
		return fmt.Errorf("%w: more attachments than a report has", ErrSize)
	}
	names, err := r.f.Array(d["Names"])
	if err != nil {
		return err
	}
	for i := 1; i < len(names); i += 2 {
		if err := r.file(names[i]); err != nil {
			return err
		}
	}
	kids, err := r.f.Array(d["Kids"])
	if err != nil {
		return err
	}
	for _, k := range kids {
		if err := r.node(k, depth+1); err != nil {
			return err
		}
	}
	return nil
}

// file takes out one file by its description (section 7.11.3).
func (r *reader) file(o pdffile.Object) error {
	spec, err := r.f.Dict(o)
	if err != nil {
		return err
	}
	if len(r.files) == MostFiles {
		return fmt.Errorf("%w: more than %d attachments", ErrSize, MostFiles)
	}
	var file File
	name, ok := spec["UF"].(pdffile.String)
	if !ok {
		name, _ = spec["F"].(pdffile.String)
	}
	file.Name = pdffile.Text(name)
	if err := PlainName(file.Name); err != nil {
		return err
	}
	for _, other := range r.files {
		if other.Name == file.Name {
			return fmt.Errorf("%w: two attachments are named %q", ErrPDF, file.Name)
		}
	}
	if text, ok := spec["Desc"].(pdffile.String); ok {
		file.Description = pdffile.Text(text)
	}
	file.Relation = Other
	if n, ok := spec["AFRelationship"].(pdffile.Name); ok {
		file.Relation = Relation(n)
	}
	kinds, err := r.f.Dict(spec["EF"])
	if err != nil {
		return err
	}
	stream, plain := kinds["UF"], kinds["F"]
	switch {
	case stream == nil:
		stream = plain
	case plain != nil && plain != stream:
		return fmt.Errorf("%w: the attachment %q has two contents", ErrPDF, file.Name)
	}
	content, err := r.f.Resolve(stream)
	if err != nil {
		return err
	}
	s, ok := content.(*pdffile.Stream)
	if !ok {
		return fmt.Errorf("%w: the attachment %q has no content", ErrPDF, file.Name)
	}
	if n, ok := s.Dict["Subtype"].(pdffile.Name); ok {
		file.Type = string(n)
	}
	file.Data, err = r.f.Inflate(s, min(MostBytes, mostInAll-r.bytes))
	if err != nil {
		return fmt.Errorf("the attachment %q: %w", file.Name, err)
	}
	r.bytes += len(file.Data)
	r.files = append(r.files, file)
	return nil
}
