package wire

import (
	"crypto/rand"
	"encoding/json"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"regexp"
)

// Connection is the content of a connection file: where a kernel's five
// sockets are and the key that signs messages.
type Connection struct {
	Transport   string `json:"transport"` // "tcp" or "ipc"
	IP          string `json:"ip"`        // for ipc, the start of the sockets' paths
	ShellPort   int    `json:"shell_port"`
	ControlPort int    `json:"control_port"`
	IOPubPort   int    `json:"iopub_port"`
	StdinPort   int    `json:"stdin_port"`
	HBPort      int    `json:"hb_port"`
	Scheme      string `json:"signature_scheme"` // "hmac-sha256"
	Key         string `json:"key"`
}

const scheme = "hmac-sha256"

// maxSocketPath is the longest path of a Unix socket on every system: macOS
// has room for 104 bytes with a closing zero, Linux for 108.
const maxSocketPath = 103

// NewConnection returns a connection with a fresh key. Its sockets are Unix
// sockets in dir, which nobody but the user should be able to enter; where the
// path of dir is too long for that they are TCP ports of this machine, free at
// the time of the call.
func NewConnection(dir string) (Connection, error) {
	c := Connection{
		Transport: "ipc", IP: filepath.Join(dir, "socket"),
		ShellPort: 1, ControlPort: 2, IOPubPort: 3, StdinPort: 4, HBPort: 5,
		Scheme: scheme, Key: rand.Text(),
	}
	if len(c.IP)+len("-1") <= maxSocketPath {
		return c, nil
	}
	c.Transport, c.IP = "tcp", "127.0.0.1"
	for _, port := range []*int{&c.ShellPort, &c.ControlPort, &c.IOPubPort, &c.StdinPort, &c.HBPort} {
		l, err := net.Listen("tcp", c.IP+":0")
		if err != nil {
			return Connection{}, fmt.Errorf("no free port for the kernel: %w", err)
		}
		defer l.Close() // all stay open until the last is found, so that they differ
		*port = l.Addr().(*net.TCPAddr).Port
	}
	return c, nil
}

// Endpoint returns the address of one of the connection's sockets, given its
// port.
func (c Connection) Endpoint(port int) string {
	if c.Transport == "ipc" {
		return fmt.Sprintf("ipc://%s-%d", c.IP, port)
	}
	return fmt.Sprintf("%s://%s:%d", c.Transport, c.IP, port)
}

// kernelFile is how Jupyter names connection files.
var kernelFile = regexp.MustCompile(`^kernel-([0-9a-f-]+)\.json$`)

// KernelID returns the ID under which Jupyter knows the kernel with the
// connection file, by the file's name; "" if it is named otherwise. Front ends
// need it to reach the kernel by other ways than its sockets.
func KernelID(path string) string {
	m := kernelFile.FindStringSubmatch(filepath.Base(path))
	if m == nil {
		return ""
	}
	return m[1]
}

// WriteFile writes the connection file, readable by the user alone because it
// holds the key.
func (c Connection) WriteFile(path string) error {
	data, err := json.MarshalIndent(c, "", "  ")
	if err != nil {
		return err
	}
	return os.WriteFile(path, append(data, '\n'), 0o600)
}

// ReadConnection reads a connection file. Its errors begin with the path.
func ReadConnection(path string) (Connection, error) {
	var c Connection
	data, err := os.ReadFile(path)
	if err != nil {
		return c, err
	}
	if err := json.Unmarshal(data, &c); err != nil {
		return c, fmt.Errorf("%s: not a connection file: %w", path, err)
	}
	if c.Transport != "tcp" && c.Transport != "ipc" {
		return c, fmt.Errorf("%s: transport %q, want \"tcp\" or \"ipc\"", path, c.Transport)
	}
	if c.Key != "" && c.Scheme != scheme {
		return c, fmt.Errorf("%s: signature_scheme %q, want %q", path, c.Scheme, scheme)
	}
	return c, nil
}
