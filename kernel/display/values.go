package display

import (
	"fmt"
	"strings"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// Table makes a table of values. The heads of its columns stand between bars, with the unit
// behind "in" where quantities are to be printed in one:
//
//	Table("What a horsepower costs", "Fuel | BSFC in lb/(hp h) | Heat in MJ/kg",
//		Row("gasoline", low, gasoline.LHV()),
//		Row("E85", high, e85.LHV()))
//
// Quantities in a column without a unit are printed in metric units and in those of the
// United States trade.
func Table(caption, heads string, rows ...[]any) sizing.Table {
	return cell.Must(valueTable(caption, heads, rows))
}

// Row is a row of a [Table]: texts, numbers and quantities.
func Row(cells ...any) []any { return cells }

func valueTable(caption, heads string, rows [][]any) (sizing.Table, error) {
	t := sizing.Table{Caption: caption}
	var units []string
	for head := range strings.SplitSeq(heads, "|") {
		head = strings.TrimSpace(head)
		t.Columns = append(t.Columns, sizing.Column{Name: head, Numeric: len(rows) > 0})
		units = append(units, scale(head).Unit)
	}
	for i, row := range rows {
		if len(row) != len(t.Columns) {
			return sizing.Table{}, fmt.Errorf("row %d has %d cells; want %d, as many as there are heads", i+1, len(row), len(t.Columns))
		}
		texts := make([]string, len(row))
		for j, v := range row {
			text, isText := v.(string)
			if !isText {
				var err error
				if text, err = valueText(v, units[j]); err != nil {
					return sizing.Table{}, fmt.Errorf("row %d, %s: %w", i+1, t.Columns[j].Name, err)
				}
			}
			t.Columns[j].Numeric = t.Columns[j].Numeric && !isText
			texts[j] = text
		}
		t.Rows = append(t.Rows, texts)
	}
	return t, nil
}

// figures is to how many a table of values prints.
const figures = 4

// valueText prints a number, or a quantity in a unit where there is one and else in both
// systems.
func valueText(v any, unit string) (string, error) {
	switch v := v.(type) {
	case int:
		return fmt.Sprint(v), nil
	case float64:
		return quantity.Digits(v, figures), nil
	}
	for _, k := range kinds {
		text, ok, err := k.in(v, unit)
		if ok {
			return text, err
		}
	}
	if s, ok := v.(fmt.Stringer); ok {
		return s.String(), nil
	}
	return "", fmt.Errorf("cannot print a %T; want text, a number or a quantity", v)
}

// inUnit prints a quantity to four figures in a unit, without it, and tells whether v is a Q.
func inUnit[Q quantity.Quantity](v any, unit string) (text string, ok bool, err error) {
	q, ok := v.(Q)
	if !ok {
		return "", false, nil
	}
	if unit == "" {
		text, _ = both[Q](v)
		return text, true, nil
	}
	_, number, _, err := quantity.Scale[Q](unit)
	if err != nil {
		return "", true, err
	}
	return quantity.Digits(number(q), figures), true, nil
}
