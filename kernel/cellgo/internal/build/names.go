//go:build unix

package build

import (
	"path/filepath"
	"strings"
)

// names are the names that differ between two builds of which one follows the
// recipe of the other.
type names struct {
	dir  string // the folder of the cell
	work string // the folder of what is made on the way, as the go command lays it out
}

// What stands for them in a recipe. No path or flag has a zero byte in it.
const (
	dirName  = "\x00dir"
	workName = "\x00work"
	baseName = "\x00base" // the last element of the folder, which is also the cell's package
)

// hide replaces the names in a text by what stands for them.
func (n names) hide(text string) string {
	if n.work != "" {
		text = strings.ReplaceAll(text, n.work, workName)
	}
	text = strings.ReplaceAll(text, n.dir, dirName)
	return strings.ReplaceAll(text, filepath.Base(n.dir), baseName)
}

// show puts the names into a text from a recipe.
func (n names) show(text string) string {
	return strings.NewReplacer(workName, n.work, dirName, n.dir, baseName, filepath.Base(n.dir)).Replace(text)
}

func each(texts []string, change func(string) string) []string {
	out := make([]string, len(texts))
	for i, text := range texts {
		out[i] = change(text)
	}
	return out
}
