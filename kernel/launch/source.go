package launch

import (
	"crypto/sha256"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// cellgoFolders hold the source of cellgo, its own packages and those of the
// module that they import, below kernel.
var cellgoFolders = []string{"cache", "cellgo", "cellio"}

// cellgoSum tells apart states of cellgo's source.
func (m Module) cellgoSum() (string, error) {
	hash := sha256.New()
	for _, folder := range cellgoFolders {
		root := filepath.Join(m.Root, "kernel", folder)
		err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			text, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			rel, err := filepath.Rel(root, path)
			fmt.Fprintf(hash, "%s %s %d\n%s", folder, rel, len(text), text)
			return err
		})
		if err != nil {
			return "", fmt.Errorf("the source of cellgo: %w", err)
		}
	}
	return fmt.Sprintf("%x", hash.Sum(nil)[:6]), nil
}
