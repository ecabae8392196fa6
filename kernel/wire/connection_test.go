package wire

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestConnectionFile(t *testing.T) {
	dir := t.TempDir()
	want, err := NewConnection(dir)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "c.json")
	if err := want.WriteFile(path); err != nil {
		t.Fatal(err)
	}
	got, err := ReadConnection(path)
	if err != nil || got != want {
		t.Errorf("got %+v, %v, want %+v", got, err, want)
	}
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("mode: got %v, %v, want 0600", info.Mode(), err)
	}
}

func TestConnectionTransport(t *testing.T) {
	short, err := NewConnection("/tmp/x")
	if err != nil {
		t.Fatal(err)
	}
	if got, want := short.Endpoint(short.IOPubPort), "ipc:///tmp/x/socket-3"; got != want {
		t.Errorf("short path: got %s, want %s", got, want)
	}
	long, err := NewConnection("/tmp/" + strings.Repeat("x", 90))
	if err != nil {
		t.Fatal(err)
	}
	ports := map[int]bool{long.ShellPort: true, long.ControlPort: true, long.IOPubPort: true, long.StdinPort: true, long.HBPort: true}
	if got := long.Endpoint(7); got != "tcp://127.0.0.1:7" || len(ports) != 5 {
		t.Errorf("long path: got %s with ports %v, want TCP with five ports", got, ports)
	}
	if short.Key == long.Key || len(short.Key) < 20 {
		t.Errorf("keys %q and %q: want long and different", short.Key, long.Key)
	}
}

func TestReadConnectionErrors(t *testing.T) {
	path := filepath.Join(t.TempDir(), "c.json")
	for _, tt := range []struct{ name, text, want string }{
		{"not JSON", "x", "not a connection file"},
		{"transport", `{"transport": "smoke"}`, `transport "smoke", want "tcp" or "ipc"`},
		{"scheme", `{"transport": "tcp", "key": "k", "signature_scheme": "hmac-md5"}`, `signature_scheme "hmac-md5", want "hmac-sha256"`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if err := os.WriteFile(path, []byte(tt.text), 0o600); err != nil {
				t.Fatal(err)
			}
			_, err := ReadConnection(path)
			if err == nil || !strings.HasPrefix(err.Error(), path) || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("got %v, want %s", err, tt.want)
			}
		})
	}
}

func TestKernelID(t *testing.T) {
	for path, want := range map[string]string{
		"/run/jupyter/kernel-cb142eeb-450a-47ed-9e9c-5c31aa8dba27.json": "cb142eeb-450a-47ed-9e9c-5c31aa8dba27",
		"kernel-0.json": "0", "kernel-.json": "", "/x/connection.json": "", "kernel-0.json/x": "",
	} {
		if got := KernelID(path); got != want {
			t.Errorf("%s: got %q, want %q", path, got, want)
		}
	}
}
