package keep

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// ReportFile is the name of the file in which the cell with the mark reports.
func ReportFile(mark string) string { return mark + "-report" }

// ReadReport reads the report of the cell with the mark. Without one, the
// program has not come to its end, and the error is os.ErrNotExist.
func ReadReport(folder, mark string) (*Report, error) {
	data, err := os.ReadFile(filepath.Join(folder, ReportFile(mark)))
	if err != nil {
		return nil, err
	}
	return parseReport(string(data))
}

func parseReport(text string) (*Report, error) {
	r := &Report{}
	for line := range strings.Lines(text) {
		fields, order, err := parseLine(line)
		if err != nil {
			return nil, fmt.Errorf("the report %q: %w", line, err)
		}
		one := func(word string) string {
			if list := fields[word]; len(list) > 0 {
				return list[0]
			}
			return ""
		}
		switch order[0] {
		case "var", "moved":
			r.Vars = append(r.Vars, VarReport{
				Name: one(order[0]), Moved: order[0] == "moved", File: one("file"), Lost: one("lost"),
				Vars: fields["vars"], Types: fields["types"],
			})
		case "file":
			r.Files = append(r.Files, FileReport{Name: one("file"), Larges: fields["larges"]})
		default:
			return nil, fmt.Errorf("the report %q begins with none of var, moved, file", line)
		}
	}
	return r, nil
}

// parseLine reads words, each followed by quoted texts.
func parseLine(line string) (fields map[string][]string, order []string, err error) {
	fields = map[string][]string{}
	for line = strings.TrimSpace(line); line != ""; line = strings.TrimSpace(line) {
		if line[0] != '"' {
			word, rest, _ := strings.Cut(line, " ")
			order, line = append(order, word), rest
			continue
		}
		quoted, err := strconv.QuotedPrefix(line)
		if err != nil || len(order) == 0 {
			return nil, nil, errDamaged
		}
		text, err := strconv.Unquote(quoted)
		if err != nil {
			return nil, nil, errDamaged
		}
		word := order[len(order)-1]
		fields[word] = append(fields[word], text)
		line = line[len(quoted):]
	}
	if len(order) == 0 {
		return nil, nil, errDamaged
	}
	return fields, order, nil
}
