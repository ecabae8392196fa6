package main

import (
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"example.com/railbook/sizing/sweep"
	"example.com/railbook/sizing/sweep/export"
	"example.com/railbook/sizing/sweep/export/parquet"
)

// format makes a writer of a kind of file that holds the points of a sweep; scratch is
// room for what has to wait.
type format func(w io.Writer, t *export.Table, scratch export.Scratch) (export.Writer, error)

// formats are those that can be written, by the ending of the file.
var formats = map[string]format{
	".csv": func(w io.Writer, t *export.Table, _ export.Scratch) (export.Writer, error) {
		return export.NewCSV(w, t), nil
	},
	".json":    export.NewJSON,
	".parquet": func(w io.Writer, t *export.Table, _ export.Scratch) (export.Writer, error) { return parquet.New(w, t) },
}

// formatOf is the format that a file's ending says.
func formatOf(path string) (format, error) {
	if f, ok := formats[filepath.Ext(path)]; ok {
		return f, nil
	}
	return nil, ending("--out", path, ".csv", ".json", ".parquet")
}

// ending wants the name of a file to end in one of some ways.
func ending(flag, path string, accepted ...string) error {
	if slices.Contains(accepted, filepath.Ext(path)) {
		return nil
	}
	return fmt.Errorf("%s %s: want a file whose name ends in %s", flag, path, strings.Join(accepted, ", "))
}

// writeFile writes what the stream brings to the file of --out.
func (j *sweepJob) writeFile(stream func(func(*sweep.Block) error) error) error {
	file, err := newPending(j.out)
	if err != nil {
		return fmt.Errorf("--out: %w", err)
	}
	defer file.discard()
	if err := j.encode(file, filepath.Dir(j.out), stream); err != nil {
		return err
	}
	if err := file.commit(); err != nil {
		return fmt.Errorf("--out: %w", err)
	}
	return nil
}

// encode writes what the stream brings in the job's format, and counts the gaps in it.
// What has to wait does so in files in dir; see [scratch].
func (j *sweepJob) encode(w io.Writer, dir string, stream func(func(*sweep.Block) error) error) error {
	room := &scratch{dir: dir}
	defer room.discard()
	writer, err := j.format(w, j.table, room.file)
	if err != nil {
		return err
	}
	err = stream(func(b *sweep.Block) error {
		j.gaps.Count(j.table, b)
		return writer.Write(b)
	})
	if err != nil {
		return err
	}
	return writer.Close()
}

// pending is a file that appears under its name complete or not at all.
type pending struct {
	*os.File
	path string // its name; nil File once it is closed
}

// newPending makes a file in the folder of path, for it to be renamed when it is complete.
// It has the permissions of the file that is there, if there is one.
func newPending(path string) (*pending, error) {
	old, err := os.Stat(path)
	if err == nil && !old.Mode().IsRegular() {
		return nil, fmt.Errorf("%s exists and is not a regular file", path)
	}
	name := filepath.Join(filepath.Dir(path), fmt.Sprintf(".%s-%d", filepath.Base(path), rand.Uint64()))
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		if pe, ok := errors.AsType[*os.PathError](err); ok {
			err = pe.Err // the name of the file to be renamed would say nothing
		}
		return nil, fmt.Errorf("cannot write %s: %w", path, err)
	}
	p := &pending{f, path}
	if old != nil {
		if err := f.Chmod(old.Mode().Perm()); err != nil {
			p.discard()
			return nil, err
		}
	}
	return p, nil
}

// commit gives the file its name.
func (p *pending) commit() error {
	name := p.Name()
	if err := errors.Join(p.Sync(), p.Close()); err != nil {
		return err
	}
	if err := os.Rename(name, p.path); err != nil {
		return err
	}
	p.File = nil
	return nil
}

// discard removes the file, unless it has been committed.
func (p *pending) discard() {
	if p.File != nil {
		p.Close()
		os.Remove(p.Name())
	}
}

// scratch makes temporary files.
type scratch struct {
	dir   string // where; the system's place for such files if empty
	files []*os.File
}

func (s *scratch) file() (io.ReadWriteSeeker, error) {
	f, err := os.CreateTemp(s.dir, ".railbook-*")
	if err != nil {
		return nil, err
	}
	// Where the system allows it the name goes at once, so that nothing is left
	// whatever happens.
	os.Remove(f.Name())
	s.files = append(s.files, f)
	return f, nil
}

func (s *scratch) discard() {
	for _, f := range s.files {
		f.Close()
		os.Remove(f.Name())
	}
}

func sizeOf(path string) (int64, error) {
	info, err := os.Stat(path)
	if err != nil {
		return 0, err
	}
	return info.Size(), nil
}
