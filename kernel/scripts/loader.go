package scripts

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"

	"github.com/google/renameio/v2/maybe"
)

// loader finds packages in a cache folder and, failing that, through npm.
type loader struct {
	dir      string // "<cache>/scripts"
	npm      fetcher
	progress func(string)
}

// fetcher puts the archive of the package id ("echarts@6.1.0") into dir under
// its folder name with ".tgz" added.
type fetcher func(ctx context.Context, dir, id string) error

// load returns one package, verified against its pins.
func (l loader) load(ctx context.Context, p pkg) (Script, error) {
	if err := ctx.Err(); err != nil {
		return Script{}, err
	}
	// A cache that is missing, cut short or altered is the same case: fetch.
	if content, err := l.cached(p); err == nil {
		return p.assemble(content), nil
	}
	content, err := l.fetch(ctx, p)
	if err != nil {
		return Script{}, err
	}
	// A cache that cannot be written costs a download next time, no more.
	if err := l.keep(p, content); err != nil {
		l.report(fmt.Sprintf("%s could not be kept in the cache: %v", p.id(), err))
	}
	return p.assemble(content), nil
}

// cached reads every file of p from the cache and verifies it.
func (l loader) cached(p pkg) (map[string][]byte, error) {
	content := make(map[string][]byte)
	for _, f := range p.files() {
		b, err := os.ReadFile(l.path(p, f))
		if err != nil {
			return nil, err
		}
		if err := f.verify(p, b); err != nil {
			return nil, err
		}
		content[f.path] = b
	}
	return content, nil
}

// report passes one line to whoever follows the progress.
func (l loader) report(line string) {
	if l.progress != nil {
		l.progress(line)
	}
}

// fetch has npm bring the archive of p to a temporary folder and takes the
// pinned files out of it.
func (l loader) fetch(ctx context.Context, p pkg) (map[string][]byte, error) {
	tmp, err := os.MkdirTemp("", "railbook-npm-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(tmp)
	l.report(fmt.Sprintf("fetching %s through npm, once (%s)", p.id(), p.size))
	if err := l.npm(ctx, tmp, p.id()); err != nil {
		return nil, err
	}
	archive, err := os.ReadFile(filepath.Join(tmp, p.folder()+".tgz"))
	if err != nil {
		return nil, &NPMError{Package: p.id(), Line: "npm left no archive", Err: err}
	}
	if got := integrity(archive); got != p.integrity {
		return nil, &IntegrityError{Name: p.id(), Got: got, Want: p.integrity}
	}
	return unpack(archive, p)
}

// keep writes the files of p to the cache, each to a temporary name that is
// then moved into place. The content is pinned, so whoever else does the same
// at the same time writes the same bytes.
func (l loader) keep(p pkg, content map[string][]byte) error {
	for _, f := range p.files() {
		if err := write(l.path(p, f), content[f.path]); err != nil {
			// Some systems refuse to move a file onto one that is being
			// read; if that one is sound nothing is lost.
			if b, rerr := os.ReadFile(l.path(p, f)); rerr != nil || f.verify(p, b) != nil {
				return err
			}
		}
	}
	return nil
}

// path is where the cache holds file f of p.
func (l loader) path(p pkg, f pin) string {
	return filepath.Join(l.dir, p.folder(), filepath.FromSlash(f.path))
}

// write makes a file so that a reader sees the whole of it or nothing.
func write(path string, b []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	return maybe.WriteFile(path, b, 0o644)
}

// verify checks content against the pin.
func (f pin) verify(p pkg, content []byte) error {
	sum := sha256.Sum256(content)
	if got := hex.EncodeToString(sum[:]); got != f.sha256 {
		return &IntegrityError{Name: p.id() + " " + f.path, Got: "sha256 " + got, Want: "sha256 " + f.sha256}
	}
	return nil
}

// assemble makes the Script of verified files.
func (p pkg) assemble(content map[string][]byte) Script {
	s := Script{Name: p.name, Version: p.version, Source: string(content[p.script.path])}
	for _, n := range p.notices {
		s.Notices = append(s.Notices, Notice{Name: n.path, Text: string(content[n.path])})
	}
	return s
}
