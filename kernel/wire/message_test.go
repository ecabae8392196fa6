package wire

import (
	"bytes"
	"encoding/json"
	"errors"
	"reflect"
	"testing"
)

func example() *Message {
	return &Message{
		Identities: [][]byte{[]byte("id")},
		Header:     Header{ID: "1", Session: "s", Username: "u", Date: "2024-01-02T03:04:05Z", Type: "stream", Version: "5.4"},
		Parent:     Header{ID: "0", Session: "s", Type: "execute_request"},
		Metadata:   json.RawMessage(`{}`),
		Content:    json.RawMessage(`{"name":"stdout","text":"λ ≥ 1"}`),
		Buffers:    [][]byte{{0, 1, 2}},
	}
}

func TestRoundTrip(t *testing.T) {
	for _, key := range []string{"", "secret"} {
		frames, err := example().Frames([]byte(key))
		if err != nil {
			t.Fatal(err)
		}
		got, err := Parse(frames, []byte(key))
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got, example()) {
			t.Errorf("key %q: got %+v, want %+v", key, got, example())
		}
	}
}

// HMAC-SHA256 test case 2 of RFC 4231, section 4.3: key "Jefe", data
// "what do ya want for nothing?".
func TestSignature(t *testing.T) {
	const want = "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843"
	got := sign([]byte("Jefe"), [][]byte{[]byte("what do ya "), nil, []byte("want for "), []byte("nothing?")})
	if string(got) != want {
		t.Errorf("got %s, want %s", got, want)
	}
	if got := sign(nil, [][]byte{[]byte("x")}); len(got) != 0 {
		t.Errorf("empty key: got %s, want no signature", got)
	}
}

func TestNoParentIsEmptyObject(t *testing.T) {
	m := example()
	m.Parent, m.Content = Header{}, nil
	frames, err := m.Frames(nil)
	if err != nil {
		t.Fatal(err)
	}
	if parent, content := frames[4], frames[6]; string(parent) != "{}" || string(content) != "{}" {
		t.Errorf("got parent %s and content %s, want {} for both", parent, content)
	}
}

func TestFramesErrors(t *testing.T) {
	m := example()
	m.Content = json.RawMessage("{")
	if _, err := m.Frames(nil); err == nil || err.Error() != "content of stream: not JSON" {
		t.Errorf("got %v", err)
	}
}

func TestParseErrors(t *testing.T) {
	frames := func(change func([][]byte) [][]byte) [][]byte {
		f, err := example().Frames([]byte("k"))
		if err != nil {
			t.Fatal(err)
		}
		return change(f)
	}
	replace := func(i int, text string) [][]byte {
		return frames(func(f [][]byte) [][]byte { f[i] = []byte(text); return f })
	}
	for _, tt := range []struct {
		name   string
		frames [][]byte
		key    string
		want   string
	}{
		{"none", nil, "k", "message of 0 frames has no delimiter <IDS|MSG>"},
		{"no delimiter", replace(1, "IDS"), "k", "message of 8 frames has no delimiter <IDS|MSG>"},
		{"only delimiter", [][]byte{delimiter}, "k", "message has 0 frames after the delimiter, want at least 5"},
		{"cut short", frames(func(f [][]byte) [][]byte { return f[:6] }), "k", "message has 4 frames after the delimiter, want at least 5"},
		{"another key", frames(func(f [][]byte) [][]byte { return f }), "K", ErrSignature.Error()},
		{"altered", replace(6, `{"name":"stdout","text":"λ ≥ 2"}`), "k", ErrSignature.Error()},
		{"no signature", replace(2, ""), "k", ErrSignature.Error()},
		{"signature no hexadecimal", replace(2, "zz"), "k", ErrSignature.Error()},
		{"header", replace(3, "7"), "", "message header: json: cannot unmarshal number into Go value of type wire.Header"},
		{"parent", replace(4, "["), "", "parent header of stream: unexpected end of JSON input"},
		{"metadata", replace(5, ""), "", "metadata of stream: not JSON"},
		{"content", replace(6, "{"), "", "content of stream: not JSON"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Parse(tt.frames, []byte(tt.key))
			if err == nil || err.Error() != tt.want {
				t.Errorf("got  %v\nwant %s", err, tt.want)
			}
		})
	}
}

func TestDecodeNamesTheMessage(t *testing.T) {
	m := example()
	var v struct{ Text int }
	err := m.Decode(&v)
	var typeErr *json.UnmarshalTypeError
	if !errors.As(err, &typeErr) || !bytes.Contains([]byte(err.Error()), []byte("content of stream")) {
		t.Errorf("got %v", err)
	}
}

// FuzzParse cuts its input into frames at each line feed. What parses must,
// written and parsed again, be the same.
func FuzzParse(f *testing.F) {
	frames, err := example().Frames(nil)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(bytes.Join(frames, []byte("\n")))
	f.Add([]byte("<IDS|MSG>"))
	f.Add([]byte("<IDS|MSG>\n\n{}\n{}\n{}\n{}"))
	f.Add([]byte("a\n<IDS|MSG>\n00\n{\"msg_type\": 1}\nnull\n\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		frames := bytes.Split(data, []byte("\n"))
		Parse(frames, []byte("key"))
		m, err := Parse(frames, nil)
		if err != nil {
			return
		}
		again, err := m.Frames([]byte("key"))
		if err != nil {
			t.Fatalf("parsed but cannot be written: %v", err)
		}
		m2, err := Parse(again, []byte("key"))
		if err != nil {
			t.Fatalf("cannot be parsed again: %v", err)
		}
		if !reflect.DeepEqual(m, m2) {
			t.Errorf("got %+v, then %+v", m, m2)
		}
	})
}
