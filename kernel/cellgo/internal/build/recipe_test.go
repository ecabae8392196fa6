//go:build unix

package build

import (
	"maps"
	"runtime/debug"
	"slices"
	"strings"
	"testing"
)

func TestClosure(t *testing.T) {
	r := &recipe{Packages: map[string]pkg{
		"a": {Imports: []string{"b", "unsafe"}}, "b": {Imports: []string{"c"}}, "c": {}, "d": {Imports: []string{"lost"}},
	}}
	for _, tt := range []struct {
		imports string
		want    string // none if empty
	}{
		{"a", "a b c"}, {"b a", "a b c"}, {"c", "c"}, {"unsafe c", "c"}, {"d", ""}, {"c unknown", ""},
	} {
		all, ok := r.closure(strings.Fields(tt.imports))
		got := strings.Join(slices.Sorted(maps.Keys(all)), " ")
		if ok != (tt.want != "") || ok && got != tt.want {
			t.Errorf("%s: got %q, %t, want %q", tt.imports, got, ok, tt.want)
		}
	}
}

const (
	infoA  = "path\tx\nmod\tx\t(devel)\t\ndep\texample.com/a\tv1.0.0\th1:aaa=\ndep\texample.com/m\t(devel)\t\nbuild\t-buildmode=exe\n"
	infoB  = "path\tx\nmod\tx\t(devel)\t\ndep\texample.com/a\tv1.0.0\th1:aaa=\ndep\texample.com/c\tv1.2.0\n=>\texample.com/other\tv1.3.0\th1:bbb=\n\nbuild\t-buildmode=exe\n"
	infoAB = "path\tx\nmod\tx\t(devel)\t\ndep\texample.com/a\tv1.0.0\th1:aaa=\ndep\texample.com/c\tv1.2.0\n=>\texample.com/other\tv1.3.0\th1:bbb=\n\ndep\texample.com/m\t(devel)\t\nbuild\t-buildmode=exe\n"
)

func TestInfo(t *testing.T) {
	both, err := mergeInfo(infoA, infoB)
	if err != nil || both != infoAB {
		t.Errorf("merged: %v\n%s", err, both)
	}
	for _, tt := range []struct{ modules, want string }{
		{"example.com/a example.com/m", infoA}, {"example.com/a example.com/c", infoB}, {"example.com/a example.com/c example.com/m other", infoAB},
	} {
		packages := map[string]pkg{}
		for _, m := range strings.Fields(tt.modules) {
			packages[m+"/x"] = pkg{Module: m}
		}
		if got, err := selectInfo(both, packages); err != nil || got != tt.want {
			t.Errorf("%s: %v\n%s", tt.modules, err, got)
		}
	}
	if got, err := decodeInfo(encodeInfo(infoAB)); err != nil || got != infoAB {
		t.Errorf("encoded and decoded: %v\n%s", err, got)
	}
	for _, bad := range []string{"", "x", `"x"`, `"` + infoStart + `"`} {
		if got, err := decodeInfo(bad); err == nil {
			t.Errorf("%q is decoded to %q", bad, got)
		}
	}
	// The marks are those of this Go version: a program that has information shows
	// that the linker knows them.
	if _, ok := debug.ReadBuildInfo(); !ok {
		t.Error("the test has no build information")
	}
}

func TestMerge(t *testing.T) {
	old := &recipe{Info: infoB, Always: []string{"r", "s"}, Packages: map[string]pkg{"a": {File: "1"}, "b": {File: "2"}}}
	r := &recipe{Info: infoA, Always: []string{"r"}, Packages: map[string]pkg{"a": {File: "1"}, "c": {File: "3"}}}
	r.merge(old)
	if len(r.Packages) != 3 || r.Info != infoAB || !slices.Equal(r.Always, []string{"r", "s"}) {
		t.Errorf("got %+v", r)
	}
	changed := &recipe{Info: infoA, Packages: map[string]pkg{"a": {File: "new"}}}
	changed.merge(old)
	if len(changed.Packages) != 1 || changed.Info != infoA {
		t.Errorf("a changed package: got %+v", changed)
	}
	damaged := &recipe{Info: infoA, Packages: map[string]pkg{}}
	damaged.merge(&recipe{Info: "dep\tx\n", Packages: map[string]pkg{"a": {}}})
	if len(damaged.Packages) != 0 {
		t.Errorf("damaged information: got %+v", damaged)
	}
}

