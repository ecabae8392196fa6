package fuel

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// row is one row of a table with named columns.
type row struct {
	file string
	line int
	text map[string]string
}

// fail reports what is wrong with one column of the row.
func (r row) fail(column, format string, args ...any) error {
	return fmt.Errorf("fuel: %s: row %d: column %s: %s", r.file, r.line, column, fmt.Sprintf(format, args...))
}

// readTable reads CSV text with exactly the given columns.
func readTable(file, text string, columns []string) ([]row, error) {
	in := csv.NewReader(strings.NewReader(text))
	in.FieldsPerRecord = -1 // counted here, for a message in this package's words
	header, err := in.Read()
	if err != nil || !slices.Equal(header, columns) {
		return nil, fmt.Errorf("fuel: %s: row 1: the columns are not %s", file, strings.Join(columns, ","))
	}
	var rows []row
	for {
		fields, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("fuel: %s: %w", file, err)
		}
		r := row{file: file, text: map[string]string{}}
		r.line, _ = in.FieldPos(0)
		if len(fields) != len(columns) {
			return nil, r.fail(columns[min(len(fields), len(columns))-1], "%d columns instead of %d", len(fields), len(columns))
		}
		for i, name := range columns {
			r.text[name] = strings.TrimSpace(fields[i])
		}
		rows = append(rows, r)
	}
	return rows, nil
}
