// Package setting tells the programs beside the cell kernel how to act: whoever
// starts the kernel puts a setting into its environment, and the programs that
// the kernel starts find it there.
package setting

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"
)

// Env names the environment variable that holds the setting.
const Env = "RAILBOOK_CELLGO"

// ProgramSuffix is what follows the name of a cell's program where the pump bears
// that name.
const ProgramSuffix = ".program"

// Setting is how the programs beside the kernel act. The zero Setting has them
// do what the programs do whose names they bear, and no more.
type Setting struct {
	// Shims is the folder that holds the programs under the names of others. It
	// stands on the kernel's PATH and is taken off it to find the others.
	Shims string `json:"shims"`
	// Program is the path of the program that plays all these parts.
	Program string `json:"program"`
	// Direct has cells compiled by calling the compiler and the linker instead of
	// the go command, where that makes the same program, and module questions
	// answered from what is known.
	Direct bool `json:"direct"`
	// Events has Program put before the program of every cell, to report what that
	// writes and how it ends as events.
	Events bool `json:"events"`
	// Credit is the file by which the reader of the events tells how many it has
	// taken (package credit); without one it does not.
	Credit string `json:"credit"`
	// Stage is the file in which a program that builds a cell writes its process
	// number for as long as it runs; without one it does not.
	Stage string `json:"stage"`
}

// Entry returns the setting as an entry of an environment.
func (s Setting) Entry() string {
	data, err := json.Marshal(s)
	if err != nil {
		panic("setting: " + err.Error()) // strings and truth values always encode
	}
	return Env + "=" + string(data)
}

// Read returns the setting in this process's environment; without one, the zero
// Setting.
func Read() (Setting, error) {
	text := os.Getenv(Env)
	if text == "" {
		return Setting{}, nil
	}
	var s Setting
	if err := json.Unmarshal([]byte(text), &s); err != nil {
		return Setting{}, fmt.Errorf("environment variable %s=%q: %w", Env, text, err)
	}
	return s, nil
}

// Without returns the environment env for a program that is to know nothing of
// the setting: without its entry, and without the shims on PATH.
func (s Setting) Without(env []string) []string {
	out := slices.DeleteFunc(slices.Clone(env), func(entry string) bool {
		return strings.HasPrefix(entry, Env+"=")
	})
	for i, entry := range out {
		if list, ok := strings.CutPrefix(entry, "PATH="); ok {
			out[i] = "PATH=" + s.Path(list)
		}
	}
	return out
}

// Path returns the list of folders without the shims.
func (s Setting) Path(list string) string {
	if s.Shims == "" {
		return list
	}
	sep := string(os.PathListSeparator)
	return strings.Join(slices.DeleteFunc(strings.Split(list, sep), func(dir string) bool { return dir == s.Shims }), sep)
}
