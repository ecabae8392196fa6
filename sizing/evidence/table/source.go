package table

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"slices"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// marks are the byte order marks.
var marks = []struct {
	encoding Encoding
	mark     string
}{
	{UTF8, "\xef\xbb\xbf"},
	{UTF16LE, "\xff\xfe"},
	{UTF16BE, "\xfe\xff"},
}

// source returns a text as UTF-8 without its byte order mark, and what it was.
func source(r io.Reader, told Encoding) (io.Reader, Encoding, bool, error) {
	if told != "" && !slices.Contains(encodings, told) {
		return nil, "", false, fmt.Errorf("%w %q; want one of %q", ErrEncoding, told, encodings)
	}
	in := bufio.NewReaderSize(r, 4096)
	head, err := in.Peek(1024)
	if err != nil && err != io.EOF && len(head) == 0 {
		return nil, "", false, err
	}
	found, marked := told, false
	for _, m := range marks {
		if bytes.HasPrefix(head, []byte(m.mark)) && (told == "" || told == m.encoding) {
			found, marked = m.encoding, true
			in.Discard(len(m.mark)) // it has been peeked
			head = head[len(m.mark):]
			break
		}
	}
	if found == "" {
		found = UTF8
	}
	if found == UTF8 && bytes.IndexByte(head, 0) >= 0 {
		return nil, "", false, fmt.Errorf("%w: the text holds zero bytes; where it is UTF-16 without a byte order mark, say encoding %q or %q", ErrEncoding, UTF16LE, UTF16BE)
	}
	var d encoding.Encoding
	switch found {
	case UTF8:
		return in, found, marked, nil
	case UTF16LE:
		d = unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM)
	case UTF16BE:
		d = unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM)
	case Windows1252:
		d = charmap.Windows1252
	}
	return d.NewDecoder().Reader(in), found, marked, nil
}
