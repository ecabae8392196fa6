//go:build unix

package pump

import (
	"bytes"
	"encoding/gob"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/janpfeifer/gonb/gonbui/protocol"
)

// samples are displays of all kinds.
var samples = []protocol.DisplayData{
	{Data: map[protocol.MIMEType]any{protocol.MIMETextHTML: "<p>", protocol.MIMETextPlain: "p"}},
	{Data: map[protocol.MIMEType]any{protocol.MIMEImagePNG: []byte{1, 2, 3}}, Metadata: map[string]any{"width": 3}},
	{Data: map[protocol.MIMEType]any{protocol.MIMETextMarkdown: "*x*"}, DisplayID: "x"},
	{Data: map[protocol.MIMEType]any{"application/x+json": map[string]any{"a": []any{1.5, "b", true, map[string]any{}}}}},
	{Data: map[protocol.MIMEType]any{protocol.MIMECommValue: protocol.CommValue{Address: "/a", Value: []float64{1, 2}}}},
	{Data: map[protocol.MIMEType]any{protocol.MIMECommValue: protocol.CommValue{Address: protocol.GonbuiSyncAddress, Value: 7}}},
	{Data: map[protocol.MIMEType]any{protocol.MIMECommSubscribe: protocol.CommSubscription{Address: "/a"}}},
	{Data: map[protocol.MIMEType]any{protocol.MIMEJupyterInput: protocol.InputRequest{Prompt: "?"}}},
	{Data: map[protocol.MIMEType]any{protocol.MIMETextHTML: strings.Repeat("y", 100_000)}},
}

// encoded returns the stream of the displays.
func encoded(t testing.TB, list []protocol.DisplayData) []byte {
	t.Helper()
	var b bytes.Buffer
	for encoder := gob.NewEncoder(&b); len(list) > 0; list = list[1:] {
		if err := encoder.Encode(&list[0]); err != nil {
			t.Fatal(err)
		}
	}
	return b.Bytes()
}

func TestDisplays(t *testing.T) {
	stream := encoded(t, slices.Concat(samples, samples))
	for _, size := range []int{1, 2, 7, 1000, len(stream)} {
		d := newDisplays()
		var got []protocol.DisplayData
		total := 0
		for piece := range slices.Chunk(bytes.Clone(stream), size) {
			err := d.add(piece, func(data *protocol.DisplayData, n int) {
				got = append(got, *data)
				total += n
			})
			if err != nil {
				t.Fatal(err)
			}
			clear(piece) // it is nobody's any more
		}
		if !reflect.DeepEqual(got, slices.Concat(samples, samples)) || total != len(stream) || d.begun() {
			t.Errorf("in pieces of %d: %d displays of %d bytes, begun %t", size, len(got), total, d.begun())
		}
	}
	if n, ok := syncRequest(&samples[5]); !ok || n != 7 {
		t.Errorf("got %d, %t", n, ok)
	}
	for i := range samples {
		if _, ok := syncRequest(&samples[i]); ok != (i == 5) {
			t.Errorf("sample %d: a request for confirmation: %t", i, ok)
		}
	}
}

// TestBegun wants to know of a display that has come in part, even if that is
// less than a message.
func TestBegun(t *testing.T) {
	d := newDisplays()
	stream := encoded(t, samples[:1])
	for i, b := range stream {
		d.add([]byte{b}, func(*protocol.DisplayData, int) {})
		if want := i < len(stream)-1; d.begun() != want {
			t.Errorf("after %d of %d bytes: %t", i+1, len(stream), d.begun())
		}
	}
}

// unknown is a type that the pump does not know.
type unknown struct{ A int }

func TestLostDisplays(t *testing.T) {
	d := newDisplays()
	shown := 0
	show := func(*protocol.DisplayData, int) { shown++ }
	var b bytes.Buffer
	gob.RegisterName("unknown", unknown{})
	encoder := gob.NewEncoder(&b)
	encoder.Encode(&samples[0])
	encoder.Encode(&protocol.DisplayData{Data: map[protocol.MIMEType]any{"a/b": unknown{1}}})
	encoder.Encode(&samples[0])
	// Nobody knows this name.
	stream := bytes.ReplaceAll(b.Bytes(), []byte("unknown"), []byte("unknows"))
	err := d.add(stream, show)
	if err == nil || shown != 2 || !strings.Contains(err.Error(), "unknows") {
		t.Errorf("%d displays, %v, want the two that are known", shown, err)
	}
	// What follows is no stream at all: it is given up.
	for range 100 {
		err = d.add([]byte("this is no display\n"), show)
	}
	if err != nil || shown != 2 {
		t.Errorf("%d displays, %v", shown, err)
	}
}

// FuzzDisplays wants no panic and the same displays, in whatever pieces the
// stream comes.
func FuzzDisplays(f *testing.F) {
	f.Add(encoded(f, samples[:len(samples)-1]), byte(5))
	f.Add([]byte("\x80\xff\xff\xff"), byte(1))
	f.Fuzz(func(t *testing.T, stream []byte, size byte) {
		collect := func(size int) (all []string) {
			d := newDisplays()
			defer d.stop()
			for piece := range slices.Chunk(bytes.Clone(stream), size) {
				d.add(piece, func(data *protocol.DisplayData, _ int) { all = append(all, fmt.Sprint(*data)) })
			}
			return all
		}
		if whole, cut := collect(len(stream)+1), collect(int(size)+1); !slices.Equal(whole, cut) {
			t.Errorf("%d displays as a whole, %d in pieces", len(whole), len(cut))
		}
	})
}

func TestValues(t *testing.T) {
	q := newValues()
	for i := range 2 * valuesKept {
		q.add(&protocol.CommValue{Address: "/a", Value: i})
	}
	q.confirm(5) // is never dropped
	var b bytes.Buffer
	done := make(chan error)
	go func() { done <- q.send(&b) }()
	for {
		q.mu.Lock()
		n := len(q.queue)
		q.mu.Unlock()
		if n == 0 {
			break
		}
	}
	q.close()
	if err := <-done; err != nil {
		t.Fatal(err)
	}
	decoder := gob.NewDecoder(&b)
	for i := range valuesKept + 1 {
		var v protocol.CommValue
		if err := decoder.Decode(&v); err != nil {
			t.Fatal(err)
		}
		want := protocol.CommValue{Address: "/a", Value: i}
		if i == valuesKept {
			want = protocol.CommValue{Address: protocol.GonbuiSyncAckAddress, Value: 5}
		}
		if v != want {
			t.Errorf("value %d is %+v, want %+v", i, v, want)
		}
	}
}
