package page_test

import (
	"strings"
	"testing"

	"golang.org/x/net/html"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/page"
	"example.com/railbook/kernel/page/chart"
	"example.com/railbook/kernel/scripts"
)

// fakeScripts stand in for the chart libraries where no browser looks.
var fakeScripts = &scripts.Bundle{
	ECharts: scripts.Script{Name: "echarts", Version: "0", Source: "window.echarts = {};", Notices: []scripts.Notice{{Name: "NOTICE", Text: "owners & others"}}},
	GL:      scripts.Script{Name: "echarts-gl", Version: "0", Source: "window['echarts-gl'] = '</script><!--';\r\n", Notices: []scripts.Notice{{Name: "LICENSE", Text: "<terms>"}}},
}

// harmless checks what holds of every page: it makes no request, runs no
// script but its own, keeps what cells bring inside their section, and has no
// id twice.
func harmless(t *testing.T, text string) {
	t.Helper()
	root, err := html.Parse(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	ids := make(map[string]bool)
	for n := range root.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		if n.Namespace != "" {
			t.Errorf("<%s> of namespace %s", n.Data, n.Namespace)
		}
		switch n.Data {
		case "script":
			if !in(n, "body") || in(n, "section") && attr(n, "type") != "application/json" {
				t.Errorf("script in a cell: %.60q", n.FirstChild.Data)
			}
		case "style", "meta", "title":
			if !in(n, "head") {
				t.Errorf("<%s> outside the head", n.Data)
			}
		case "link", "base", "iframe", "frame", "object", "embed", "form", "textarea", "select", "svg", "math", "video", "audio", "template", "xmp", "plaintext":
			t.Errorf("<%s> in the page", n.Data)
		case "button":
			// The page's own switches.
			if attr(n.Parent, "class") != "rb-tools" || attr(n.Parent.Parent, "class") != "rb-bar" || in(n, "main") {
				t.Errorf("<button> in the page")
			}
		case "input":
			// The slider of a chart with layers is the page's own.
			if attr(n, "type") != "range" || attr(n.Parent, "class") != "rb-slider" || attr(n.Parent.Parent, "class") != "rb-chart" {
				t.Errorf("<input> in the page")
			}
		case "img":
			if !strings.HasPrefix(attr(n, "src"), "data:image/") {
				t.Errorf("img from %q", attr(n, "src"))
			}
			if !has(n, "alt") {
				t.Errorf("img without alt: %.80q", attr(n, "src"))
			}
		}
		for _, a := range n.Attr {
			checkAttribute(t, n, a)
			if a.Key == "id" {
				if ids[a.Val] {
					t.Errorf("id %q twice", a.Val)
				}
				ids[a.Val] = true
			}
		}
		if n.Data == "section" && !in(n, "main") {
			t.Error("a cell outside main")
		}
	}
	if got := strings.Count(text, "</main>"); got != 1 {
		t.Errorf("%d ends of main", got)
	}
}

