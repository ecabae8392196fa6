package nbformat

import (
	"crypto/sha256"
	"fmt"
)

// fillIDs gives an ID to every cell whose own is missing, malformed or taken
// by an earlier cell. The ID depends only on the cell's place and text, so that
// reading the same file twice gives the same IDs.
func (nb *Notebook) fillIDs() {
	taken := make(map[string]bool, len(nb.Cells))
	for _, c := range nb.Cells {
		if validID(c.ID) {
			taken[c.ID] = true
		}
	}
	seen := make(map[string]bool, len(nb.Cells))
	for i, c := range nb.Cells {
		if !validID(c.ID) || seen[c.ID] {
			c.ID = newID(i, c, taken)
			taken[c.ID] = true
		}
		seen[c.ID] = true
	}
}

func newID(index int, c *Cell, taken map[string]bool) string {
	for salt := 0; ; salt++ {
		sum := sha256.Sum256(fmt.Appendf(nil, "%d %d %s\n%s", index, salt, c.Type, c.Source))
		if id := fmt.Sprintf("%x", sum[:4]); !taken[id] {
			return id
		}
	}
}

// validID reports whether id is what format 4.5 allows.
func validID(id string) bool {
	if len(id) < 1 || len(id) > 64 {
		return false
	}
	for _, r := range []byte(id) {
		switch {
		case 'a' <= r && r <= 'z', 'A' <= r && r <= 'Z', '0' <= r && r <= '9', r == '-', r == '_':
		default:
			return false
		}
	}
	return true
}
