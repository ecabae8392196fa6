//go:build !unix

package keep

import (
	"os"
	"path/filepath"
)

// mapLarge reads a file of a large block.
func mapLarge(folder, name string, size int) ([]byte, error) {
	data, err := os.ReadFile(filepath.Join(folder, name))
	if err != nil {
		return nil, err
	}
	if len(data) != size {
		return nil, errDamaged
	}
	return data, nil
}
