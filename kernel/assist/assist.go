// Package assist completes what is written in a cell and tells what a name means, by
// asking gopls, the language server for Go, about the program that the cell is part of.
//
// It knows nothing of Jupyter, nor of how a cell becomes a program: that is handed in as
// a [Program].
package assist

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"time"

	"golang.org/x/exp/jsonrpc2"
)

// Program gives the whole Go file of which a cell is part, and a function that finds the
// place in it of a place in the cell, both byte offsets. It is called by one goroutine at
// a time.
type Program func(code string) (source string, offset func(int) int)

// Options says where gopls works.
type Options struct {
	Gopls   string   // path of the program
	Folder  string   // a folder of our own with a go.mod that has all that cells may import
	Env     []string // of gopls, as "NAME=value"; nil for that of this process
	Program Program
}

// Server is a running gopls. Its methods may be called by any goroutine.
type Server struct {
	program Program
	uri     string

	mu      sync.Mutex // held for the length of a question, as gopls has one text at a time
	conn    *jsonrpc2.Connection
	process *exec.Cmd
	version int
}

// Start starts gopls. The error says that it cannot be started or does not answer as a
// language server does; nothing is then left of it.
func Start(ctx context.Context, o Options) (*Server, error) {
	path := filepath.Join(o.Folder, "main.go")
	if err := os.WriteFile(path, []byte("package main\n"), 0o644); err != nil {
		return nil, err
	}
	s := &Server{program: o.Program, uri: fileURI(path)}
	s.process = exec.Command(o.Gopls, "serve")
	s.process.Dir, s.process.Env = o.Folder, o.Env
	in, err := s.process.StdinPipe()
	if err != nil {
		return nil, err
	}
	out, err := s.process.StdoutPipe()
	if err != nil {
		return nil, err
	}
	// A process that is killed may leave children that hold its output open.
	s.process.WaitDelay = time.Second
	if err := s.process.Start(); err != nil {
		return nil, fmt.Errorf("gopls does not start: %w", err)
	}
	if err := s.greet(ctx, o.Folder, pipes{out, in}); err != nil {
		s.Close()
		return nil, fmt.Errorf("gopls: %w", err)
	}
	return s, nil
}

// greet connects, and opens the file.
func (s *Server) greet(ctx context.Context, folder string, p pipes) error {
	var err error
	s.conn, err = jsonrpc2.Dial(context.Background(), p, jsonrpc2.ConnectionOptions{Handler: jsonrpc2.HandlerFunc(answer)})
	if err != nil {
		return err
	}
	root := fileURI(folder)
	hello := map[string]any{
		"processId": os.Getpid(),
		"rootUri":   root,
		"workspaceFolders": []map[string]string{
			{"uri": root, "name": "cells"},
		},
		"capabilities": map[string]any{
			"workspace": map[string]any{"configuration": true},
			"textDocument": map[string]any{
				"completion": map[string]any{"completionItem": map[string]any{"snippetSupport": false}},
				"hover":      map[string]any{"contentFormat": []string{"markdown", "plaintext"}},
			},
		},
		"initializationOptions": settings,
	}
	if err := s.call(ctx, "initialize", hello, nil); err != nil {
		return err
	}
	if err := s.conn.Notify(ctx, "initialized", struct{}{}); err != nil {
		return err
	}
	return s.conn.Notify(ctx, "textDocument/didOpen", map[string]any{"textDocument": map[string]any{
		"uri": s.uri, "languageId": "go", "version": 0, "text": "package main\n",
	}})
}

// settings are those of gopls: nothing is computed but what is asked for.
var settings = map[string]any{
	"usePlaceholders":    false,
	"completeUnimported": true,
	"matcher":            "CaseInsensitive",
	"hoverKind":          "FullDocumentation",
	"linksInHover":       false,
	"diagnosticsTrigger": "Save",
	"staticcheck":        false,
	"vulncheck":          "Off",
}

// answer answers what gopls asks of us.
func answer(_ context.Context, req *jsonrpc2.Request) (any, error) {
	if req.Method == "workspace/configuration" {
		return []any{settings}, nil
	}
	return nil, nil
}

func (s *Server) call(ctx context.Context, method string, params, result any) error {
	call := s.conn.Call(ctx, method, params)
	if err := call.Await(ctx, result); err != nil {
		if ctx.Err() != nil {
			s.conn.Notify(context.Background(), "$/cancelRequest", map[string]any{"id": call.ID().Raw()})
		}
		return err
	}
	return nil
}

// show has gopls see the program of a cell, and returns the place of the cursor in it.
func (s *Server) show(ctx context.Context, code string, cursor int) (*text, int, error) {
	if cursor < 0 || cursor > len(code) {
		return nil, 0, fmt.Errorf("cursor at %d of a cell of %d bytes", cursor, len(code))
	}
	source, offset := s.program(code)
	s.version++
	err := s.conn.Notify(ctx, "textDocument/didChange", map[string]any{
		"textDocument":   map[string]any{"uri": s.uri, "version": s.version},
		"contentChanges": []map[string]string{{"text": source}},
	})
	at := offset(cursor)
	if at < 0 || at > len(source) {
		return nil, 0, errors.Join(err, fmt.Errorf("the cursor has no place in the program"))
	}
	return newText(source), at, err
}

// Close ends gopls. It may be called again.
func (s *Server) Close() error {
	ctx, cancel := context.WithTimeout(context.Background(), 500*time.Millisecond)
	defer cancel()
	if s.conn != nil {
		if s.call(ctx, "shutdown", nil, nil) == nil {
			s.conn.Notify(ctx, "exit", nil)
		}
	}
	ended := make(chan struct{})
	go func() { s.process.Wait(); close(ended) }()
	select {
	case <-ended:
	case <-ctx.Done():
		s.process.Process.Kill()
		<-ended
	}
	return nil
}

// pipes are the two ends of a process as one connection.
type pipes struct {
	io.ReadCloser
	in io.WriteCloser
}

func (p pipes) Write(data []byte) (int, error)                   { return p.in.Write(data) }
func (p pipes) Close() error                                     { return errors.Join(p.in.Close(), p.ReadCloser.Close()) }
func (p pipes) Dial(context.Context) (io.ReadWriteCloser, error) { return p, nil }
