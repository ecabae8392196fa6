// Package table reads tables of delimited text as loggers and dynamometers write them,
// one row at a time in memory that does not grow with the file.
//
//	r, err := table.NewReader(file, table.Options{})
//	…
//	speed, _ := r.Find("RPM")
//	for r.Next() {
//		v, kind := r.Number(speed)
//		…
//	}
//	if err := r.Err(); err != nil {
//
// What the text is like is found from its beginning and shown as a [Shape]: the
// encoding (UTF-8 with or without a byte order mark, UTF-16 with one), the line ends
// (LF, CRLF or CR), the delimiter (comma, semicolon or tab), the decimal mark, lines
// before the header, and a line of units. [Options] overrides each of them, for text
// that can be read in two ways.
//
// Rows of another number of cells than the header has are left out and counted. Cells
// may stand in quotes, and then hold delimiters and line ends, as RFC 4180 has it.
package table
