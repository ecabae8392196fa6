package layout

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"image/png"
)

// Picture adds a picture in PNG as wide as the page and returns its number, with
// a title and what it shows below it. Its number makes it a place: "figure-3". The error
// tells of bytes that are no PNG.
func (d *Doc) Picture(data []byte, title, shows string) (int, error) {
	config, err := png.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return 0, fmt.Errorf("picture %q: %w", title, err)
	}
	if err := whole(data); err != nil {
		return 0, fmt.Errorf("picture %q: %w", title, err)
	}
	d.pictures++
	height := d.Width() * float64(config.Height) / float64(config.Width)
	if most := d.bodyHeight() - 30; height > most {
		return 0, fmt.Errorf("picture %q is %d by %d dots, too high for a page", title, config.Width, config.Height)
	}
	d.add(
		strip{height: 2, blank: true, keep: true},
		strip{height: height, cells: []setCell{{width: grid, image: &Image{PNG: data, Width: d.Width(), Height: height}}}, keep: true, anchors: []string{fmt.Sprintf("figure-%d", d.pictures)}},
		strip{height: 1, keep: true},
	)
	d.Row(Row{Keep: shows != "", Cells: []Cell{{Width: grid, Text: fmt.Sprintf("Figure %d. %s", d.pictures, title), Type: Strong}}})
	if shows != "" {
		d.paragraphs(shows, Small, true)
		d.strips[len(d.strips)-1].keep = false
	}
	d.Space(3)
	return d.pictures, nil
}

// whole refuses a PNG file of which a part is missing or damaged, which the PDF
// library would take: the chunks have to follow one another up to the last, each
// with its checksum (W3C PNG specification, section 5.3).
func whole(data []byte) error {
	const signature, frame = 8, 12 // length, type and checksum of a chunk
	for rest := data[min(signature, len(data)):]; len(rest) >= frame; {
		n := binary.BigEndian.Uint32(rest)
		if uint64(n)+frame > uint64(len(rest)) {
			break
		}
		body, sum := rest[4:8+n], binary.BigEndian.Uint32(rest[8+n:])
		if crc32.ChecksumIEEE(body) != sum {
			return errors.New("the PNG file is damaged")
		}
		if string(body[:4]) == "IEND" {
			return nil
		}
		rest = rest[n+frame:]
	}
	return errors.New("the PNG file ends too soon")
}
