package check_test

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"strings"
	"testing"
	"time"

	"github.com/phpdave11/gofpdf"

	"example.com/railbook/report"
	"example.com/railbook/report/attach"
	"example.com/railbook/report/check"
	"example.com/railbook/report/internal/pdffile"
	"example.com/railbook/report/results"
	"example.com/railbook/report/sign"
	"example.com/railbook/sizing/quantity"
)

// repaint changes what page 2 draws: a number of the table that it prints.
func repaint(t testing.TB) func(f *pdffile.File, u *pdffile.Update) {
	return func(f *pdffile.File, u *pdffile.Update) {
		pages, err := f.Pages()
		if err != nil {
			t.Fatal(err)
		}
		content, err := f.Content(pages[1])
		if err != nil {
			t.Fatal(err)
		}
		utf16 := func(s string) []byte {
			var b []byte
			for _, c := range []byte(s) {
				b = append(b, 0, c)
			}
			return b
		}
		from := utf16("214.3 kW")
		if !bytes.Contains(content, from) {
			t.Fatal("page 2 does not print 214.3 kW")
		}
		// The first part holds the words, the second the lines under links.
		parts := pages[1].Dict["Contents"].(pdffile.Array)
		u.Set(parts[0].(pdffile.Ref), &pdffile.Stream{Dict: pdffile.Dict{}, Data: bytes.ReplaceAll(content, from, utf16("314.3 kW"))})
	}
}

// turn makes a link of page 1 lead to where another one leads.
func turn(t testing.TB) func(f *pdffile.File, u *pdffile.Update) {
	return func(f *pdffile.File, u *pdffile.Update) {
		pages, err := f.Pages()
		if err != nil {
			t.Fatal(err)
		}
		notes := pages[0].Dict["Annots"].(pdffile.Array)
		link, err := f.Dict(notes[0])
		if err != nil {
			t.Fatal(err)
		}
		other, err := f.Dict(notes[1])
		if err != nil {
			t.Fatal(err)
		}
		if link["Dest"] == other["Dest"] {
			t.Fatal("both links lead to the same place")
		}
		link["Dest"] = other["Dest"]
		u.Set(notes[0].(pdffile.Ref), link)
	}
}

// anew is a report whose pages are written anew with a change, attachments and all.
func anew(t testing.TB, pdf []byte, change func(f *pdffile.File, u *pdffile.Update)) []byte {
	t.Helper()
	f, err := pdffile.Open(base(t, pdf))
	if err != nil {
		t.Fatal(err)
	}
	u, err := f.Update()
	if err != nil {
		t.Fatal(err)
	}
	change(f, u)
	out, err := u.Whole()
	if err != nil {
		t.Fatal(err)
	}
	list, err := attach.Files(pdf)
	if err != nil {
		t.Fatal(err)
	}
	if out, err = attach.Add(out, attach.About{Language: "en", Date: time.Unix(0, 0)}, list); err != nil {
		t.Fatal(err)
	}
	return out
}

