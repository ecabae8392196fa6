package pump

import (
	"bytes"
	"os"
	"path/filepath"
	"strconv"
	"syscall"
	"time"
)

// tied has the system kill a program when the thread that started it ends.
func tied() *syscall.SysProcAttr { return &syscall.SysProcAttr{Pdeathsig: syscall.SIGKILL} }

// adopt makes this process the parent of all that its children leave behind. If
// that fails there will be no orphans to end.
func adopt() {
	const setChildSubreaper = 36 // PR_SET_CHILD_SUBREAPER
	syscall.RawSyscall(syscall.SYS_PRCTL, setChildSubreaper, 1, 0)
}

// orphansLimit is how long the end of orphans is waited for. Only the system can
// keep them longer.
const orphansLimit = 2 * time.Second

// endOrphans ends all children of this process, and theirs.
func endOrphans() {
	for start := time.Now(); time.Since(start) < orphansLimit; {
		switch pid, err := syscall.Wait4(-1, nil, syscall.WNOHANG, nil); {
		case err == syscall.EINTR, pid > 0:
		case err != nil: // there are none
			return
		default:
			for _, child := range children() {
				syscall.Kill(child, syscall.SIGKILL)
			}
			time.Sleep(time.Millisecond)
		}
	}
}

// children returns the children of this process.
func children() []int {
	var pids []int
	stats, _ := filepath.Glob("/proc/[0-9]*/stat")
	for _, name := range stats {
		stat, err := os.ReadFile(name)
		if err != nil {
			continue // it has just ended
		}
		// The name of the command, in parentheses, may hold anything.
		rest := stat[bytes.LastIndexByte(stat, ')')+1:]
		fields := bytes.Fields(rest) // state, parent, …
		if len(fields) < 2 {
			continue
		}
		if parent, err := strconv.Atoi(string(fields[1])); err != nil || parent != os.Getpid() {
			continue
		}
		if pid, err := strconv.Atoi(filepath.Base(filepath.Dir(name))); err == nil {
			pids = append(pids, pid)
		}
	}
	return pids
}
