package whatif_test

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"example.com/railbook/kernel/whatif"
)

func TestHandle(t *testing.T) {
	p := panel(t, open(t, "turbo"))
	var reply whatif.Reply
	data := p.Handle([]byte(`{"id": 7, "settings": {"stops": {"ethanol": 20, "boost": 3}, "apart": true}}`))
	if err := json.Unmarshal(data, &reply); err != nil {
		t.Fatal(err)
	}
	s := stops(whatif.Ethanol, 20, whatif.Boost, 3)
	s.Apart = true
	if want := state(t, p, s); reply.ID != 7 || reply.Error != "" || reply.State == nil || !reflect.DeepEqual(*reply.State, want) {
		t.Errorf("reply %s", data)
	}
}

// Each mistake gets an error, with the request's number as far as there is one.
func TestHandleMistakes(t *testing.T) {
	p := panel(t, open(t, "turbo"))
	for request, want := range map[string]whatif.Reply{
		``:                    {Error: "request not understood: EOF"},
		`{`:                   {Error: "request not understood: unexpected EOF"},
		`[]`:                  {Error: "request not understood: json: cannot unmarshal array"},
		`{"id": 3, "x": 1}`:   {ID: 3, Error: `request not understood: json: unknown field "x"`},
		`{"id": 3} {"id": 4}`: {Error: "request not understood: something stands behind it"},
		`{"id": 4, "settings": {"stops": {"boost": 1.5}}}`:       {ID: 4, Error: "request not understood: json: cannot unmarshal number 1.5"},
		`{"id": 5, "settings": {"stops": {"boost": 999}}}`:       {ID: 5, Error: "slider boost has no stop 999"},
		`{"id": 6, "settings": {"stops": {"</script>": 1}}}`:     {ID: 6, Error: `no slider "</script>"`},
		`{"id": 8, "pad": "` + strings.Repeat("x", 1<<12) + `"}`: {ID: 8, Error: "request of 4116 bytes; want at most 4096"},
	} {
		var got whatif.Reply
		data := p.Handle([]byte(request))
		if err := json.Unmarshal(data, &got); err != nil {
			t.Errorf("%s: %v", request, err)
		}
		if got.ID != want.ID || got.State != nil || !strings.HasPrefix(got.Error, want.Error) {
			t.Errorf("%.60s: reply %s, want %+v", request, data, want)
		}
		if strings.Contains(string(data), "</script>") {
			t.Errorf("%s: the reply ends a script", request)
		}
	}
}

// FuzzHandle wants a reply to anything: JSON with either a state or an error, and the same
// to the same request.
func FuzzHandle(f *testing.F) {
	for _, seed := range []string{
		`{"id": 1, "settings": {"stops": {"boost": 12}}}`,                           // as the front end sends them
		`{"id": 1, "settings": {"stops": {"boost": 1, "power": 2}, "apart": true}}`, // both
		`{"id": 1, "settings": {"stops": null}}`,                                    // nothing moved
		`{"id": 9223372036854775807, "settings": {}}`,                               // the largest number
		`{"id": 1e99}`, `{"ID": 2}`, `null`, `{"settings": {"stops": {"": 0}}}`, "\xff", `{"id": 1}x`,
	} {
		f.Add([]byte(seed))
	}
	p := panel(f, open(f, "turbo"))
	f.Fuzz(func(t *testing.T, request []byte) {
		data := p.Handle(request)
		var reply whatif.Reply
		if err := json.Unmarshal(data, &reply); err != nil {
			t.Fatalf("reply %q: %v", data, err)
		}
		if (reply.State == nil) == (reply.Error == "") {
			t.Errorf("reply %q: want a state or an error", data)
		}
		if again := p.Handle(request); string(again) != string(data) {
			t.Errorf("two replies to one request: %q, %q", data, again)
		}
	})
}

// BenchmarkHandle is a move of a slider, on this machine's own processor.
func BenchmarkHandle(b *testing.B) {
	for _, name := range []string{"turbo", "surge", "driven"} {
		b.Run(name, func(b *testing.B) {
			p := panel(b, open(b, name))
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				p.Handle(fmt.Appendf(nil, `{"id":%d,"settings":{"stops":{"base-pressure":%d}}}`, i, i%50))
			}
		})
	}
}
