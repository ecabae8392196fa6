//go:build unix

package show

import (
	"bytes"
	"encoding/gob"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/janpfeifer/gonb/gonbui/protocol"
)

// Messages are those of package encoding/gob, by its own reader.
func TestMessageIsGob(t *testing.T) {
	long := strings.Repeat("fuel ", 30_000)
	var stream bytes.Buffer
	stream.WriteString(definitions)
	stream.Write(message(Bundle{textMIME: "2", htmlMIME: "<b>λ</b>"}, Metadata))
	stream.WriteString(request)
	stream.Write(message(Bundle{textMIME: long, pngMIME: []byte{1, 2, 255}}, nil))
	stream.WriteString(again)
	ask := map[protocol.MIMEType]any{protocol.MIMECommValue: protocol.CommValue{Address: protocol.GonbuiSyncAddress, Value: 1}}
	d := gob.NewDecoder(&stream)
	for i, want := range []protocol.DisplayData{
		{Data: map[protocol.MIMEType]any{"text/plain": "2", "text/html": "<b>λ</b>"}, Metadata: map[string]any{"railbook_result": true}},
		{Data: ask},
		{Data: map[protocol.MIMEType]any{"text/plain": long, "image/png": []byte{1, 2, 255}}},
		{Data: ask},
	} {
		var got protocol.DisplayData
		if err := d.Decode(&got); err != nil {
			t.Fatalf("message %d: %v", i, err)
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("message %d is %+v, want %+v", i, got, want)
		}
	}
	var more protocol.DisplayData
	if err := d.Decode(&more); err != io.EOF {
		t.Errorf("after all messages: %v", err)
	}
}

// program names, in the environment, that this test binary is to be the program
// of a cell.
const program = "SHOW_TEST_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(program) == "" {
		os.Exit(m.Run())
	}
	Show("one", nil)
	Show(2, errors.New("three"))
	Show(struct{}{})
	Written(os.Stdout.WriteString("printed\n"))
	Error(nil)
}

func TestWithoutKernel(t *testing.T) {
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), program+"=yes", pipeVariable+"=")
	out, err := cmd.CombinedOutput()
	if want := "\"one\"\n2\nerror: three\nprinted\n"; err != nil || string(out) != want {
		t.Errorf("got %q, %v, want %q", out, err, want)
	}
}

// The program shows its values to a kernel and waits for each to arrive.
func TestWithKernel(t *testing.T) {
	dir := t.TempDir()
	to, from := filepath.Join(dir, "to"), filepath.Join(dir, "from")
	for _, path := range []string{to, from} {
		if err := syscall.Mkfifo(path, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), program+"=yes", pipeVariable+"="+to, backVariable+"="+from)
	var out bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &out
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	timer := time.AfterFunc(time.Minute, func() { cmd.Process.Kill() })
	defer timer.Stop()
	var shown []string
	err := func() error {
		in, err := os.Open(to)
		if err != nil {
			return err
		}
		defer in.Close()
		back, err := os.OpenFile(from, os.O_WRONLY, 0)
		if err != nil {
			return err
		}
		defer back.Close()
		requests, answers := gob.NewDecoder(in), gob.NewEncoder(back)
		for {
			var d protocol.DisplayData
			if err := requests.Decode(&d); err == io.EOF {
				return nil
			} else if err != nil {
				return err
			}
			if v, ok := d.Data[protocol.MIMECommValue].(protocol.CommValue); ok {
				shown = append(shown, "sync")
				if err := answers.Encode(&protocol.CommValue{Address: protocol.GonbuiSyncAckAddress, Value: v.Value}); err != nil {
					return err
				}
				continue
			}
			shown = append(shown, d.Data[protocol.MIMETextPlain].(string))
		}
	}()
	if werr := cmd.Wait(); err != nil || werr != nil {
		t.Fatalf("%v, %v: %s", err, werr, out.String())
	}
	if got, want := strings.Join(shown, "|"), `"one"|sync|2|sync|error: three|sync`; got != want {
		t.Errorf("shown %s, want %s", got, want)
	}
	if out.String() != "printed\n" {
		t.Errorf("printed %q", out.String())
	}
}
