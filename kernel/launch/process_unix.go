//go:build unix

package launch

import "syscall"

// supported tells whether gonb runs on this system.
const supported = true

const (
	interrupt = syscall.SIGINT
	terminate = syscall.SIGTERM
	kill      = syscall.SIGKILL
)

// ownGroup makes a process the leader of a new group, out of reach of the
// terminal's Ctrl-C.
func ownGroup() *syscall.SysProcAttr { return &syscall.SysProcAttr{Setpgid: true} }

// signalGroup sends the signal to every process of the group and reports
// whether there was one.
func signalGroup(group int, sig syscall.Signal) bool {
	return syscall.Kill(-group, sig) == nil
}

// signalMember sends the signal to a process if it belongs to the group, and
// reports whether it did.
func signalMember(pid, group int, sig syscall.Signal) bool {
	got, err := syscall.Getpgid(pid)
	return err == nil && got == group && syscall.Kill(pid, sig) == nil
}
