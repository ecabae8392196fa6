//go:build unix

package launch

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
)

// Break sends the signal to every process that the kernel has started, at whatever depth,
// but not to the kernel itself. It does not wait. The error says that they cannot be
// found, as on a system without a /proc like that of Linux.
func (k *Kernel) Break(sig syscall.Signal) error {
	kernel := k.cmd.Process.Pid
	list, err := filepath.Glob("/proc/[0-9]*/stat")
	if err != nil || len(list) == 0 {
		return os.ErrNotExist
	}
	parents := map[int]int{}
	for _, path := range list {
		if pid, parent, ok := kinship(path); ok {
			parents[pid] = parent
		}
	}
	for pid := range parents {
		for p, steps := parents[pid], 0; p > 1 && steps < len(parents); p, steps = parents[p], steps+1 {
			if p == kernel {
				syscall.Kill(pid, sig) // it may have ended meanwhile
				break
			}
		}
	}
	return nil
}

// kinship reads a process and its parent from its stat file, whose second field, a name
// in parentheses, may hold anything; see proc(5).
func kinship(path string) (pid, parent int, ok bool) {
	data, err := os.ReadFile(path)
	if err != nil {
		return 0, 0, false // it has ended
	}
	text := string(data)
	end := strings.LastIndexByte(text, ')')
	fields := strings.Fields(text[end+1:])
	if end < 0 || len(fields) < 2 {
		return 0, 0, false
	}
	pid, err = strconv.Atoi(filepath.Base(filepath.Dir(path)))
	if err != nil {
		return 0, 0, false
	}
	parent, err = strconv.Atoi(fields[1])
	return pid, parent, err == nil
}
