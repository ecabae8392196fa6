package page

import (
	"regexp"
	"strings"
	"unicode"
)

// escapes matches the terminal control sequences of ECMA-48: those that begin
// with CSI, operating system commands, and the two-character ones.
var escapes = regexp.MustCompile(`\x1b\[[0-?]*[ -/]*[@-~]|\x1b\][^\x07\x1b]*(?:\x07|\x1b\\)?|\x1b[ -/]*[0-~]`)

// plain returns text as a terminal would leave it, without colours: control
// sequences are gone, and a carriage return starts its line anew.
func plain(text string) string {
	text = escapes.ReplaceAllString(text, "")
	text = strings.ReplaceAll(text, "\r\n", "\n")
	if strings.ContainsRune(text, '\r') {
		lines := strings.Split(text, "\n")
		for i, line := range lines {
			line = strings.TrimRight(line, "\r")
			lines[i] = line[strings.LastIndexByte(line, '\r')+1:]
		}
		text = strings.Join(lines, "\n")
	}
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' && r != '\t' {
			return -1
		}
		return r
	}, text)
}
