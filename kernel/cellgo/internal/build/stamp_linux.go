package build

import (
	"syscall"
	"time"
)

// changeTime returns the time at which a file or its status was last changed,
// which no program can set back.
func changeTime(st *syscall.Stat_t) time.Time { return time.Unix(st.Ctim.Unix()) }