// TestTellsApart: each way in which a report can be wrong is told from the others.
func TestTellsApart(t *testing.T) {
	maker, stranger := identity(t, "Maker"), identity(t, "Maker")
	pdf := quick()
	good := signed(t, pdf, maker)
	other := func() []byte {
		b := open(t, "../../testdata/sheets/natural.toml")
		b.Job.Date, b.Target.Power = "2026-11-20", 150*quantity.Kilowatt
		return rendered(t, b, report.Options{Figures: none})
	}()
	results1 := attached(t, pdf, report.ResultsName)
	cut := bytes.Index(good, []byte("\nendstream"))
	for _, c := range []struct {
		name string
		pdf  []byte
		o    check.Options
		want string // the checks that fail
		says string
	}{
		{"nothing", good, check.Options{Certificates: known(maker)}, "", "the whole file"},
		{"a changed byte", flipped(good, cut-20), check.Options{}, "printed pages signature", "the document has been changed since it was signed"},
		{"a changed byte in the metadata", flipped(good, bytes.Index(good, []byte("<dc:title>"))+60), check.Options{}, "pages signature", "the metadata"},
		{"a changed byte in the signature", flipped(good, bytes.LastIndex(good, []byte("/Contents <"))+300), check.Options{}, "signature", "does not hold"},
		{"another sheet", swapped(t, pdf, map[string][]byte{report.SheetName: attached(t, other, report.SheetName)}), check.Options{Unsigned: true}, "results pages", "build-sheet.toml is not the sheet of this report, whose pages agree with results.json"},
		{"other results", swapped(t, pdf, map[string][]byte{report.ResultsName: attached(t, other, report.ResultsName)}), check.Options{Unsigned: true}, "results printed pages", "results.json is not that of this report, whose pages agree with build-sheet.toml"},
		{"both of another report", swapped(t, pdf, map[string][]byte{report.SheetName: attached(t, other, report.SheetName), report.ResultsName: attached(t, other, report.ResultsName)}), check.Options{Unsigned: true}, "printed pages", "the pages do not print what results.json has"},
		{"one digit behind the point", swapped(t, pdf, map[string][]byte{report.ResultsName: bytes.Replace(results1, []byte(`"power": "14500`), []byte(`"power": "14600`), 1)}), check.Options{Unsigned: true}, "results pages", `assessment.power is "146000 W", made again "145000 W"`},
		{"no sheet", swapped(t, pdf, map[string][]byte{report.SheetName: nil}), check.Options{Unsigned: true}, "attachments", "build-sheet.toml is missing"},
		{"no results", swapped(t, pdf, map[string][]byte{report.ResultsName: nil}), check.Options{Unsigned: true}, "attachments", "results.json is missing"},
		{"no attachments at all", base(t, pdf), check.Options{Unsigned: true}, "attachments", "is missing"},
		{"a sheet that is none", swapped(t, pdf, map[string][]byte{report.SheetName: []byte("x = 1\n\x1b[31m")}), check.Options{Unsigned: true}, "sheet", "build-sheet.toml"},
		{"a huge sheet", swapped(t, pdf, map[string][]byte{report.SheetName: bytes.Repeat([]byte("# \n"), 1<<19)}), check.Options{Unsigned: true}, "sheet", "larger than"},
		{"results of another form", swapped(t, pdf, map[string][]byte{report.ResultsName: bytes.Replace(results1, []byte(results.SchemaID), []byte(results.SchemaID+"9"), 1)}), check.Options{Unsigned: true}, "results", "another version of the program made the report"},
		{"results that are no JSON", swapped(t, pdf, map[string][]byte{report.ResultsName: []byte("{")}), check.Options{Unsigned: true}, "results", "not JSON"},
		{"results without a date", swapped(t, pdf, map[string][]byte{report.ResultsName: bytes.Replace(results1, []byte(`"date": "2026-11-20"`), []byte(`"date": "today"`), 1)}), check.Options{Unsigned: true}, "results", "has no date"},
		{"another version", good, check.Options{Version: "99"}, "", `made by version "` + report.Version + `", checked by "99"`},
		{"no signature", pdf, check.Options{}, "signature", "there is none"},
		{"no signature, and none wanted", pdf, check.Options{Unsigned: true}, "", "none is wanted"},
		{"a signature cut off", good[:len(pdf)], check.Options{Certificates: known(maker)}, "signature", "there is none"},
		{"an unknown certificate", signed(t, pdf, stranger), check.Options{Certificates: known(maker)}, "signer", "is not known"},
		{"a certificate to compare", good, check.Options{}, "", "SHA-256 " + sign.Fingerprint(maker.Certificate())},
		{"bytes behind the end", append(bytes.Clone(good), "% more\n"...), check.Options{}, "file signature", "leaves out the last 7 bytes"},
		{"a page painted over", appended(t, good, repaint(t)), check.Options{}, "printed additions signature", "it ends without a signature"},
		{"a page painted over before signing", signed(t, appended(t, pdf, repaint(t)), maker), check.Options{Certificates: known(maker)}, "printed additions", "it ends without a signature"},
		{"a link turned elsewhere before signing", signed(t, appended(t, pdf, turn(t)), maker), check.Options{Certificates: known(maker)}, "additions", "it ends without a signature"},
		{"a link turned elsewhere in making", signed(t, anew(t, pdf, turn(t)), maker), check.Options{Certificates: known(maker)}, "pages", "a link on page 1"},
		{"a page painted over in making", signed(t, anew(t, pdf, repaint(t)), maker), check.Options{Certificates: known(maker)}, "printed pages", "page 2 prints"},
		{"the signature taken out of the form", appended(t, good, func(f *pdffile.File, u *pdffile.Update) {
			root, catalogue, err := f.Root()
			if err != nil {
				t.Fatal(err)
			}
			delete(catalogue, "AcroForm")
			u.Set(root, catalogue)
		}), check.Options{}, "additions signature", "there is none"},
		{"no PDF", []byte("plain text"), check.Options{}, "file", "does not begin with %PDF-"},
		{"cut short", good[:len(good)/2], check.Options{}, "file", "cut short"},
		{"encrypted", bytes.ReplaceAll(good, []byte("\n/Size"), []byte("\n/Encrypt 1 0 R/Size")), check.Options{}, "file", "PDF"},
		{"a PDF of another program", foreign(t), check.Options{}, "attachments signature", "no report of this program"},
	} {
		t.Run(c.name, func(t *testing.T) {
			checked := check.Run(c.pdf, c.o)
			if got := strings.Join(checked.Failed(), " "); got != c.want {
				t.Errorf("fails %q, want %q:\n%s", got, c.want, lines(checked))
			}
			if !strings.Contains(lines(checked), c.says) {
				t.Errorf("nothing says %q:\n%s", c.says, lines(checked))
			}
		})
	}
}

