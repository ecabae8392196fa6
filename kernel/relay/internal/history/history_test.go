package history

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
)

func filled() *Store {
	s := &Store{}
	s.Add(Entry{Line: 1, Input: "x := 1", Run: "var x = 1"})
	s.Add(Entry{Line: 2, Input: "x", Run: "Show(x)", Output: "1"})
	s.Add(Entry{Line: 3, Input: "fuel.E85\n// *", Run: "Show(fuel.E85)", Output: "E85"})
	s.Add(Entry{Line: 4, Input: "x", Run: "Show(x)", Output: "1"})
	return s
}

// The requests are written as a client sends them, the answers as the protocol
// describes them.
func TestFind(t *testing.T) {
	for _, tt := range []struct{ query, want string }{
		{`{"hist_access_type":"tail","n":2,"raw":true}`, `[[1,3,"fuel.E85\n// *"],[1,4,"x"]]`},
		{`{"hist_access_type":"tail","n":1,"raw":false}`, `[[1,4,"Show(x)"]]`},
		{`{"hist_access_type":"tail","n":2,"raw":true,"output":true}`, `[[1,3,["fuel.E85\n// *","E85"]],[1,4,["x","1"]]]`},
		{`{"hist_access_type":"tail","n":0}`, `[]`},
		{`{"hist_access_type":"tail","n":-1}`, `[]`},
		{`{"hist_access_type":"tail","raw":true}`, `[[1,1,"x := 1"],[1,2,"x"],[1,3,"fuel.E85\n// *"],[1,4,"x"]]`},
		{`{"hist_access_type":"range","session":0,"start":1,"stop":3,"raw":true,"output":true}`, `[[1,1,["x := 1",null]],[1,2,["x","1"]]]`},
		{`{"hist_access_type":"range","session":1,"start":4,"raw":true}`, `[[1,4,"x"]]`},
		{`{"hist_access_type":"range","session":-1,"start":1,"stop":3,"raw":true}`, `[]`},
		{`{"hist_access_type":"search","pattern":"x*","raw":true}`, `[[1,1,"x := 1"],[1,2,"x"],[1,4,"x"]]`},
		{`{"hist_access_type":"search","pattern":"x*","raw":true,"unique":true}`, `[[1,1,"x := 1"],[1,4,"x"]]`},
		{`{"hist_access_type":"search","pattern":"x*","raw":true,"n":1}`, `[[1,4,"x"]]`},
		{`{"hist_access_type":"search","pattern":"*E?5*","raw":true}`, `[[1,3,"fuel.E85\n// *"]]`},
		{`{"hist_access_type":"search","pattern":"fuel[.]*","raw":true}`, `[]`},
		{`{"hist_access_type":"search","n":1,"raw":true}`, `[[1,4,"x"]]`},
		{`{"hist_access_type":"guess"}`, `[]`},
		{`{}`, `[]`},
	} {
		t.Run(tt.query, func(t *testing.T) {
			var q Query
			if err := json.Unmarshal([]byte(tt.query), &q); err != nil {
				t.Fatal(err)
			}
			got, err := json.Marshal(filled().Find(q))
			if err != nil || string(got) != tt.want {
				t.Errorf("got  %s, %v\nwant %s", got, err, tt.want)
			}
		})
	}
}

func TestLimit(t *testing.T) {
	s := &Store{}
	for i := range 2*limit + 1 {
		s.Add(Entry{Line: i, Run: fmt.Sprint(i)})
	}
	one := 1
	if got := s.Find(Query{Access: "tail", N: &one}); len(got) != 1 || got[0].Line != 2*limit {
		t.Errorf("got %v, want the last", got)
	}
	if n := len(s.entries); n > limit || n < limit/2 {
		t.Errorf("keeps %d cells, want no more than %d", n, limit)
	}
}

func FuzzGlob(f *testing.F) {
	f.Add("*", "x")
	f.Add("a?c[", "abc[")
	f.Add("\xff", "\\E")
	f.Fuzz(func(t *testing.T, pattern, text string) {
		glob(pattern).MatchString(text)
		if !strings.ContainsAny(text, "*?") && text != "" && strings.ToValidUTF8(text, "") == text && !glob(text).MatchString(text) {
			t.Errorf("%q does not match itself", text)
		}
	})
}
