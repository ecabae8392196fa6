package main

import (
	"encoding/base64"
	"encoding/json"
	"fmt"

	"example.com/railbook/kernel/display"
	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/report/figure"
	"example.com/railbook/report/figure/draw"
)

// addStill draws the still picture of a figure that a cell displays, beside
// its live chart. It has no title: the page puts one below. The drawing is done
// here so that cells need not link what draws.
func addStill(b nbformat.MimeBundle) error {
	raw, ok := b[display.FigureMIME]
	if !ok {
		return nil
	}
	var f figure.Figure
	if err := json.Unmarshal(raw, &f); err != nil {
		return fmt.Errorf("figure without a still picture: %w", err)
	}
	png, err := draw.PNG(f, draw.Options{Bare: true})
	if err != nil {
		return fmt.Errorf("figure without a still picture: %w", err)
	}
	b.SetText("image/png", base64.StdEncoding.EncodeToString(png))
	return nil
}
