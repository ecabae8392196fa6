package attach

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"example.com/railbook/report/internal/pdffile"
)

// version is that of PDF in which everything that is appended is known.
const version = "%PDF-1.7"

// Add returns the PDF with the files attached and the document described. The error
// wraps [ErrFile] for files that cannot be attached, and tells of a PDF that cannot be
// read.
func Add(pdf []byte, about About, files []File) ([]byte, error) {
	files = slices.Clone(files)
	// A name tree is in the order of its names.
	slices.SortFunc(files, func(a, b File) int { return strings.Compare(a.Name, b.Name) })
	if err := acceptable(files); err != nil {
		return nil, err
	}
	if bytes.HasPrefix(pdf, []byte("%PDF-1.")) {
		pdf = append([]byte(version), pdf[min(len(version), len(pdf)):]...)
	}
	f, err := pdffile.Open(pdf)
	if err != nil {
		return nil, err
	}
	root, catalogue, err := f.Root()
	if err != nil {
		return nil, err
	}
	u, err := f.Update()
	if err != nil {
		return nil, err
	}
	names, all := pdffile.Array{}, pdffile.Array{}
	for _, file := range files {
		r, err := add(u, file, about)
		if err != nil {
			return nil, err
		}
		names = append(names, pdffile.Encode(file.Name), r)
		all = append(all, r)
	}
	trees, err := f.Dict(catalogue["Names"])
	if err != nil {
		return nil, err
	}
	trees = clone(trees)
	trees["EmbeddedFiles"] = pdffile.Dict{"Names": names}
	catalogue = clone(catalogue)
	catalogue["Names"], catalogue["AF"] = trees, all
	catalogue["Lang"] = pdffile.Encode(about.Language)
	catalogue["Metadata"] = u.Add(&pdffile.Stream{
		Dict: pdffile.Dict{"Type": pdffile.Name("Metadata"), "Subtype": pdffile.Name("XML")},
		Data: about.xmp(),
	})
	viewer, err := f.Dict(catalogue["ViewerPreferences"])
	if err != nil {
		return nil, err
	}
	viewer = clone(viewer)
	viewer["DisplayDocTitle"] = true
	catalogue["ViewerPreferences"] = viewer
	u.Set(root, catalogue)
	data, _ := u.Bytes()
	return data, nil
}

// clone copies a dictionary; nil gives an empty one.
func clone(d pdffile.Dict) pdffile.Dict {
	c := maps.Clone(d)
	if c == nil {
		c = pdffile.Dict{}
	}
	return c
}

// add adds one file and returns what refers to its description.
func add(u *pdffile.Update, file File, about About) (pdffile.Ref, error) {
	date := pdffile.Date(about.Date)
	packed, err := pdffile.Deflate(pdffile.Dict{
		"Type": pdffile.Name("EmbeddedFile"), "Subtype": pdffile.Name(file.Type),
		"Params": pdffile.Dict{"Size": len(file.Data), "CreationDate": date, "ModDate": date},
	}, file.Data)
	if err != nil {
		return pdffile.Ref{}, err
	}
	stream := u.Add(packed)
	name, relation := pdffile.Encode(file.Name), file.Relation
	if relation == "" {
		relation = Other
	}
	return u.Add(pdffile.Dict{
		"Type": pdffile.Name("Filespec"), "F": name, "UF": name, "Desc": pdffile.Encode(file.Description),
		"AFRelationship": pdffile.Name(relation), "EF": pdffile.Dict{"F": stream, "UF": stream},
	}), nil
}

// acceptable refuses files, in the order of their names, that cannot be attached.
func acceptable(files []File) error {
	if len(files) > MostFiles {
		return fmt.Errorf("%d files %w: more than %d", len(files), ErrFile, MostFiles)
	}
	for i, f := range files {
		if err := PlainName(f.Name); err != nil {
			return err
		}
		if len(f.Data) > MostBytes {
			return fmt.Errorf("%s %w: it has %d bytes, more than %d", f.Name, ErrFile, len(f.Data), MostBytes)
		}
		if i > 0 && files[i-1].Name == f.Name {
			return fmt.Errorf("%s %w: there are two of that name", f.Name, ErrFile)
		}
	}
	return nil
}

// PlainName returns nil for a name that a file can have in any folder: no folder in it,
// nothing that cannot be seen, and nothing that a system gives a meaning of its own.
func PlainName(name string) error {
	why := ""
	switch {
	case strings.TrimSpace(name) == "":
		why = "it is empty"
	case len(name) > mostName:
		why = fmt.Sprintf("it is longer than %d bytes", mostName)
	case strings.ToValidUTF8(name, "") != name || strings.IndexFunc(name, func(r rune) bool { return !unicode.IsPrint(r) }) >= 0:
		why = "it holds what cannot be printed"
	case strings.ContainsAny(name, `/\:*?"<>|`), strings.HasPrefix(name, "."), strings.HasPrefix(name, "-"), strings.HasSuffix(name, " "):
		why = `it must not hold / \ : * ? " < > or |, nor begin with a point or a hyphen`
	default:
		return nil
	}
	return fmt.Errorf("a file named %q %w: %s", name[:min(len(name), 60)], ErrFile, why)
}
