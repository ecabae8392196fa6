//go:build !unix

package launch

import "syscall"

// supported tells whether gonb runs on this system.
const supported = false

const (
	interrupt = syscall.SIGINT
	terminate = syscall.SIGTERM
	kill      = syscall.SIGKILL
)

func signalGroup(int, syscall.Signal) bool { return false }

func ownGroup() *syscall.SysProcAttr { return nil }

func signalMember(int, int, syscall.Signal) bool { return false }
