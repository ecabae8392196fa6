package scripts

import (
	"archive/tar"
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"
)

// fakeFiles is the content of a small package that stands in for the real ones.
var fakeFiles = map[string]string{
	"dist/lib.min.js": "window.lib = 1;\n",
	"LICENSE":         "do as you like\n",
	"README.md":       "not wanted\n",
}

// fakePackage returns a package whose pins fit the archive that comes with it.
func fakePackage(t *testing.T, files map[string]string) (pkg, []byte) {
	t.Helper()
	var buf bytes.Buffer
	zw := gzip.NewWriter(&buf)
	tw := tar.NewWriter(zw)
	for _, name := range []string{"README.md", "dist/lib.min.js", "LICENSE"} {
		text, ok := files[name]
		if !ok {
			continue
		}
		h := &tar.Header{Name: "package/" + name, Typeflag: tar.TypeReg, Mode: 0o644, Size: int64(len(text))}
		if err := tw.WriteHeader(h); err != nil {
			t.Fatal(err)
		}
		if _, err := tw.Write([]byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	if err := tw.Close(); err != nil {
		t.Fatal(err)
	}
	if err := zw.Close(); err != nil {
		t.Fatal(err)
	}
	pinned := func(name string) pin {
		sum := sha256.Sum256([]byte(fakeFiles[name]))
		return pin{name, hex.EncodeToString(sum[:])}
	}
	return pkg{
		name: "lib", version: "1.2.3", size: "1 kB",
		integrity: integrity(buf.Bytes()),
		script:    pinned("dist/lib.min.js"),
		notices:   []pin{pinned("LICENSE")},
	}, buf.Bytes()
}

// delivers returns a fetcher that leaves the archive, and counts its calls.
func delivers(p pkg, archive []byte) (fetcher, *atomic.Int32) {
	calls := new(atomic.Int32)
	return func(_ context.Context, dir, id string) error {
		calls.Add(1)
		return os.WriteFile(filepath.Join(dir, p.folder()+".tgz"), archive, 0o644)
	}, calls
}
