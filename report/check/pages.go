package check

import (
	"bytes"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"example.com/railbook/report/attach"
	"example.com/railbook/report/internal/pdffile"
	"example.com/railbook/report/internal/pdftext"
	"example.com/railbook/report/results"
)

// pages holds what the report draws against what is drawn again from its sheet.
func (r *run) pages() {
	switch {
	case !r.sameVersion():
		r.add("pages", Skipped, "not drawn again: another version draws them otherwise")
		return
	case r.found.Report.Figures == results.Own:
		r.add("pages", Skipped, "not drawn again: the report shows figures that do not follow from its sheet")
		return
	}
	made, err := pdffile.Open(r.made.PDF)
	if err != nil {
		r.add("pages", Fails, "%v", err)
		return
	}
	steps := len(made.Revisions)
	if len(r.read.Revisions) < steps {
		r.add("pages", Fails, "the file was written by another program")
		return
	}
	base := r.pdf[:r.read.Revisions[steps-1].End]
	if bytes.Equal(base, r.made.PDF) {
		r.add("pages", Holds, "drawn again from %s, they come out the same, byte for byte", "the sheet")
		return
	}
	found, err := r.read.At(steps - 1)
	if err != nil {
		r.add("pages", Fails, "%v", err)
		return
	}
	differ, err := unlike(found, made)
	switch {
	case err != nil:
		r.add("pages", Fails, "they cannot be compared: %s", oneLine(err.Error()))
	case len(differ) == 0:
		r.add("pages", Holds, "drawn again from the sheet, they draw the same, though the file is packed otherwise")
	default:
		r.add("pages", Fails, "they are not what the sheet gives; %s: %s", differences(len(differ)), oneLine(few(differ)))
	}
}

// few joins the first few of a list, each once.
func few(list []string) string {
	const most = 3
	var told []string
	for _, s := range list {
		if !slices.Contains(told, s) && len(told) < most {
			told = append(told, s)
		}
	}
	return strings.Join(told, "; ")
}

// unlike lists in what two files differ, as far as it shows: every object, streams
// inflated.
func unlike(found, made *pdffile.File) ([]string, error) {
	names, err := places(made)
	if err != nil {
		return nil, err
	}
	var list []string
	for _, revision := range made.Revisions {
		for _, n := range revision.Objects {
			ref := pdffile.Ref{Number: n}
			a, err := found.Get(ref)
			if err != nil {
				return nil, err
			}
			b, err := made.Get(ref)
			if err != nil {
				return nil, err
			}
			same, err := alike(found, a, made, b)
			if err != nil {
				return nil, err
			}
			if same {
				continue
			}
			what := names[n]
			if what == "" {
				what = fmt.Sprintf("object %d", n)
			}
			list = append(list, what+textDifference(found, a, made, b))
		}
	}
	for _, key := range []pdffile.Name{"Root", "Info"} {
		if found.Trailer[key] != made.Trailer[key] {
			list = append(list, "the file's beginning")
		}
	}
	return list, nil
}

// places names the objects that a reader would know: pages and their links, and what
// else there is by what it is.
func places(f *pdffile.File) (map[int]string, error) {
	names := map[int]string{}
	for key, what := range map[pdffile.Name]string{"Root": "what the file holds, as it says itself", "Info": "the file's properties"} {
		if r, ok := f.Trailer[key].(pdffile.Ref); ok {
			names[r.Number] = what
		}
	}
	pages, err := f.Pages()
	if err != nil {
		return nil, err
	}
	for i, p := range pages {
		name := fmt.Sprintf("page %d", i+1)
		names[p.Ref.Number] = name
		if r, ok := p.Dict["Resources"].(pdffile.Ref); ok {
			names[r.Number] = "the list of fonts and pictures"
		}
		if r, ok := p.Dict["Contents"].(pdffile.Ref); ok {
			names[r.Number] = name
		}
		for key, what := range map[pdffile.Name]string{"Contents": name, "Annots": "a link on " + name} {
			parts, _ := p.Dict[key].(pdffile.Array)
			for _, part := range parts {
				if r, ok := part.(pdffile.Ref); ok {
					names[r.Number] = what
				}
			}
		}
	}
	for _, revision := range f.Revisions {
		for _, n := range revision.Objects {
			o, err := f.Get(pdffile.Ref{Number: n})
			if err != nil {
				return nil, err
			}
			d, ok := o.(pdffile.Dict)
			if s, stream := o.(*pdffile.Stream); stream {
				d, ok = s.Dict, true
			}
			if !ok || names[n] != "" {
				continue
			}
			_, font := d["Length1"]
			_, entry := d["Title"]
			_, below := d["Parent"]
			switch {
			case entry && below:
				names[n] = "the outline"
			case d["Subtype"] == pdffile.Name("Image"):
				names[n] = "a picture (which another kind of processor may draw a little otherwise)"
			case font, d["Type"] == pdffile.Name("Font"), d["Type"] == pdffile.Name("FontDescriptor"):
				names[n] = "a font"
			case d["Type"] == pdffile.Name("EmbeddedFile"), d["Type"] == pdffile.Name("Filespec"):
				names[n] = "an attachment"
			case d["Type"] == pdffile.Name("Metadata"):
				names[n] = "the metadata"
			}
		}
	}
	return names, nil
}

// alike reports whether two objects are the same, streams inflated.
func alike(f *pdffile.File, a pdffile.Object, g *pdffile.File, b pdffile.Object) (bool, error) {
	s, ok := a.(*pdffile.Stream)
	t, ok2 := b.(*pdffile.Stream)
	if !ok || !ok2 {
		return reflect.DeepEqual(a, b), nil
	}
	x, err := f.Inflate(s, attach.MostBytes)
	if err != nil {
		return false, err
	}
	y, err := g.Inflate(t, attach.MostBytes)
	if err != nil {
		return false, err
	}
	return bytes.Equal(x, y) && reflect.DeepEqual(without(s.Dict, "Length"), without(t.Dict, "Length")), nil
}

// without is a dictionary without some of its names.
func without(d pdffile.Dict, names ...pdffile.Name) pdffile.Dict {
	c := pdffile.Dict{}
	for k, v := range d {
		c[k] = v
	}
	for _, n := range names {
		delete(c, n)
	}
	return c
}

// textDifference says where the texts of two pages part, if they do.
func textDifference(f *pdffile.File, a pdffile.Object, g *pdffile.File, b pdffile.Object) string {
	texts := func(f *pdffile.File, o pdffile.Object) []string {
		s, ok := o.(*pdffile.Stream)
		if !ok {
			return nil
		}
		data, err := f.Inflate(s, attach.MostBytes)
		if err != nil {
			return nil
		}
		list, _ := pdftext.Texts(data) // what is no page has none
		return list
	}
	found, made := texts(f, a), texts(g, b)
	for i := range made {
		if i >= len(found) {
			return fmt.Sprintf(" lacks %.60q", made[i])
		}
		if found[i] != made[i] {
			return fmt.Sprintf(" prints %.60q in place of %.60q", found[i], made[i])
		}
	}
	return ""
}
