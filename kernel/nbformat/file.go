package nbformat

import (
	"fmt"
	"os"

	"github.com/google/renameio/v2/maybe"
)

// ReadFile reads the notebook at path. Its errors begin with the path.
func ReadFile(path string) (*Notebook, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	nb, err := Parse(data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return nb, nil
}

// WriteFile writes the notebook to path, replacing what is there only once the
// new text is complete, where the system can rename so. Its errors name the path.
func (nb *Notebook) WriteFile(path string) error {
	data, err := nb.Encode()
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return maybe.WriteFile(path, data, 0o644)
}
