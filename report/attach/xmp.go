package attach

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"time"

	"example.com/railbook/report/internal/pdffile"
)

// xmp writes the metadata of the document as ISO 16684-1 has them: the same that the
// file's information dictionary holds, and the language beside it.
func (a About) xmp() []byte {
	var b bytes.Buffer
	// The packet's fixed id and the byte order mark in begin are those of the standard.
	b.WriteString("<?xpacket begin=\"\ufeff\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n" +
		`<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">` + "\n" +
		`<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/">` + "\n")
	b.WriteString("<dc:format>application/pdf</dc:format>\n")
	alt := func(tag, text string) {
		if text != "" {
			fmt.Fprintf(&b, "<dc:%s><rdf:Alt><rdf:li xml:lang=\"x-default\">%s</rdf:li></rdf:Alt></dc:%s>\n", tag, escape(text), tag)
		}
	}
	alt("title", a.Title)
	alt("description", a.Subject)
	if a.Author != "" {
		fmt.Fprintf(&b, "<dc:creator><rdf:Seq><rdf:li>%s</rdf:li></rdf:Seq></dc:creator>\n", escape(a.Author))
	}
	if a.Language != "" {
		fmt.Fprintf(&b, "<dc:language><rdf:Bag><rdf:li>%s</rdf:li></rdf:Bag></dc:language>\n", escape(a.Language))
	}
	date := a.Date.Format(time.RFC3339)
	fmt.Fprintf(&b, "<xmp:CreatorTool>%s</xmp:CreatorTool>\n<xmp:CreateDate>%s</xmp:CreateDate>\n<xmp:ModifyDate>%s</xmp:ModifyDate>\n", escape(a.Creator), date, date)
	b.WriteString("</rdf:Description>\n</rdf:RDF></x:xmpmeta>\n<?xpacket end=\"r\"?>")
	return b.Bytes()
}

// escape writes text on one line as it stands between tags.
func escape(text string) string {
	var b bytes.Buffer
	xml.EscapeText(&b, []byte(pdffile.Line(text))) // a buffer takes everything
	return b.String()
}
