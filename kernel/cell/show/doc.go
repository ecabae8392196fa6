// Package show displays the value of a cell's last expression. It is linked into
// the cells that have one, so it takes care to be small: it speaks the cell
// kernel's protocol for displays by itself, where the program does not link the
// kernel's own library anyway, and prints values without package fmt.
//
// A value is shown as what it says of itself by a method HTML, Markdown or SVG,
// each without arguments and giving a string, or PNG, giving bytes. Otherwise an
// error shows its message, a list of structs is a table, a value with a method
// String is what that says, and all others are shown in Go syntax, fields of
// value zero left out.
package show
