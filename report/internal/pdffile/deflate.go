package pdffile

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"sync"
)

// packers are writers at hand: making one costs more than packing a page.
var packers = sync.Pool{New: func() any {
	w, err := zlib.NewWriterLevel(nil, zlib.BestCompression)
	if err != nil {
		panic(err) // the level is one that there is
	}
	return w
}}

// Deflate returns a stream of data, packed. The entries of about are those of its
// dictionary, to which its filter is added.
func Deflate(about Dict, data []byte) (*Stream, error) {
	var b bytes.Buffer
	w := packers.Get().(*zlib.Writer)
	defer packers.Put(w)
	w.Reset(&b)
	if _, err := w.Write(data); err != nil {
		return nil, fmt.Errorf("a stream cannot be packed: %w", err)
	}
	if err := w.Close(); err != nil {
		return nil, fmt.Errorf("a stream cannot be packed: %w", err)
	}
	d := Dict{"Filter": Name("FlateDecode")}
	for k, v := range about {
		d[k] = v
	}
	return &Stream{Dict: d, Data: b.Bytes()}, nil
}
