package scripts

import (
	"archive/tar"
	"bytes"
	"compress/gzip"
	"crypto/sha512"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"strings"
)

// integrity is the digest of an archive in the form npm publishes:
// "sha512-" and the base64 of the sum.
func integrity(archive []byte) string {
	sum := sha512.Sum512(archive)
	return "sha512-" + base64.StdEncoding.EncodeToString(sum[:])
}

// unpack takes the pinned files of p out of its gzipped tar archive and
// verifies each. It writes nothing, so the names in the archive need no trust.
func unpack(archive []byte, p pkg) (map[string][]byte, error) {
	pins := make(map[string]pin)
	for _, f := range p.files() {
		pins[f.path] = f
	}
	zr, err := gzip.NewReader(bytes.NewReader(archive))
	if err != nil {
		return nil, fmt.Errorf("archive of %s: %w", p.id(), err)
	}
	content := make(map[string][]byte)
	for tr := tar.NewReader(zr); ; {
		h, err := tr.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("archive of %s: %w", p.id(), err)
		}
		f, ok := pins[strings.TrimPrefix(h.Name, "package/")]
		if !ok || h.Typeflag != tar.TypeReg {
			continue
		}
		b, err := io.ReadAll(tr)
		if err != nil {
			return nil, fmt.Errorf("archive of %s: %s: %w", p.id(), f.path, err)
		}
		if err := f.verify(p, b); err != nil {
			return nil, err
		}
		content[f.path] = b
	}
	for _, f := range p.files() {
		if _, ok := content[f.path]; !ok {
			return nil, &IntegrityError{Name: p.id() + " " + f.path, Got: "nothing", Want: "sha256 " + f.sha256}
		}
	}
	return content, nil
}
