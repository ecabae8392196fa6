//go:build unix && !linux

package pump

import "syscall"

// tied has no effect here: should this process be killed, its program goes with
// the process group of the kernel.
func tied() *syscall.SysProcAttr { return nil }

// adopt and endOrphans have no effect here: what a program leaves behind goes
// with the process group of the kernel.
func adopt()      {}
func endOrphans() {}
