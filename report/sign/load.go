package sign

import (
	"crypto/x509"
	"fmt"
	"io"
	"os"
	"runtime"
)

// mostPEM is the size of the largest key or certificate file that is read.
const mostPEM = 1 << 20

// Load reads an identity from a file with a private key and one with its certificate,
// both in PEM. A key that anyone but its owner can read is refused, as is one that is
// encrypted. The error names the file, and nothing of what is in it.
func Load(key, certificate string) (*Identity, error) {
	data, err := readKey(key)
	if err != nil {
		return nil, err
	}
	signer, err := parseKey(data)
	if err != nil {
		return nil, fmt.Errorf("the key %s: %w", key, err)
	}
	chain, err := LoadCertificates(certificate)
	if err != nil {
		return nil, err
	}
	return NewIdentity(signer, chain...)
}

// LoadCertificates reads the certificates in a PEM file.
func LoadCertificates(path string) ([]*x509.Certificate, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("cannot open the certificate: %w", err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, mostPEM))
	if err != nil {
		return nil, fmt.Errorf("cannot read the certificate: %w", err)
	}
	list, err := ParseCertificates(data)
	if err != nil {
		return nil, fmt.Errorf("the certificate %s: %w", path, err)
	}
	return list, nil
}

// readKey reads the file of a private key, provided that it is its owner's alone.
func readKey(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("cannot open the key: %w", err)
	}
	defer f.Close()
	info, err := f.Stat() // of the file that is open, whatever the path means by now
	if err != nil {
		return nil, fmt.Errorf("cannot open the key: %w", err)
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("the key %s: %w: it is not a regular file", path, ErrKey)
	}
	const others = 0o077
	if perm := info.Mode().Perm(); perm&others != 0 && runtime.GOOS != "windows" {
		return nil, fmt.Errorf("the key %s: %w: group or others may use it (mode %04o); take that from them: chmod 600 %s", path, ErrKey, perm, path)
	}
	data, err := io.ReadAll(io.LimitReader(f, mostPEM))
	if err != nil {
		return nil, fmt.Errorf("cannot read the key: %w", err)
	}
	return data, nil
}
