package report_test

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"regexp"
	"strings"
	"testing"

	"example.com/railbook/report"
	"example.com/railbook/report/internal/pdffile"
	"example.com/railbook/report/internal/pdftest"
	"example.com/railbook/report/internal/typeface"
)

// Every link of every report leads to a place that there is, every entry of its outline
// to the words it bears, and nothing on the pages lies over anything else.
func TestEveryReportCanBeWalked(t *testing.T) {
	for _, sheet := range sheets {
		t.Run(nameOf(sheet), func(t *testing.T) {
			pdf := rendered(t, assess(t, sheet), report.Options{})
			pdftest.Fits(t, pdf)
			outline := pdftest.Outline(t, pdf)
			for i, line := range outline {
				if strings.Contains(line, "→") && i > 0 { // the title page bears no such words
					t.Errorf("the outline leads astray: %s", line)
				}
			}
			links := pdftest.Links(t, pdf)
			for _, l := range links {
				kind, label, _ := strings.Cut(l.Target, "-")
				want := map[string]string{"section": label + " ", "appendix": label + " ", "table": "Table " + label + ". ", "figure": "Figure " + label + ". "}[kind]
				if l.Words == "" || !strings.HasPrefix(l.There, want) {
					t.Errorf("page %d: %q leads to %q, where %.60q stands", l.Page, l.Words, l.Target, l.There)
				}
			}
			t.Logf("%d links, %d entries in the outline", len(links), len(outline))
			if len(outline) < 15 || len(links) < 20 {
				t.Errorf("%d entries in the outline and %d links", len(outline), len(links))
			}
		})
	}
}

// What the file says of itself: the same in both of the places that PDF has for it.
func TestWhatTheFileSaysOfItself(t *testing.T) {
	b := open(t, demoSheet)
	b.Job.Name, b.Job.Engineer, b.Job.Maker = "漢字 & <b>\u202e \U0001f600\x07", "עברית", "Ternhaven\nEngine Works"
	pdf := rendered(t, assessed(t, b), report.Options{Figures: bare.Figures, Version: "7"})
	f, err := pdffile.Open(pdf)
	if err != nil {
		t.Fatal(err)
	}
	info, err := f.Dict(f.Trailer["Info"])
	if err != nil {
		t.Fatal(err)
	}
	_, root, err := f.Root()
	if err != nil {
		t.Fatal(err)
	}
	o, err := f.Resolve(root["Metadata"])
	if err != nil {
		t.Fatal(err)
	}
	var told []string
	for d := xml.NewDecoder(bytes.NewReader(o.(*pdffile.Stream).Data)); ; {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if text, ok := token.(xml.CharData); ok {
			told = append(told, string(text))
		}
	}
	metadata := strings.Join(told, "|")
	for name, want := range map[pdffile.Name]string{
		"Title": "Fuel system build report: 漢字 & <b> \U0001f600", "Author": "עברית, Ternhaven Engine Works", "Creator": "Railbook 7",
	} {
		if got := pdffile.Text(info[name].(pdffile.String)); got != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
		if !strings.Contains(metadata, "|"+want+"|") {
			t.Errorf("the metadata lack %q: %s", want, metadata)
		}
	}
	if subject := pdffile.Text(info["Subject"].(pdffile.String)); subject == "" || !strings.Contains(metadata, "|"+subject+"|") {
		t.Errorf("the subject is %q, and not in the metadata", subject)
	}
	for _, claim := range []string{"pdfaid", "pdfuaid", "/MarkInfo", "/OutputIntents"} {
		if bytes.Contains(pdf, []byte(claim)) {
			t.Errorf("it claims by %s what it does not keep", claim)
		}
	}
	viewer, err := f.Dict(root["ViewerPreferences"])
	if err != nil || root["Lang"] != pdffile.String("en") || viewer["DisplayDocTitle"] != true || root["PageMode"] != pdffile.Name("UseOutlines") {
		t.Errorf("language %v, viewer %v, mode %v, %v", root["Lang"], viewer, root["PageMode"], err)
	}
}

// Every font is in the file, as a part of its characters, with what text they stand for.
func TestFontsAreInTheFileInPart(t *testing.T) {
	pdf := rendered(t, assess(t, demoSheet), report.Options{Figures: bare.Figures})
	f, err := pdffile.Open(pdf)
	if err != nil {
		t.Fatal(err)
	}
	partly := regexp.MustCompile(`^[A-Z]{6}\+(.*)$`)
	found := map[string]bool{}
	err = f.Each(func(_ pdffile.Ref, o pdffile.Object) error {
		font, ok := o.(pdffile.Dict)
		if !ok || font["Type"] != pdffile.Name("Font") {
			return nil
		}
		name, _ := font["BaseFont"].(pdffile.Name)
		m := partly.FindStringSubmatch(string(name))
		if m == nil {
			return fmt.Errorf("a font named %q", name)
		}
		style, ok := typeface.Named(m[1])
		if !ok {
			return fmt.Errorf("a font named %q", name)
		}
		if font["Subtype"] == pdffile.Name("Type0") {
			if text, err := f.Resolve(font["ToUnicode"]); err != nil || text == nil {
				return fmt.Errorf("%s does not say what text it stands for: %v", name, err)
			}
			return nil
		}
		about, err := f.Dict(font["FontDescriptor"])
		if err != nil {
			return err
		}
		file, err := f.Resolve(about["FontFile2"])
		if err != nil {
			return err
		}
		glyphs, ok := file.(*pdffile.Stream)
		if !ok || about["FontName"] != name {
			return fmt.Errorf("%s is not in the file", name)
		}
		data, err := f.Inflate(glyphs, 1<<20)
		if err != nil {
			return err
		}
		if len(data) > len(style.TTF())/4 {
			return fmt.Errorf("%s has %d bytes of the font's %d", name, len(data), len(style.TTF()))
		}
		found[m[1]] = true
		return nil
	})
	if err != nil {
		t.Error(err)
	}
	if len(found) != 3 {
		t.Errorf("fonts %v, want three", found)
	}
}
