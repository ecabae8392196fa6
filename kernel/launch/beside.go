package launch

import (
	"os"
	"path/filepath"
	"strconv"

	"example.com/railbook/kernel/cellgo/setting"
)

// stageFile is the name, in the kernel's folder, of the file that names the
// process that builds a cell, while there is one.
const stageFile = "stage"

// creditFile is the name, in the kernel's folder, of the file that says how many
// events were taken.
const creditFile = "credit"

// setting returns how the programs beside the kernel are to act.
func (k *Kernel) setting(tools Tools, o Options) setting.Setting {
	return setting.Setting{
		Shims: tools.shims(), Program: tools.cellgo(),
		Direct: o.Direct, Events: o.Events,
		Credit: filepath.Join(k.temp, creditFile),
		Stage:  filepath.Join(k.temp, stageFile),
	}
}

// StopBuild interrupts the building of a cell, which the kernel itself does not:
// its interrupt reaches running programs only. The cell then ends with an error.
// It reports whether a cell was being built; it never is with neither
// [Options].Direct nor Events.
func (k *Kernel) StopBuild() bool {
	text, err := os.ReadFile(filepath.Join(k.temp, stageFile))
	if err != nil {
		return false
	}
	pid, err := strconv.Atoi(string(text))
	return err == nil && signalMember(pid, k.cmd.Process.Pid, interrupt)
}

// Took tells that n events of a program ([Options].Events) were taken off the
// kernel's hands. From the first call on, with 0 before the first cell, programs
// are held that run too far ahead, so that no output piles up in the kernel, which
// has no limit of its own. Without any call the speed of programs is limited
// instead.
func (k *Kernel) Took(n int) error { return k.credit.Took(n) }
