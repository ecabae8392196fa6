// Package pdftext reads the words back out of the PDF files that package layout
// writes, for tests and to check reports. It is no reader of PDF at large: it knows the
// one way in which those files hold text.
package pdftext

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode/utf16"

	"example.com/railbook/report/internal/pdffile"
)

// ErrFormat marks a file that is not written in the way this package knows.
var ErrFormat = errors.New("not a PDF of package layout")

// Pages returns the pieces of text on every page, in the order they were drawn.
func Pages(file []byte) ([][]string, error) {
	placed, err := Placed(file)
	if err != nil {
		return nil, err
	}
	pages := make([][]string, len(placed))
	for i, pieces := range placed {
		for _, p := range pieces {
			pages[i] = append(pages[i], p.Text)
		}
	}
	return pages, nil
}

// Placed is [Pages] with where and how each piece stands.
func Placed(file []byte) ([][]Piece, error) {
	f, err := pdffile.Open(file)
	if err != nil {
		return nil, err
	}
	list, err := f.Pages()
	if err != nil {
		return nil, err
	}
	pages := make([][]Piece, len(list))
	for i, p := range list {
		content, err := f.Content(p)
		if err != nil {
			return nil, err
		}
		if pages[i], err = Pieces(content); err != nil {
			return nil, err
		}
		resources, err := f.Dict(p.Dict["Resources"])
		if err != nil {
			return nil, err
		}
		fonts, err := f.Dict(resources["Font"])
		if err != nil {
			return nil, err
		}
		for k := range pages[i] {
			piece := &pages[i][k]
			font, err := f.Dict(fonts[pdffile.Name(piece.Font)])
			if err != nil {
				return nil, err
			}
			name, _ := font["BaseFont"].(pdffile.Name)
			_, piece.Font, _ = strings.Cut(string(name), "+")
		}
	}
	return pages, nil
}

// Texts returns the strings that the content of a page shows, in the order they were
// drawn.
func Texts(content []byte) ([]string, error) {
	var list []string
	err := scan(content, func(text string, _, _ []byte) { list = append(list, text) })
	return list, err
}

// Piece is a string that a page shows, with the point where its line of writing begins,
// in points from the page's lower left corner.
type Piece struct {
	Text string
	X, Y float64
	Font string  // its name; [Pieces] has that which the page gives it
	Size float64 // of the type, in points
}

// Pieces returns the strings that the content of a page shows, in the order they were
// drawn, with where and how they stand. What is written in another way than package
// layout writes stands at 0, 0, or is set in no font.
func Pieces(content []byte) ([]Piece, error) {
	var list []Piece
	err := scan(content, func(text string, begins, font []byte) {
		p := Piece{Text: text}
		_, _ = fmt.Sscanf(string(begins), "BT %f %f Td", &p.X, &p.Y)
		_, _ = fmt.Sscanf(string(font), "/%s %f Tf", &p.Font, &p.Size)
		list = append(list, p)
	})
	return list, err
}

// scan calls a function with every string that the content of a page shows, which is one
// in parentheses before Tj, and with the operators that say where it stands and in which
// font.
func scan(content []byte, show func(text string, begins, font []byte)) error {
	// Where the last text began, the last name, and the last choice of a font.
	var begins, name, font int
	for i := 0; i < len(content); i++ {
		switch rest := content[i:]; {
		case rest[0] == '/':
			name = i
		case bytes.HasPrefix(rest, []byte("BT ")):
			begins = i
		case bytes.HasPrefix(rest, []byte(" Tf")):
			font = name
		}
		if content[i] != '(' {
			continue
		}
		start := i
		var raw []byte
		for i++; i < len(content) && content[i] != ')'; i++ {
			if content[i] == '\\' && i+1 < len(content) {
				i++
				if content[i] == 'r' {
					raw = append(raw, '\r')
					continue
				}
			}
			raw = append(raw, content[i])
		}
		if !bytes.HasPrefix(content[min(i+1, len(content)):], []byte(" Tj")) {
			continue
		}
		if len(raw)%2 != 0 {
			return fmt.Errorf("%w: a text of %d bytes", ErrFormat, len(raw))
		}
		units := make([]uint16, len(raw)/2)
		for k := range units {
			units[k] = uint16(raw[2*k])<<8 | uint16(raw[2*k+1])
		}
		const most = 200 // bytes of an operator
		show(string(utf16.Decode(units)), content[begins:min(start, begins+most)], content[font:min(start, font+most)])
	}
	return nil
}

// Join puts the pieces of all pages behind one another with single spaces, as a
// reader takes them in who goes from one to the next.
func Join(pages [][]string) string {
	var b strings.Builder
	for _, p := range pages {
		for _, s := range p {
			b.WriteString(strings.Join(strings.Fields(s), " "))
			b.WriteByte(' ')
		}
	}
	return b.String()
}
