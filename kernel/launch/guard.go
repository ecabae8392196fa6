package launch

import (
	"io"
	"os/exec"
	"strconv"
)

// guard is a process that outlives this one, should it be killed, and then
// does what [Kernel.Close] no longer can: it kills the kernel's process group
// and removes the kernel's files.
type guard struct {
	cmd  *exec.Cmd
	pipe io.Closer
}

// guardScript waits until nobody holds the other end of its input any more. A
// process of the group may be writing a file while the folder is removed, so
// that is tried twice.
const guardScript = `cat >/dev/null
kill -s KILL -- "-$1" 2>/dev/null
rm -rf "$2" 2>/dev/null || { sleep 1; rm -rf "$2"; }`

// startGuard guards the process group and the folder.
func startGuard(group int, folder string) (*guard, error) {
	return runGuard(guardScript, strconv.Itoa(group), folder)
}

// folderScript does so for a folder alone.
const folderScript = `cat >/dev/null
rm -rf "$1" 2>/dev/null || { sleep 1; rm -rf "$1"; }`

// GuardFolder has the folder removed should this process be killed. Dismiss ends that.
func GuardFolder(folder string) (dismiss func(), err error) {
	g, err := runGuard(folderScript, folder)
	if err != nil {
		return nil, err
	}
	return g.dismiss, nil
}

func runGuard(script string, args ...string) (*guard, error) {
	cmd := exec.Command("/bin/sh", append([]string{"-c", script, "railbook-guard"}, args...)...)
	cmd.SysProcAttr = ownGroup()
	pipe, err := cmd.StdinPipe()
	if err != nil {
		return nil, err
	}
	if err := cmd.Start(); err != nil {
		return nil, err
	}
	return &guard{cmd, pipe}, nil
}

// dismiss ends the guard without its acting.
func (g *guard) dismiss() {
	g.cmd.Process.Kill()
	signalGroup(g.cmd.Process.Pid, kill) // the shell's child
	g.cmd.Wait()                         // its error is that it was killed
	g.pipe.Close()
}
