package cell

import (
	"fmt"
	"os"
	"path/filepath"
)

// OutVariable names the environment variable that holds the folder for what
// cells write. Where it is empty that is the working folder.
const OutVariable = "RAILBOOK_OUT"

// OutPath returns the path of a file to write, in the folder meant for it, and
// makes the folders in front of it. The error says what name is accepted.
func OutPath(name string) (string, error) {
	if !filepath.IsLocal(name) || filepath.Clean(name) == "." {
		return "", fmt.Errorf("cannot write %q: want the name of a file inside the output folder, such as %q", name, "first-build.pdf")
	}
	path := filepath.Join(os.Getenv(OutVariable), name)
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return "", fmt.Errorf("cannot write %q: %w", name, err)
	}
	return path, nil
}
