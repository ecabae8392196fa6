//go:build unix && !linux

package build

import (
	"syscall"
	"time"
)

// changeTime returns no time: the field's name differs between systems, and the
// other parts of a file's state have to do.
func changeTime(*syscall.Stat_t) time.Time { return time.Time{} }
