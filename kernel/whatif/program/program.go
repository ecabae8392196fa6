// Package program compiles package whatif for the browser, with the go command of this
// machine, and keeps what it made in Railbook's cache.
package program

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"example.com/railbook/kernel/cache"
	"example.com/railbook/kernel/launch"
)

// pkg is the program that is compiled.
const pkg = "./kernel/whatif/wasm"

// Program is the compiled program with what it needs in a page.
type Program struct {
	Wasm    []byte   // WebAssembly, compressed with gzip
	Runtime string   // the JavaScript of the Go release that starts it
	Notices []Notice // the licences of what is in both
}

// Notice is a licence.
type Notice struct {
	Name string `json:"name"` // of the software, with its version
	Text string `json:"text"`
}

// Files of an entry of the cache.
const (
	wasmFile    = "whatif.wasm.gz"
	runtimeFile = "wasm_exec.js"
	noticesFile = "notices.json"
)

// Load returns the program compiled from the module's sources. The first time for these
// sources and this release of Go it compiles them, and calls progress with a line that
// says so; later it takes what it kept. The same sources give the same bytes.
//
// The error says so where there is no go command, and gives its words where the sources do
// not compile.
func Load(ctx context.Context, m launch.Module, progress func(string)) (*Program, error) {
	out, err := goCommand(ctx, m, nil, "env", "GOVERSION", "GOROOT")
	if err != nil {
		return nil, err
	}
	release, goroot, _ := strings.Cut(strings.TrimSpace(out), "\n")
	sum, err := sources(m.Root)
	if err != nil {
		return nil, err
	}
	entry, err := cache.Dir("whatif", strings.TrimSpace(release)+"-"+sum)
	if err != nil {
		return nil, err
	}
	if p, err := read(entry); err == nil {
		return p, nil
	}
	progress("compiling the page's program to WebAssembly (once for these sources, takes up to a minute)")
	if err := build(ctx, m, strings.TrimSpace(goroot), entry); err != nil {
		return nil, err
	}
	return read(entry)
}

// read reads an entry of the cache. It is an error if anything of it is missing or
// damaged.
func read(entry string) (*Program, error) {
	file := func(name string) ([]byte, error) { return os.ReadFile(filepath.Join(entry, name)) }
	wasm, err := file(wasmFile)
	if err != nil {
		return nil, err
	}
	z, err := gzip.NewReader(bytes.NewReader(wasm))
	if err != nil {
		return nil, err
	}
	if _, err := io.Copy(io.Discard, z); err != nil {
		return nil, err
	}
	runtime, err := file(runtimeFile)
	if err != nil {
		return nil, err
	}
	p := &Program{Wasm: wasm, Runtime: string(runtime)}
	notices, err := file(noticesFile)
	if err != nil {
		return nil, err
	}
	return p, json.Unmarshal(notices, &p.Notices)
}

// build makes the entry: in a folder of another name, until it is complete. Of two
// processes that do so at once the later one's work is thrown away.
func build(ctx context.Context, m launch.Module, goroot, entry string) error {
	if err := os.MkdirAll(filepath.Dir(entry), 0o755); err != nil {
		return err
	}
	temp, err := os.MkdirTemp(filepath.Dir(entry), "building-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(temp)
	plain := filepath.Join(temp, "whatif.wasm")
	target := []string{"GOOS=js", "GOARCH=wasm"}
	if _, err := goCommand(ctx, m, target, "build", "-trimpath", "-ldflags=-s -w", "-o", plain, pkg); err != nil {
		return fmt.Errorf("compiling the page's program: %w", err)
	}
	if err := compress(plain, filepath.Join(temp, wasmFile)); err != nil {
		return err
	}
	runtime, err := os.ReadFile(filepath.Join(goroot, "lib", "wasm", runtimeFile))
	if err != nil {
		return fmt.Errorf("this Go installation lacks what starts WebAssembly: %w", err)
	}
	list, err := notices(ctx, m, target, goroot)
	if err != nil {
		return err
	}
	text, err := json.Marshal(list)
	if err != nil {
		return err
	}
	for name, data := range map[string][]byte{runtimeFile: runtime, noticesFile: text} {
		if err := os.WriteFile(filepath.Join(temp, name), data, 0o644); err != nil {
			return err
		}
	}
	if os.Rename(temp, entry) == nil {
		return nil
	}
	if _, err := read(entry); err == nil { // by another process
		return nil
	}
	if err := os.RemoveAll(entry); err != nil { // damaged
		return err
	}
	return os.Rename(temp, entry)
}

// compress writes a file compressed and removes it.
func compress(from, to string) error {
	data, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	z, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
	if err != nil {
		return err
	}
	_, err = z.Write(data)
	if err := errors.Join(err, z.Close()); err != nil {
		return err
	}
	return errors.Join(os.WriteFile(to, out.Bytes(), 0o644), os.Remove(from))
}
