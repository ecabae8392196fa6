//go:build unix

package keep

import (
	"os"
	"path/filepath"
	"syscall"
)

// mapLarge maps a file of a large block into memory. What is written there
// stays with this process.
func mapLarge(folder, name string, size int) ([]byte, error) {
	f, err := os.Open(filepath.Join(folder, name))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil || info.Size() != int64(size) {
		return nil, errDamaged // reading beyond its end would end the process
	}
	return syscall.Mmap(int(f.Fd()), 0, size, syscall.PROT_READ|syscall.PROT_WRITE, syscall.MAP_PRIVATE)
}