func checkAttribute(t *testing.T, n *html.Node, a html.Attribute) {
	t.Helper()
	switch {
	case strings.HasPrefix(a.Key, "on"):
		t.Errorf("<%s %s=%q>", n.Data, a.Key, a.Val)
	case a.Key == "href":
		v := strings.ToLower(strings.TrimSpace(a.Val))
		if n.Data != "a" || strings.HasPrefix(v, "javascript:") || strings.HasPrefix(v, "data:") || strings.ContainsAny(v, "\t\n\r") {
			t.Errorf("<%s href=%q>", n.Data, a.Val)
		}
	case a.Key == "src" && n.Data != "img",
		a.Key == "srcset", a.Key == "srcdoc", a.Key == "poster", a.Key == "action", a.Key == "formaction",
		a.Key == "background", a.Key == "data", a.Key == "ping", a.Key == "target", a.Key == "autofocus":
		t.Errorf("<%s %s=%q>", n.Data, a.Key, a.Val)
	case a.Key == "style":
		for _, bad := range []string{"url(", "position", "expression", "@", `\`, "/*"} {
			if strings.Contains(strings.ToLower(a.Val), bad) {
				t.Errorf("<%s style=%q>", n.Data, a.Val)
			}
		}
	}
}

func in(n *html.Node, name string) bool {
	for a := range n.Ancestors() {
		if a.Data == name {
			return true
		}
	}
	return false
}

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

func has(n *html.Node, key string) bool {
	for _, a := range n.Attr {
		if a.Key == key {
			return true
		}
	}
	return false
}

// everywhere puts a text into each place of a notebook that takes one.
func everywhere(text string) *nbformat.Notebook {
	rich := &nbformat.Output{Type: nbformat.DisplayData, Data: nbformat.MimeBundle{}}
	rich.Data.SetText("text/markdown", text)
	drawing := &nbformat.Output{Type: nbformat.DisplayData, Data: nbformat.MimeBundle{}}
	drawing.Data.SetText("image/svg+xml", text)
	drawing.Data.SetText("text/plain", text)
	live := &nbformat.Output{Type: nbformat.DisplayData, Data: nbformat.MimeBundle{}}
	live.Data[chart.MIME] = encode(chart.Spec{
		ID: text, Title: text, Alt: text, GL: true, Names: chart.Axes{X: text},
		Option: encode(obj{"title": obj{"text": text}, "series": []obj{{"name": text}}}),
	})
	return &nbformat.Notebook{Cells: []*nbformat.Cell{
		{Type: nbformat.Markdown, Source: text},
		{Type: nbformat.Markdown, Source: "# " + text, Attachments: map[string]nbformat.MimeBundle{text: {}}},
		{Type: nbformat.Raw, Source: text},
		{Type: nbformat.Code, Source: text, Outputs: []*nbformat.Output{
			htmlOutput(text), rich, drawing, live,
			{Type: nbformat.Stream, Name: "stdout", Text: text},
			{Type: nbformat.Stream, Name: "stderr", Text: text},
			{Type: nbformat.Error, EName: text, EValue: text, Traceback: []string{text}},
			{Type: text},
		}},
	}}
}

func TestHostileTextIsHarmlessEverywhere(t *testing.T) {
	for _, text := range hostile {
		t.Run(text, func(t *testing.T) {
			harmless(t, render(t, everywhere(text), page.Options{Title: text, Scripts: fakeScripts}))
			harmless(t, render(t, everywhere(text), page.Options{Title: text, ScriptsHint: text}))
		})
	}
}

func TestSampleIsHarmless(t *testing.T) {
	harmless(t, render(t, sample(t), page.Options{Scripts: fakeScripts}))
}

func FuzzRender(f *testing.F) {
	for _, text := range hostile {
		f.Add(text)
	}
	f.Add("# one\n\n# one\n\n| a | b |\n|---|---|\n| 1 | <b> |\n\n- [x] done\n- [ ] not")
	f.Add(sampleTable)
	f.Fuzz(func(t *testing.T, text string) {
		out := render(t, everywhere(text), page.Options{Scripts: fakeScripts})
		harmless(t, out)
		if again := render(t, everywhere(text), page.Options{Scripts: fakeScripts}); again != out {
			t.Error("the same notebook gave two pages")
		}
	})
}

// FuzzBundle renders a display whose JSON is anything at all.
func FuzzBundle(f *testing.F) {
	f.Add(chart.MIME, `{"id": "a", "option": {"series": [1]}}`)
	f.Add(chart.MIME, `{"id": "</script>", "height": -1, "option": []}`)
	f.Add("image/png", `"iVBORw0KGgo="`)
	f.Add("image/svg+xml", `["<svg xmlns=\"http://www.w3.org/2000/svg\">", "</svg>"]`)
	f.Add("text/html", `{"not": "text"}`)
	f.Add("application/json", `{"a": [1, 2]}`)
	f.Add("application/javascript", `"alert(1)"`)
	f.Fuzz(func(t *testing.T, mime, value string) {
		nb, err := nbformat.Parse([]byte(`{"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": [{"cell_type": "code",
			"source": "", "metadata": {}, "execution_count": null, "outputs": [{"output_type": "display_data", "metadata": {}, "data": {` +
			string(encode(mime)) + `: ` + value + `}}]}]}`))
		if err != nil {
			t.Skip()
		}
		harmless(t, render(t, nb, page.Options{Scripts: fakeScripts}))
	})
}
