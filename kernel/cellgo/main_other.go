//go:build !unix

package main

import (
	"fmt"
	"os"
	"runtime"
)

// main says that there is no cell kernel to stand beside.
func main() {
	fmt.Fprintf(os.Stderr, "railbook: cellgo does not run on %s\n", runtime.GOOS)
	os.Exit(1)
}
