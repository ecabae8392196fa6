package main

import (
	"fmt"
	"path"
	"strings"
)

// bare is the package whose names cells use as they are, without the package's
// name before them, and bareName is one of these names. A Go program may not
// import a package so and not use it, so the setup uses that one for all cells.
const (
	bare     = "example.com/railbook/kernel/display"
	bareName = "Show"
)

// preloaded are further packages that cells can use without an import line:
// those of Railbook, which gonb would take long to find in every cell, and
// those for whose name there would be a choice. Each is called by the last
// element of its path. A cell links only those it uses.
var preloaded = []string{
	"fmt",
	"math",
	"example.com/railbook/kernel/display/paper",
	"example.com/railbook/sizing",
	"example.com/railbook/sizing/fuel",
	"example.com/railbook/sizing/quantity",
	"example.com/railbook/sizing/sweep",
}

// setup returns the code to run before the first cell. gonb remembers its
// declarations and imports, and drops from each cell the imports it does not
// use. It must not look for modules by itself: that costs time in every cell,
// and what cells can use is what the Railbook module requires.
func setup() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%%noautoget\nimport (\n\t. %q\n", bare)
	for _, p := range preloaded {
		fmt.Fprintf(&b, "\t%q\n", p)
	}
	fmt.Fprintf(&b, ")\n\nvar _ = %s\n", bareName)
	return b.String()
}

// packageNames lists the preloaded packages as a cell calls them.
func packageNames() string {
	names := make([]string, len(preloaded))
	for i, p := range preloaded {
		names[i] = path.Base(p)
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " and " + names[last]
}
