package page

import (
	"strings"
	"testing"

	"example.com/railbook/kernel/nbformat"
)

// dot is a PNG of 4 by 2 pixels.
const dot = "iVBORw0KGgoAAAANSUhEUgAAAAQAAAACCAIAAADwyuo0AAAAEElEQVR42mPgCs+AIwZkDgBO0gZJ9W8tQwAAAABJRU5ErkJggg=="

const svgDot = `<?xml version="1.0"?><!-- a dot --><svg xmlns="http://www.w3.org/2000/svg"><circle r="1"/></svg>`

func TestPicture(t *testing.T) {
	for name, tc := range map[string]struct {
		data map[string]string
		size string // JSON of the metadata for image/png
		kind string // of the data URL, "" for no picture
		w, h int
		alt  string
	}{
		"png":               {data: map[string]string{"image/png": dot, "text/plain": "A dot."}, kind: "image/png", w: 4, h: 2, alt: "A dot."},
		"in lines":          {data: map[string]string{"image/png": dot[:40] + "\n" + dot[40:] + "\n"}, kind: "image/png", w: 4, h: 2},
		"half size":         {data: map[string]string{"image/png": dot}, size: `{"width": 2}`, kind: "image/png", w: 2, h: 1},
		"by height":         {data: map[string]string{"image/png": dot}, size: `{"height": 4}`, kind: "image/png", w: 8, h: 4},
		"senseless size":    {data: map[string]string{"image/png": dot}, size: `{"width": -1, "height": "x"}`, kind: "image/png", w: 4, h: 2},
		"another format":    {data: map[string]string{"image/jpeg": dot}},
		"no base64":         {data: map[string]string{"image/png": "!"}},
		"cut short":         {data: map[string]string{"image/png": dot[:20]}},
		"svg":               {data: map[string]string{"image/svg+xml": svgDot}, kind: "image/svg+xml"},
		"svg before png":    {data: map[string]string{"image/svg+xml": svgDot, "image/png": dot}, kind: "image/svg+xml"},
		"png for bad svg":   {data: map[string]string{"image/svg+xml": "<svg>", "image/png": dot}, kind: "image/png", w: 4, h: 2},
		"svg, no namespace": {data: map[string]string{"image/svg+xml": "<svg/>"}},
		"no svg":            {data: map[string]string{"image/svg+xml": `<html xmlns="http://www.w3.org/2000/svg"/>`}},
		"type name as text": {data: map[string]string{"image/png": dot, "text/plain": "<image>"}, kind: "image/png", w: 4, h: 2},
		"no picture":        {data: map[string]string{"text/plain": "text"}},
	} {
		t.Run(name, func(t *testing.T) {
			o := &nbformat.Output{Data: nbformat.MimeBundle{}, Metadata: nbformat.Metadata{}}
			for mime, text := range tc.data {
				o.Data.SetText(mime, text)
			}
			if tc.size != "" {
				o.Metadata["image/png"] = []byte(tc.size)
			}
			p := (&builder{}).picture(o)
			switch {
			case p == nil && tc.kind == "":
			case p == nil:
				t.Fatal("no picture")
			case tc.kind == "":
				t.Fatalf("picture %.40q, want none", p.Source)
			case !strings.HasPrefix(string(p.Source), "data:"+tc.kind+";base64,"):
				t.Errorf("source %.40q, want %s", p.Source, tc.kind)
			case p.Width != tc.w || p.Height != tc.h || p.Alt != tc.alt:
				t.Errorf("%d by %d, alt %q; want %d by %d, %q", p.Width, p.Height, p.Alt, tc.w, tc.h, tc.alt)
			}
		})
	}
}
