// Package pdftext reads the words back out of the PDF files that package layout
// writes, for tests and to check reports. It is no reader of PDF at large: it knows the
// one way in which those files hold text.
package pdftext

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf16"
)

// ErrFormat marks a file that is not written in the way this package knows.
var ErrFormat = errors.New("not a PDF of package layout")

// Pages returns the pieces of text on every page, in the order they were drawn.
func Pages(file []byte) ([][]string, error) {
	var pages [][]string
	for rest := file; ; {
		start := bytes.Index(rest, []byte("stream\n"))
		if start < 0 {
			break
		}
		end := bytes.Index(rest[start:], []byte("\nendstream"))
		if end < 0 {
			return nil, fmt.Errorf("%w: a stream has no end", ErrFormat)
		}
		// What describes the stream stands between its object's number and itself.
		about := rest[max(0, bytes.LastIndex(rest[:start], []byte(" obj"))):start]
		data := rest[start+len("stream\n") : start+end]
		rest = rest[start+end+len("\nendstream"):]
		// Pages are bare: a length and a filter. Fonts and pictures say more.
		if !bytes.Contains(about, []byte("<</Filter /FlateDecode /Length")) || bytes.Contains(about, []byte("/Type")) || bytes.Contains(about, []byte("/Length1")) {
			continue
		}
		content, err := inflate(data)
		if err != nil {
			return nil, fmt.Errorf("%w: %v", ErrFormat, err)
		}
		if !bytes.Contains(content, []byte("BT ")) {
			continue
		}
		words, err := Texts(content)
		if err != nil {
			return nil, err
		}
		pages = append(pages, words)
	}
	if len(pages) == 0 {
		return nil, fmt.Errorf("%w: no page", ErrFormat)
	}
	return pages, nil
}

func inflate(data []byte) ([]byte, error) {
	r, err := zlib.NewReader(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	return io.ReadAll(r)
}

// Texts returns the strings that the content of a page shows, in the order they were
// drawn: those in parentheses before Tj.
func Texts(content []byte) ([]string, error) {
	var list []string
	for i := 0; i < len(content); i++ {
		if content[i] != '(' {
			continue
		}
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
			return nil, fmt.Errorf("%w: a text of %d bytes", ErrFormat, len(raw))
		}
		units := make([]uint16, len(raw)/2)
		for k := range units {
			units[k] = uint16(raw[2*k])<<8 | uint16(raw[2*k+1])
		}
		list = append(list, string(utf16.Decode(units)))
	}
	return list, nil
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
