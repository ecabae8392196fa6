package record

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"example.com/railbook/sizing/evidence"
)

func TestRead(t *testing.T) {
	want := []evidence.PullSummary{invented(1), invented(2)}
	list := must[[]byte](t)(json.Marshal(want))
	for name, text := range map[string]string{
		"list":           string(list),
		"object":         `{"mapping": "x", "pulls": ` + string(list) + `}`,
		"with byte mark": "\xef\xbb\xbf" + string(list),
		"with more":      strings.Replace(string(list), `"id"`, `"windows": [1, 2], "id"`, 1),
	} {
		got, err := Read("pulls.json", strings.NewReader(text))
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %v\ngot  %+v\nwant %+v", name, err, got, want)
		}
	}
}

func TestReadMistakes(t *testing.T) {
	whole := string(must[[]byte](t)(json.MarshalIndent([]evidence.PullSummary{invented(1)}, "", " ")))
	for _, c := range []struct{ text, want string }{
		{"", "pulls.json: line 1: unexpected end of JSON input; want what railbook evidence --out writes"},
		{"[job]\nname = 1", "pulls.json: line 1: invalid character 'j' looking for beginning of value"},
		{`{"pull": []}`, `pulls.json: no list of pulls under "pulls"`},
		{"3", "pulls.json: line 1: json: cannot unmarshal number"},
		{whole[:len(whole)/2], "unexpected end of JSON input"},
		{strings.Replace(whole, `"turbocharged"`, `"blown"`, 1), `"blown": is not an induction kind`},
		{strings.Replace(whole, `"used": 401`, `"used": "many"`, 1), "cannot unmarshal string"},
	} {
		if _, err := Read("pulls.json", strings.NewReader(c.text)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%.20q: got %v\nwant %s", c.text, err, c.want)
		}
	}
}

// FuzzRead: nothing that is read makes it panic, and what is read and can be kept comes
// back from its own JSON the same.
func FuzzRead(f *testing.F) {
	list, err := json.Marshal([]evidence.PullSummary{invented(1)})
	if err != nil {
		f.Fatal(err)
	}
	f.Add(string(list))                                                          // sound
	f.Add(`{"pulls": []}`)                                                       // empty
	f.Add(string(list[:len(list)/3]))                                            // cut
	f.Add(strings.Replace(string(list), "infinite", "-1", 1))                    // degrees below zero
	f.Add(strings.Replace(string(list), `"used":401`, `"used":-9e99`, 1))        // out of range
	f.Add(strings.Replace(string(list), `"aside":{`, `"aside":{"":1,"x":0,`, 1)) // odd reasons
	f.Fuzz(func(t *testing.T, text string) {
		pulls, err := Read("x", strings.NewReader(text))
		if err != nil {
			return
		}
		for _, p := range pulls {
			if Check("a", p) != nil {
				continue
			}
			data, err := json.Marshal([]evidence.PullSummary{p})
			if err != nil {
				t.Fatalf("%+v passes the check but is not written: %v", p, err)
			}
			again, err := Read("x", strings.NewReader(string(data)))
			if err != nil || !reflect.DeepEqual(again[0], p) {
				t.Fatalf("%v\ngot  %+v\nwant %+v", err, again, p)
			}
			if _, err := (Pull{Engine: "a", PullSummary: p}).Observation(); err != nil && !strings.Contains(err.Error(), ErrUseless.Error()) {
				t.Fatal(err)
			}
		}
	})
}
