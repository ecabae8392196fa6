package main

import (
	"bytes"
	"context"
	"strings"

	"example.com/railbook/kernel/display/markup"
	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/page"
	"example.com/railbook/kernel/scripts"
	"example.com/railbook/sizing"
)

// leaf is a page in the making that a command writes for --chart: what a cell that showed
// all of it would have output.
type leaf struct{ cell nbformat.Cell }

func (l *leaf) add(b nbformat.MimeBundle) {
	l.cell.Outputs = append(l.cell.Outputs, &nbformat.Output{Type: nbformat.DisplayData, Data: b})
}

func (l *leaf) html(text string) {
	b := nbformat.MimeBundle{}
	b.SetText("text/html", text)
	l.add(b)
}

func (l *leaf) tables(list ...sizing.Table) {
	for _, t := range list {
		l.html(markup.Table(t))
	}
}

func (l *leaf) picture(p picture) error {
	b, err := p.bundle()
	if err == nil {
		l.add(b)
	}
	return err
}

// render ends the page with the caution and renders it, with live charts where their
// scripts are at hand.
func (l *leaf) render(ctx context.Context, title string, progress *progress) ([]byte, error) {
	l.html(markup.Caution(strings.ReplaceAll(caution, "\n", " ")))
	bundle, err := scripts.Load(ctx, func(text string) { progress.line("%s", text) })
	if err != nil {
		if ctx.Err() != nil {
			return nil, err
		}
		progress.line("the page has still pictures instead of live charts: %v", err)
	}
	l.cell.Type = nbformat.Code
	nb := &nbformat.Notebook{Cells: []*nbformat.Cell{&l.cell}}
	var out bytes.Buffer
	err = page.Render(&out, nb, page.Options{Title: title, Scripts: bundle})
	return out.Bytes(), err
}
