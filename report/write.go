package report

import (
	"fmt"

	"example.com/railbook/report/internal/whole"
	"example.com/railbook/sizing"
)

// Write makes a report on a in the file at path; see [Make]. The file is written
// beside path first and then renamed, where the system can do so, and path then holds a
// whole report or what it held before. The error names the path.
func Write(path string, a *sizing.Assessment, o Options) error {
	d, err := Make(a, o)
	if err == nil {
		err = whole.Write(path, d.PDF)
	}
	if err != nil {
		return fmt.Errorf("cannot write the report %s: %w", path, err)
	}
	return nil
}