func TestNames(t *testing.T) {
	n := names{dir: "/tmp/cells/gonb_01234567", work: "/tmp/cells/go-build1"}
	for _, text := range []string{
		"-o", "/tmp/cells/go-build1/b001/_pkg_.a", "/tmp/cells/gonb_01234567/main.go", "path\tgonb_01234567\nmod\tgonb_01234567\t(devel)", "-trimpath",
		"/tmp/cells/go-build1/b001=>",
	} {
		hidden := n.hide(text)
		if strings.Contains(hidden, "gonb_") || strings.Contains(hidden, "go-build") {
			t.Errorf("%q is hidden as %q", text, hidden)
		}
		if got := n.show(hidden); got != text {
			t.Errorf("%q came back as %q", text, got)
		}
		other := names{dir: "/x/gonb_89abcdef", work: "/x/work"}
		want := strings.NewReplacer("/tmp/cells/go-build1", "/x/work", "/tmp/cells/gonb_01234567", "/x/gonb_89abcdef", "gonb_01234567", "gonb_89abcdef").Replace(text)
		if got := other.show(hidden); got != want {
			t.Errorf("%q is shown as %q, want %q", text, got, want)
		}
	}
}

func TestParseConfig(t *testing.T) {
	c, err := parseConfig("# import config\npackagefile fmt=/cache/a=b-d\npackagefile x/y=/c\nmodinfo \"a\\n b\"\n")
	if err != nil || len(c.files) != 2 || c.files["fmt"] != "/cache/a=b-d" || c.files["x/y"] != "/c" || c.info != `"a\n b"` {
		t.Errorf("got %+v, %v", c, err)
	}
	for _, bad := range []string{"importmap a=b\n", "packagefile fmt\n", "packageshlib a=b\n"} {
		if _, err := parseConfig(bad); err == nil {
			t.Errorf("%q is accepted", bad)
		}
	}
}

func TestWithBuildID(t *testing.T) {
	for _, tt := range []struct{ args, want string }{
		{"compile -buildid a/a -o x", "compile -buildid N/N -o x"},
		{"link -buildid=a/b/c/a -s", "link -buildid=N/N/N/N -s"},
		{"link -buildid=a/b/c/a -buildid= -s", "link -buildid=N/N/N/N -buildid= -s"},
		{"link -s", "link -s"},
	} {
		if got := strings.Join(withBuildID(strings.Fields(tt.args), "N"), " "); got != tt.want {
			t.Errorf("%s: got %s", tt.args, got)
		}
	}
}

func TestQuoteFlag(t *testing.T) {
	for _, word := range []string{"/a/b", "/a b/c", "/it's/x", `/a"b`, "/tab\tx"} {
		quoted, err := quoteFlag(word)
		got, errSplit := splitFlags(quoted)
		if err != nil || errSplit != nil || len(got) != 1 || got[0] != word {
			t.Errorf("%q is quoted as %s and read as %q, %v, %v", word, quoted, got, err, errSplit)
		}
	}
	if _, err := quoteFlag(`'"`); err == nil {
		t.Error("both kinds of quotes are accepted")
	}
}

// TestFixed tells apart packages whose source may change.
func TestFixed(t *testing.T) {
	const cached = "/go/pkg/mod/example.com/x@v1.0.0/y"
	for _, tt := range []struct {
		name string
		l    listed
		want bool
	}{
		{"standard library", listed{Standard: true, Dir: "/go/src/fmt"}, true},
		{"module version", listed{Dir: cached, Module: &listedModule{Version: "v1.0.0"}}, true},
		{"replaced by a version", listed{Dir: cached, Module: &listedModule{Version: "v0.9.0", Replace: &listedModule{Version: "v1.0.0"}}}, true},
		{"replaced by a folder", listed{Dir: "/x/y", Module: &listedModule{Version: "v1.0.0", Replace: &listedModule{Path: "/x"}}}, false},
		{"main module", listed{Dir: "/x/y", Module: &listedModule{Main: true}}, false},
		{"vendored", listed{Dir: "/w/vendor/example.com/x/y", Module: &listedModule{Version: "v1.0.0"}}, false},
		{"no module", listed{Dir: "/x"}, false},
	} {
		if got := tt.l.fixed(); got != tt.want || (len(tt.l.watches()) > 0) == tt.want {
			t.Errorf("%s: fixed %t, watches %v", tt.name, got, tt.l.watches())
		}
	}
}
