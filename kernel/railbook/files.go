package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"path/filepath"
	"slices"
	"text/tabwriter"
	"time"
)

// fileList holds the regular files of a folder by their path in it.
type fileList map[string]fileState

type fileState struct {
	size     int64
	modified time.Time
}

// listFiles lists the files in the folder and the folders below it.
func listFiles(dir string) (fileList, error) {
	list := fileList{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !d.Type().IsRegular() {
			return err
		}
		info, err := d.Info()
		if errors.Is(err, fs.ErrNotExist) { // gone in the meantime
			return nil
		}
		if err != nil {
			return err
		}
		name, err := filepath.Rel(dir, path)
		list[name] = fileState{info.Size(), info.ModTime()}
		return err
	})
	return list, err
}

// since returns the files that are new or changed since the earlier list.
func (l fileList) since(before fileList) fileList {
	changed := fileList{}
	for name, now := range l {
		if old, ok := before[name]; !ok || old != now {
			changed[name] = now
		}
	}
	return changed
}

// print writes the files of dir with their sizes, sorted by name.
func (l fileList) print(w io.Writer, dir string) error {
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, name := range slices.Sorted(maps.Keys(l)) {
		fmt.Fprintf(table, "%s\t%s\n", filepath.Join(dir, name), size(l[name].size))
	}
	return table.Flush()
}

// size writes a number of bytes in decimal units.
func size(n int64) string {
	switch {
	case n < 1000:
		return fmt.Sprintf("%d B", n)
	case n < 1000_000:
		return fmt.Sprintf("%.1f kB", float64(n)/1e3)
	default:
		return fmt.Sprintf("%.1f MB", float64(n)/1e6)
	}
}
