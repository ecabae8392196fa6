package report

import (
	"encoding/json"
	"fmt"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/catalogue"
	"example.com/railbook/sizing/quantity"
)

// ChoiceName is the name of what a report with a choice of parts carries beside the
// others.
const ChoiceName = "choice.json"

// Choice is how the parts were chosen, as the section on it prints it: the sets that
// carry, ranked, and why the others do not. The report carries it, since the lists that
// parts were chosen from need not be attached: whoever checks the report finds the section
// to be that of the maker, not that it follows from the lists.
type Choice struct {
	Words  []string       `json:"words"`
	Tables []sizing.Table `json:"tables"`
}

// mostSets is how many sets of what more money buys a report shows.
const mostSets = 8

// OfChoice says what a choice among lists of parts came to, in a unit system.
func OfChoice(c *catalogue.Choice, sys quantity.System) *Choice {
	out := &Choice{}
	if c.Carry == 0 {
		out.Words = []string{"No set of these lists carries the target with the margins asked for."}
	} else {
		out.Words = []string{"Ranked by " + c.Rule}
		out.Tables = append(out.Tables, c.BestTable(sys))
	}
	if len(c.Front) > 1 {
		out.Tables = append(out.Tables, c.FrontTable(sys, mostSets))
	}
	if len(c.Rejections) > 0 {
		out.Tables = append(out.Tables, c.RejectionTable())
	}
	if len(c.Misses) > 0 {
		out.Tables = append(out.Tables, c.MissTable())
	}
	return out
}

// DecodeChoice reads what a report carries. The error tells of text that is no JSON of it,
// or of a table whose rows do not fit its columns.
func DecodeChoice(data []byte) (*Choice, error) {
	var c Choice
	if err := json.Unmarshal(data, &c); err != nil {
		return nil, fmt.Errorf("%s: %w", ChoiceName, err)
	}
	return &c, c.check()
}

func (c *Choice) check() error { return checkTables(ChoiceName, c.Tables) }

// checkTables wants tables that can be printed.
func checkTables(name string, tables []sizing.Table) error {
	for _, t := range tables {
		if len(t.Columns) == 0 {
			return fmt.Errorf("%s: table %.60q has no columns", name, t.Caption)
		}
		for i, row := range t.Rows {
			if len(row) != len(t.Columns) {
				return fmt.Errorf("%s: table %.60q, row %d has %d cells and %d columns", name, t.Caption, i+1, len(row), len(t.Columns))
			}
		}
	}
	return nil
}

// chosen writes the section on the choice of parts.
func (w *writer) chosen() {
	tables := narrow(w.choice.Tables)
	text := "The parts of this build were chosen from lists of parts: every set of them was assessed on the build's demand, those that carry the target with the margins wanted were ranked, and of the others the first thing that each fails at was noted."
	if len(tables) > 0 {
		text += " " + w.tablesFollow(len(tables)) + "."
	}
	w.text(text)
	for _, words := range w.choice.Words {
		w.text(words)
	}
	for _, t := range tables {
		w.table(t)
	}
}

// mostColumns is how many columns a table may have to fit on a page.
const mostColumns = 9

// narrow cuts tables that are too wide into several, each of which begins with the column
// that names the rows.
func narrow(tables []sizing.Table) []sizing.Table {
	var list []sizing.Table
	for _, t := range tables {
		for from := 1; ; from += mostColumns - 2 {
			if len(t.Columns) <= mostColumns {
				list = append(list, t)
				break
			}
			to := min(from+mostColumns-2, len(t.Columns))
			part := sizing.Table{Caption: t.Caption, Status: t.Status}
			if from > 1 {
				part.Caption += ", continued"
			}
			part.Columns = append([]sizing.Column{t.Columns[0]}, t.Columns[from:to]...)
			for _, row := range t.Rows {
				part.Rows = append(part.Rows, append([]string{row[0]}, row[from:to]...))
			}
			list = append(list, part)
			if to == len(t.Columns) {
				break
			}
		}
	}
	return list
}

// tablesFollow refers to the next tables: "Tables 7 to 9 have it".
func (w *writer) tablesFollow(n int) string {
	switch n {
	case 1:
		return capital(w.next()) + " has it"
	case 2:
		return capital(w.next()) + " and " + w.after(1) + " have it"
	}
	return "The tables from " + w.next() + " to " + w.after(n-1) + " have it"
}
