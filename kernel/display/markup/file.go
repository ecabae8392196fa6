package markup

import (
	"fmt"
	"html"
	"net/url"
	"path"
	"path/filepath"
)

// Wrote says that a file has been written, with its size and a link to it for
// pages that lie in the same folder. Name is the file's path from there.
func Wrote(name string, bytes int64) string {
	name = filepath.ToSlash(name)
	return fmt.Sprintf(`<p class="rb-wrote">Wrote <a href="%s">%s</a>, %s.</p>`, html.EscapeString(link(name)), html.EscapeString(name), Size(bytes))
}

// link is a relative reference to a path, also where its first part has a colon.
func link(name string) string {
	u := url.URL{Path: path.Clean(name)}
	return u.String()
}

// Size prints the size of a file.
func Size(bytes int64) string {
	switch {
	case bytes < 1000:
		return fmt.Sprintf("%d B", bytes)
	case bytes < 1_000_000:
		return fmt.Sprintf("%.0f kB", float64(bytes)/1e3)
	}
	return fmt.Sprintf("%.1f MB", float64(bytes)/1e6)
}
