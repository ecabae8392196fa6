package scripts

import (
	"errors"
	"fmt"
)

// ErrNoNPM is returned when the scripts are not in the cache and there is no
// npm client to fetch them.
var ErrNoNPM = errors.New("the chart scripts are not in the cache and there is no npm client on PATH; " + Hint)

// NPMError reports that the npm client could not supply a package.
type NPMError struct {
	Package string // "echarts@6.1.0"
	Line    string // what npm said, one line
	Err     error  // how npm ended
}

func (e *NPMError) Error() string {
	return fmt.Sprintf("npm could not fetch %s: %s; %s", e.Package, e.Line, Hint)
}

// Unwrap returns how npm ended.
func (e *NPMError) Unwrap() error { return e.Err }

// IntegrityError reports content that is not what was pinned; it was not used
// and not kept.
type IntegrityError struct {
	Name string // "echarts@6.1.0", or with a file: "echarts@6.1.0 dist/echarts.min.js"
	Got  string // digest of what came, or "nothing" for a missing file
	Want string // pinned digest
}

func (e *IntegrityError) Error() string {
	return fmt.Sprintf("%s failed its integrity check (got %s, want %s) and was not used; %s", e.Name, e.Got, e.Want, Hint)
}
