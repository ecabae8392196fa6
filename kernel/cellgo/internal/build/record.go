//go:build unix

package build

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"example.com/railbook/kernel/cellgo/internal/tool"
)

// RecordCommand is the first argument with which this program is to be called by
// the go command in place of a tool; [Record] has the others.
const RecordCommand = "record"

// call is one call of the compiler or linker, as the go command made it.
type call struct {
	Args   []string `json:"args"` // the tool first
	Dir    string   `json:"dir"`  // the working folder
	Env    []string `json:"env"`
	Config string   `json:"config"` // the import configuration
}

// Record notes a call of the tool args[1] in the folder args[0], if it compiles
// or links the program of a cell, and becomes the tool. It returns only if that
// fails. What it writes would be taken for the tool's words.
func Record(args []string) error {
	if len(args) < 2 {
		return errors.New("record: want a folder and a tool")
	}
	dir, args := args[0], args[1:]
	if kind := kindOf(args); kind != "" {
		// A call that cannot be noted is like one that was not made.
		config, err := os.ReadFile(flagValue(args, "-importcfg"))
		wd, errWd := os.Getwd()
		if err == nil && errWd == nil {
			if data, err := json.Marshal(call{args, wd, os.Environ(), string(config)}); err == nil {
				os.WriteFile(filepath.Join(dir, kind), data, 0o600)
			}
		}
	}
	return tool.Exec(args[0], args, os.Environ())
}

// step returns the call as a step of a recipe. The environment of the go command
// was env; its tools get a few more entries.
func (c call) step(n names, env []string) step {
	more := slices.DeleteFunc(slices.Clone(c.Env), func(entry string) bool {
		name, _, _ := strings.Cut(entry, "=")
		return slices.Contains(env, entry) || name == "PWD" || name == "TOOLEXEC_IMPORTPATH"
	})
	return step{Args: each(c.Args, n.hide), Dir: n.hide(c.Dir), Env: each(more, n.hide)}
}

// kindOf returns "compile" or "link" for a call that makes the program of a
// cell, and "" for others.
func kindOf(args []string) string {
	kind := filepath.Base(args[0])
	switch {
	case slices.Contains(args, "-V=full"):
		return ""
	case kind == "compile" && flagValue(args, "-p") == "main" && filepath.Base(args[len(args)-1]) == mainFile:
		return kind
	case kind == "link":
		return kind
	}
	return ""
}

// flagValue returns the argument after the flag.
func flagValue(args []string, flag string) string {
	if i := slices.Index(args, flag); i >= 0 && i+1 < len(args) {
		return args[i+1]
	}
	return ""
}

// readCall reads what Record noted.
func readCall(dir, kind string) (call, error) {
	var c call
	data, err := os.ReadFile(filepath.Join(dir, kind))
	if err != nil {
		return c, err
	}
	if err := json.Unmarshal(data, &c); err != nil {
		return c, err
	}
	if len(c.Args) == 0 {
		return c, fmt.Errorf("an empty call of %s", kind)
	}
	return c, nil
}

// importConfig is what an import configuration says: for packages the compiled
// file, and for a program its encoded build information.
type importConfig struct {
	files map[string]string
	info  string
}

// parseConfig reads an import configuration. The error is about a line of a kind
// that a recipe has no place for.
func parseConfig(text string) (importConfig, error) {
	c := importConfig{files: map[string]string{}}
	for line := range strings.Lines(text) {
		line = strings.TrimSuffix(line, "\n")
		verb, rest, _ := strings.Cut(line, " ")
		switch verb {
		case "packagefile":
			path, file, ok := strings.Cut(rest, "=")
			if !ok {
				return c, fmt.Errorf("import configuration: line %q", line)
			}
			c.files[path] = file
		case "modinfo":
			c.info = rest
		case "#", "":
		default:
			return c, fmt.Errorf("import configuration: line %q", line)
		}
	}
	return c, nil
}
