package nbformat

import (
	"fmt"
	"io"
	"os"

	"example.com/railbook/kernel/nbformat/atomicfile"
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
// new text is complete. Its errors begin with the path.
func (nb *Notebook) WriteFile(path string) error {
	data, err := nb.Encode()
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return atomicfile.Write(path, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}
