package cell

import (
	"fmt"
	"os"
	"strings"
)

// Fail ends the program over a mistake that the author of the cell can mend: it
// prints the reason to standard error and exits with status 1, by which the
// kernel knows that the cell has failed.
func Fail(err error) {
	fmt.Fprintln(os.Stderr, strings.TrimSpace(err.Error()))
	os.Exit(1)
}

// Must returns v, or ends the program as [Fail] does.
func Must[T any](v T, err error) T {
	if err != nil {
		Fail(err)
	}
	return v
}
