package main

import (
	"bytes"
	"encoding/base64"
	"image/png"
	"strings"
	"testing"

	"example.com/railbook/kernel/display"
	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/report/figure"
)

func TestAddStill(t *testing.T) {
	b := nbformat.MimeBundle{}
	err := b.SetJSON(display.FigureMIME, figure.Figure{
		ID: "headroom", Title: "Headroom",
		Headroom: &figure.Headroom{Unit: "hp", Target: 600, Bars: []figure.Bar{
			{Name: "pump", Limit: 700, Keeps: 650},
			{Name: "injectors", Limit: 620, Keeps: 560},
		}},
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := addStill(b); err != nil {
		t.Fatal(err)
	}
	text, _ := b.Text("image/png")
	raw, err := base64.StdEncoding.DecodeString(text)
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	if size := img.Bounds().Size(); size.X < 500 || size.Y < 100 {
		t.Errorf("the picture measures %v, too little to be read", size)
	}
}

func TestAddStillLeavesOthersAlone(t *testing.T) {
	b := nbformat.MimeBundle{}
	b.SetText("text/plain", "x")
	if err := addStill(b); err != nil || len(b) != 1 {
		t.Errorf("got %v, %v, want the bundle as it was", b, err)
	}
}

func TestAddStillErrors(t *testing.T) {
	for name, raw := range map[string]string{"no figure": `[]`, "nothing to draw": `{"id": "x"}`} {
		b := nbformat.MimeBundle{display.FigureMIME: []byte(raw)}
		err := addStill(b)
		if err == nil || !strings.HasPrefix(err.Error(), "figure without a still picture: ") {
			t.Errorf("%s: got %v", name, err)
		}
		if _, ok := b["image/png"]; ok {
			t.Errorf("%s: has a picture all the same", name)
		}
	}
}
