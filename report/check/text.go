package check

import (
	"maps"
	"slices"
	"strings"
	"unicode"

	"example.com/railbook/report/attach"
	"example.com/railbook/report/internal/typeface"
)

// oneLine makes one line of a message, shortened, with nothing in it that a terminal
// would act on.
func oneLine(text string) string {
	const most = 300
	text = strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(text, "?"))
	runes := []rune(strings.Join(strings.Fields(text), " "))
	if len(runes) > most {
		return string(runes[:most]) + " …"
	}
	return string(runes)
}

// squeeze is text as a page shows it, without its white space: lines are broken where the
// page wants it.
func squeeze(text string) string {
	text, _ = typeface.Printable(text)
	return strings.ReplaceAll(text, " ", "")
}

func sortedNames(files map[string]attach.File) []string { return slices.Sorted(maps.Keys(files)) }