// foreign is a PDF that is no report.
func foreign(t testing.TB) []byte {
	t.Helper()
	pdf := gofpdf.New("P", "mm", "A4", "")
	pdf.AddPage()
	var out bytes.Buffer
	if err := pdf.Output(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func flipped(pdf []byte, i int) []byte {
	data := bytes.Clone(pdf)
	data[i] ^= 1
	return data
}

// A signer who changes a page while signing is found out, though both signatures hold.
func TestChangesUnderASecondSignature(t *testing.T) {
	maker, customer := identity(t, "Maker"), identity(t, "Customer")
	once := signed(t, quick(), maker)
	twice := signed(t, once, customer)
	f, err := pdffile.Open(twice)
	if err != nil {
		t.Fatal(err)
	}
	// The same second signature, with a page changed in its own revision.
	painted := appended(t, once, repaint(t))
	forged := signed(t, painted, customer)
	list, err := sign.Verify(forged)
	if err != nil || len(list) != 2 || list[0].Err != nil || list[1].Err != nil || list[1].Rest != 0 {
		t.Fatalf("signatures %+v, %v", list, err)
	}
	c := check.Run(forged, check.Options{Certificates: known(maker, customer)})
	if got := strings.Join(c.Failed(), " "); got != "printed additions" {
		t.Errorf("fails %q:\n%s", got, lines(c))
	}
	if len(f.Revisions) != 4 {
		t.Errorf("%d revisions, want 4", len(f.Revisions))
	}
}

// A report with a logo carries it, and is found out where it is another one.
func TestLogos(t *testing.T) {
	picture := func(c color.Color) []byte {
		p := image.NewRGBA(image.Rect(0, 0, 60, 20))
		draw.Draw(p, p.Bounds(), image.NewUniform(c), image.Point{}, draw.Src)
		var b bytes.Buffer
		if err := png.Encode(&b, p); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	b := open(t, "../../testdata/sheets/natural.toml")
	b.Job.Date, b.Job.Logo = "2026-11-20", "art/logo.png"
	pdf := rendered(t, b, report.Options{Figures: none, Logo: picture(color.Black)})
	for _, c := range []struct {
		name       string
		pdf        []byte
		want, says string
	}{
		{"as made", pdf, "", "logo.png"},
		{"another picture", swapped(t, pdf, map[string][]byte{"logo.png": picture(color.White)}), "pages", "a picture"},
		{"no picture", swapped(t, pdf, map[string][]byte{"logo.png": []byte("x")}), "sheet", "not usable as a logo"},
		{"taken out", swapped(t, pdf, map[string][]byte{"logo.png": nil}), "sheet", "art/logo.png was not given"},
	} {
		checked := check.Run(c.pdf, check.Options{Unsigned: true})
		if got := strings.Join(checked.Failed(), " "); got != c.want || !strings.Contains(lines(checked), c.says) {
			t.Errorf("%s: fails %q, want %q and %q:\n%s", c.name, got, c.want, c.says, lines(checked))
		}
	}
}
