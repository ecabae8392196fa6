//go:build unix

package build

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// moduleFiles are the files in a cell's folder that say which modules it uses.
var moduleFiles = []string{"go.mod", "go.sum", "go.work", "go.work.sum"}

// keyOf returns the key of the recipes for cells in dir: cells for which it is
// the same are built by the same recipe, as long as that holds. It reports
// false where the go command would be told something that a recipe does not
// account for.
func keyOf(dir, goCommand string, env []string) (key string, ok bool) {
	hash := sha256.New()
	target, err := filepath.EvalSymlinks(goCommand)
	if err != nil {
		return "", false
	}
	state, _, err := watch{Kind: watchFile, Path: target}.now()
	if err != nil {
		return "", false
	}
	fmt.Fprintf(hash, "go %q %s\n", target, state)
	// What "go env -w" has written is an environment, too, below the other.
	settings, err := os.ReadFile(goEnvFile(env))
	if err != nil && !os.IsNotExist(err) {
		return "", false
	}
	fmt.Fprintf(hash, "settings %q\n", settings)
	if !supportedFlags(lookup(env, "GOFLAGS")) {
		return "", false
	}
	for _, entry := range append(strings.Split(string(settings), "\n"), env...) {
		if name, value, _ := strings.Cut(entry, "="); unsupported(name, value) {
			return "", false
		}
	}
	for _, entry := range slices.Sorted(slices.Values(env)) {
		if name, _, _ := strings.Cut(entry, "="); counts(name) {
			fmt.Fprintf(hash, "env %q\n", entry)
		}
	}
	if !rooted(dir) {
		return "", false
	}
	for _, name := range moduleFiles {
		text, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil && !os.IsNotExist(err) {
			return "", false
		}
		fmt.Fprintf(hash, "%s %q\n", name, names{dir: dir}.hide(string(text)))
		if bytes.Contains(text, []byte("./")) { // a path that begins here
			fmt.Fprintf(hash, "at %q\n", dir)
		}
	}
	return hex.EncodeToString(hash.Sum(nil)[:16]), true
}

// rooted reports whether the module files that count are those in dir: the go
// command looks for go.mod and go.work in the folders above, too.
func rooted(dir string) bool {
	if _, err := os.Stat(filepath.Join(dir, "go.mod")); err != nil {
		return false
	}
	for up := dir; ; up = filepath.Dir(up) {
		if _, err := os.Stat(filepath.Join(up, "go.work")); err == nil {
			return up == dir
		}
		if up == filepath.Dir(up) {
			return true
		}
	}
}

// counts reports whether the go command or a tool of it may look at the
// variable. The folders for temporary files change nothing in what is built.
func counts(name string) bool {
	switch name {
	case "CC", "CXX", "FC", "AR", "PKG_CONFIG", "PATH", "HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME":
		return true
	case "GOTMPDIR":
		return false
	}
	return strings.HasPrefix(name, "CGO_") || strings.HasPrefix(name, "GO") && !strings.HasPrefix(name, "GONB_")
}

// unsupported reports whether the variable has the go command do something that
// only it can do.
func unsupported(name, value string) bool {
	switch name {
	case "GOWORK", "GO111MODULE", "GOPACKAGESDRIVER", "GOCACHEPROG", "GOCOVERDIR":
		return value != ""
	}
	return false
}

// flagsSupported are the flags in GOFLAGS whose effect on a build is all in the
// calls of the tools.
var flagsSupported = []string{"-buildvcs", "-ldflags", "-gcflags", "-tags", "-trimpath", "-race", "-p"}

// supportedFlags reports whether GOFLAGS has none but the supported flags, and
// says that nothing is to be asked of version control.
func supportedFlags(goflags string) bool {
	flags, err := splitFlags(goflags)
	if err != nil {
		return false
	}
	for _, flag := range flags {
		name, _, _ := strings.Cut(flag, "=")
		if !slices.Contains(flagsSupported, "-"+strings.TrimLeft(name, "-")) {
			return false
		}
	}
	return slices.Contains(flags, "-buildvcs=false")
}

// splitFlags splits GOFLAGS: at spaces, except between quotes, single or double,
// that stand at the beginning and the end of a flag.
func splitFlags(text string) ([]string, error) {
	var flags []string
	for {
		text = strings.TrimLeft(text, " \t\n\r")
		if text == "" {
			return flags, nil
		}
		if quote := text[0]; quote == '\'' || quote == '"' {
			flag, rest, ok := strings.Cut(text[1:], string(quote))
			if !ok {
				return nil, fmt.Errorf("GOFLAGS: the quote %c is not closed", quote)
			}
			flags, text = append(flags, flag), rest
			continue
		}
		end := strings.IndexAny(text, " \t\n\r")
		if end < 0 {
			end = len(text)
		}
		flags, text = append(flags, text[:end]), text[end:]
	}
}

// goEnvFile returns the path of the go command's file of settings, or "" if it
// has none.
func goEnvFile(env []string) string {
	switch file := lookup(env, "GOENV"); file {
	case "":
	case "off":
		return ""
	default:
		return file
	}
	dir := lookup(env, "XDG_CONFIG_HOME")
	if dir == "" {
		if dir, _ = os.UserConfigDir(); dir == "" {
			return ""
		}
	}
	return filepath.Join(dir, "go", "env")
}

func lookup(env []string, name string) string {
	for _, entry := range slices.Backward(env) { // the last of a name counts
		if value, ok := strings.CutPrefix(entry, name+"="); ok {
			return value
		}
	}
	return ""
}
