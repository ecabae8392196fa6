//go:build unix

package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"

	"example.com/railbook/kernel/cellgo/internal/build"
	"example.com/railbook/kernel/cellgo/internal/pump"
	"example.com/railbook/kernel/cellgo/setting"
)

func main() {
	name, args := filepath.Base(os.Args[0]), os.Args[1:]
	var err error
	if len(args) > 0 && name == programName && args[0] == build.RecordCommand {
		err = build.Record(args[1:])
	} else {
		err = run(name, args)
	}
	if exit, ok := errors.AsType[*exec.ExitError](err); ok && exit.Exited() {
		os.Exit(exit.ExitCode()) // it has said why
	}
	if err != nil {
		fmt.Fprintf(os.Stderr, "railbook: %v\n", err)
		os.Exit(1)
	}
}

// programName is the name of this program where it plays no other.
const programName = "cellgo"

// run plays the program called name.
func run(name string, args []string) error {
	s, err := setting.Read()
	if err != nil {
		return err
	}
	switch name {
	case "go":
		return runGo(s, args)
	case "goimports":
		return runGoimports(s, args)
	default:
		return pump.Run(s, os.Args)
	}
}
