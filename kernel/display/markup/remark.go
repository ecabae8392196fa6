package markup

import (
	"html"
	"strings"
)

// Verdict returns the sentence that a reader should see first.
func Verdict(text string) string {
	return `<p class="rb-verdict">` + html.EscapeString(text) + "</p>"
}

// Note returns a remark, one paragraph for each line of text.
func Note(text string) string {
	return `<div class="rb-note">` + paragraphs("Note.", text) + "</div>"
}

// Caution returns a remark on someone's safety or the engine's. Its first word
// says so, for readers who see no colours.
func Caution(text string) string {
	return `<div class="rb-caution" role="note">` + paragraphs("Caution.", text) + "</div>"
}

func paragraphs(first, text string) string {
	out := ""
	for line := range strings.SplitSeq(strings.TrimSpace(text), "\n") {
		line = html.EscapeString(strings.TrimSpace(line))
		if first != "" {
			line, first = "<strong>"+first+"</strong> "+line, ""
		}
		if line != "" {
			out += "<p>" + line + "</p>"
		}
	}
	return out
}
