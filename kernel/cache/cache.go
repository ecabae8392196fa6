// Package cache says where Railbook keeps what it can make or fetch again:
// built helpers and the chart scripts of the HTML page.
package cache

import (
	"fmt"
	"os"
	"path/filepath"
)

// Env names the environment variable that moves Railbook's cache, for tests
// and for machines that are handed a filled cache.
const Env = "RAILBOOK_CACHE"

// Dir returns the absolute path of a folder in Railbook's cache: elem joined
// below the folder named by [Env] or, where that is empty, below "railbook" in
// the user's cache folder ([os.UserCacheDir]). It does not create the folder.
//
// The error says that the machine names no cache folder and how to set one.
func Dir(elem ...string) (string, error) {
	root := os.Getenv(Env)
	if root == "" {
		user, err := os.UserCacheDir()
		if err != nil {
			return "", fmt.Errorf("no cache folder: %w; set %s to a folder", err, Env)
		}
		root = filepath.Join(user, "railbook")
	}
	root, err := filepath.Abs(root)
	if err != nil {
		return "", fmt.Errorf("cache folder %q: %w", root, err)
	}
	return filepath.Join(append([]string{root}, elem...)...), nil
}
