package whatif

import (
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// Amount is a quantity as text: in the units of the sheet and, where it reads
// differently there, in those of the other system.
type Amount struct {
	Text  string `json:"text"`
	Other string `json:"other,omitempty"`
}

// in makes the amount of what prints itself in a unit system.
func in(sys quantity.System, print func(quantity.System) string) Amount {
	a := Amount{Text: print(sys)}
	if other := print(beside(sys)); other != a.Text {
		a.Other = other
	}
	return a
}

// amount makes the amount of a quantity.
func amount[Q quantity.Quantity](q Q, sys quantity.System) Amount {
	return in(sys, func(sys quantity.System) string { return quantity.Format(q, sys) })
}

// beside is the system that is not sys.
func beside(sys quantity.System) quantity.System {
	if sys == quantity.SI {
		return quantity.US
	}
	return quantity.SI
}

// Row is a row of a table: what it says in its first column, and the amounts in the
// others.
type Row struct {
	Name  string   `json:"name"`
	Cells []Amount `json:"cells"`
}

// rows are those of a table of the assessment, in both unit systems. The first column is
// that of the sheet's.
func rows(sys quantity.System, table func(quantity.System) sizing.Table) []Row {
	here, there := table(sys).Rows, table(beside(sys)).Rows
	list := make([]Row, len(here))
	for i, row := range here {
		list[i].Name = row[0]
		for j, text := range row[1:] {
			cell := Amount{Text: text}
			if other := there[i][j+1]; other != text {
				cell.Other = other
			}
			list[i].Cells = append(list[i].Cells, cell)
		}
	}
	return list
}
