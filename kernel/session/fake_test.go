package session

import (
	"context"
	"errors"
	"strings"
	"sync"
	"testing"
	"time"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/wire"
	"example.com/railbook/kernel/wire/wiretest"
)

// fakeKernel is a kernel that a script plays.
type fakeKernel struct {
	client *wire.Client
	died   chan struct{}
	once   sync.Once
	source string
}

func (k *fakeKernel) Client() *wire.Client    { return k.client }
func (k *fakeKernel) Died() <-chan struct{}   { return k.died }
func (k *fakeKernel) DeathError() error       { return errors.New("signal: killed; last words: help") }
func (k *fakeKernel) Source() ([]byte, error) { return []byte(k.source), nil }

// die ends the kernel as the system sees it.
func (k *fakeKernel) die() { k.once.Do(func() { close(k.died) }) }

// newFake starts a kernel whose script is told the code of each cell.
func newFake(t *testing.T, script func(k *fakeKernel, p *wiretest.Peer, r *wire.Message, code string)) *fakeKernel {
	t.Helper()
	k := &fakeKernel{died: make(chan struct{})}
	p := wiretest.Start(t, func(p *wiretest.Peer, r *wire.Message) {
		var content wire.Request
		if r.Header.Type == wire.ExecuteRequest {
			if err := r.Decode(&content); err != nil {
				t.Error(err)
			}
		}
		script(k, p, r, content.Code)
	})
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
	defer cancel()
	var err error
	if k.client, err = wire.Dial(ctx, p.Conn); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { k.client.Close() })
	if _, err := k.client.Ready(ctx); err != nil {
		t.Fatal(err)
	}
	return k
}

// ok finishes a cell well.
func ok(p *wiretest.Peer, r *wire.Message, count int) {
	p.OK(r, count)
	p.Status(r, "idle")
}

// notebook makes a notebook of cells: those that begin with "#" are markdown,
// and a first line "tags: …" tags a code cell.
func notebook(t *testing.T, cells ...string) *nbformat.Notebook {
	t.Helper()
	nb := &nbformat.Notebook{}
	for _, source := range cells {
		c := &nbformat.Cell{Type: nbformat.Code, Source: source}
		if strings.HasPrefix(source, "#") {
			c.Type = nbformat.Markdown
		}
		if first, rest, found := strings.Cut(source, "\n"); found && strings.HasPrefix(first, "tags: ") {
			c.Source = rest
			if err := c.Metadata.Set("tags", strings.Fields(first)[1:]); err != nil {
				t.Fatal(err)
			}
		}
		nb.Cells = append(nb.Cells, c)
	}
	return nb
}

// summary writes a cell's outputs in a line.
func summary(c *nbformat.Cell) string {
	var parts []string
	for _, o := range c.Outputs {
		switch o.Type {
		case nbformat.Stream:
			parts = append(parts, o.Name+":"+strings.ReplaceAll(o.Text, "\n", "/"))
		case nbformat.Error:
			parts = append(parts, "error:"+o.EName+":"+o.EValue)
		default:
			text, _ := o.Data.Text("text/plain")
			parts = append(parts, o.Type+":"+text)
		}
	}
	return strings.Join(parts, " | ")
}
