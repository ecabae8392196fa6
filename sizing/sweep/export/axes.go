package export

// Axes walks over the rows of a table and gives the value of each axis there. It is
// made by [Table.Walk].
type Axes struct {
	values [][]float64
	at     []int
}

// Walk returns the values of the axes at the first row.
func (t *Table) Walk() *Axes { return &Axes{values: t.values, at: make([]int, len(t.values))} }

// Value is the value of an axis at the row.
func (a *Axes) Value(axis int) float64 { return a.values[axis][a.at[axis]] }

// Next goes on to the next row and returns the first axis whose value there is another;
// the axes behind it start again from their first value. After the last row it is at the
// first again.
func (a *Axes) Next() (changed int) {
	for k := len(a.at) - 1; k >= 0; k-- {
		if a.at[k]++; a.at[k] < len(a.values[k]) {
			return k
		}
		a.at[k] = 0
	}
	return 0
}
