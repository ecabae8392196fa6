//go:build unix

package imports

import (
	"fmt"
	"go/parser"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	goimports "golang.org/x/tools/imports"
)

// workspace makes a workspace of a cell and a module, and returns the cell's
// folder and its finder.
func workspace(t testing.TB) (string, Workspace) {
	t.Helper()
	dir, mod := filepath.Join(t.TempDir(), "gonb_0123abcd"), t.TempDir()
	for name, text := range map[string]string{
		"go.mod":                   "module example.com/shop\n\ngo 1.26\n",
		"parts/parts.go":           "package parts\n\nconst Count = 1\n\nvar A, B int\n\ntype Pump struct{}\n\nfunc (Pump) Flow() {}\n\nfunc Name() string { return \"\" }\n",
		"parts/parts_test.go":      "package parts\n\nfunc OnlyInTests() {}\n",
		"parts/parts_plan9.go":     "package parts\n\nfunc OnlyOnPlan9() {}\n",
		"go-flow/flow.go":          "package flow\n\nfunc Rate() int { return 0 }\n",
		"two/valve/valve.go":       "package valve\n\nfunc Open() {}\n",
		"valve/valve.go":           "package valve\n\nfunc Open() {}\n",
		"other/name/name.go":       "package different\n\nfunc F() {}\n",
		"internal/secret/s.go":     "package secret\n\nfunc F() {}\n",
		"testdata/data/d.go":       "package data\n\nfunc F() {}\n",
		"nested/go.mod":            "module example.com/nested\n",
		"nested/nested.go":         "package nested\n\nfunc F() {}\n",
		"show/show.go":             "package show\n\nvar Chart Charts\n\ntype Charts struct{}\n\nfunc (Charts) Draw() {}\n\nfunc Table() {}\n",
		"strings/strings.go":       "package strings\n\nfunc ToUpper(string) string { return \"\" }\n",
		"rail/strings2/strings.go": "package strings2\n\nfunc F() {}\n",
	} {
		write(t, filepath.Join(mod, name), text)
	}
	write(t, filepath.Join(dir, "go.mod"), "module gonb_0123abcd\n\ngo 1.26\n")
	write(t, filepath.Join(dir, "go.work"), fmt.Sprintf("go 1.26\n\nuse (\n\t.\n\t%s\n)\n", mod))
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Skip(err)
	}
	return dir, Workspace{
		Root: strings.TrimSpace(string(root)), Modules: ReadModules(dir),
		Known: func() map[string]string { return map[string]string{"example.org/known": filepath.Join(mod, "go-flow")} },
	}
}

func write(t testing.TB, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

// importsIn returns the imports of a source, with their names.
func importsIn(t testing.TB, src []byte) []string {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), "main.go", src, parser.ImportsOnly)
	if err != nil {
		t.Fatalf("%v in\n%s", err, src)
	}
	list := []string{}
	for _, spec := range file.Imports {
		text := spec.Path.Value
		if spec.Name != nil {
			text = spec.Name.Name + " " + text
		}
		list = append(list, text)
	}
	slices.Sort(list)
	return list
}

const shop = "example.com/shop/"

// TestComplete compares, where it applies, with goimports itself, as a library.
func TestComplete(t *testing.T) {
	t.Setenv("GOFLAGS", "-buildvcs=false")
	t.Setenv("GOPROXY", "off")
	dir, find := workspace(t)
	t.Chdir(dir)
	for _, tt := range []struct {
		name, imports, body string
		want                []string
	}{
		{"complete", `"fmt"`, `fmt.Println(1)`, []string{`"fmt"`}},
		{"unused", `"fmt"; "os"; x "math"; "` + shop + `parts"`, `fmt.Println(1)`, []string{`"fmt"`}},
		{"none used", `"fmt"; "os"`, `println(1)`, nil},
		{"alias", `x "fmt"; y "os"`, `x.Println(1)`, []string{`x "fmt"`}},
		{"dot and blank", `. "math"; _ "os"`, `println(Pi)`, []string{`. "math"`, `_ "os"`}},
		{"unsafe", `"unsafe"`, `println(unsafe.Sizeof(1))`, []string{`"unsafe"`}},
		{"unsafe unused", `"unsafe"`, `println(1)`, nil},
		{"other name than folder", `"math/rand/v2"; "` + shop + `go-flow"`, `println(rand.IntN(2), flow.Rate())`, []string{`"math/rand/v2"`, `"` + shop + `go-flow"`}},
		{"shadowed", `"fmt"`, `fmt := struct{ Println func(int) }{}; fmt.Println(1)`, nil},
		{"only in a type", `"os"; "io"`, `var f *os.File; println(f)`, []string{`"os"`}},
		{"declared later", `"fmt"`, `fmt.Println(v.Field)
}

var v struct{ Field int }

func unused() {`, []string{`"fmt"`}},
		{"unexported", `"fmt"`, `fmt.println(1)`, nil},
		{"exported by a dot import", `. "` + shop + `show"`, `Chart.Draw(); Table()`, []string{`. "` + shop + `show"`}},
		{"missing", ``, `fmt.Println(os.Args)`, []string{`"fmt"`, `"os"`}},
		{"missing in the module", ``, `println(parts.Name(), parts.Count, parts.B); _ = parts.Pump{}`, []string{`"` + shop + `parts"`}},
		{"missing beside others", `"os"; "io"`, `fmt.Println(os.Args, parts.A)`, []string{`"fmt"`, `"os"`, `"` + shop + `parts"`}},
		{"standard library first", ``, `println(strings.ToUpper("a"))`, []string{`"strings"`}},
		{"in a folder of the standard library", ``, `println(json.Valid(nil))`, []string{`"encoding/json"`}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			src := []byte("package main\n\nimport (" + tt.imports + ")\n\nfunc main() {\n" + tt.body + "\n}\n")
			done, ok := Complete(src, find)
			if !ok {
				t.Fatal("left to goimports")
			}
			got := importsIn(t, done)
			slices.Sort(tt.want)
			if !slices.Equal(got, tt.want) {
				t.Errorf("got %q, want %q in\n%s", got, tt.want, done)
			}
			if a, b := strings.Count(string(src), "\n"), strings.Count(string(done), "\n"); a != b {
				t.Errorf("%d lines became %d", a, b)
			}
			by, err := goimports.Process(filepath.Join(dir, "main.go"), src, nil)
			if err != nil {
				t.Fatal(err)
			}
			// It also writes names down that differ from the folder's.
			theirs := strings.ReplaceAll(strings.Join(importsIn(t, by), "\n"), `flow "`, `"`)
			if theirs != strings.Join(got, "\n") {
				t.Errorf("got %q, goimports makes it\n%s", got, theirs)
			}
		})
	}
}

// TestLeft has sources whose imports only goimports can complete.
func TestLeft(t *testing.T) {
	_, find := workspace(t)
	for _, tt := range []struct{ name, imports, body string }{
		{"unknown package", `"example.org/unknown"`, `println(1)`},
		{"unknown in the module", `"` + shop + `unknown"`, `println(1)`},
		{"unknown in the standard library", `"unknown"`, `println(1)`},
		{"cgo", `"C"`, `println(C.x)`},
		{"no Go", ``, `println(`},
		{"nothing fits", ``, `println(parts.Missing())`},
		{"only in tests", ``, `parts.OnlyInTests()`},
		{"only on another system", ``, `parts.OnlyOnPlan9()`},
		{"a method is no function", ``, `parts.Flow()`},
		{"two fit", ``, `valve.Open()`},
		{"two of the standard library fit", ``, `var t template.Template; println(&t)`},
		{"other name than folder", ``, `name.F()`},
		{"internal", ``, `secret.F()`},
		{"test data", ``, `data.F()`},
		{"another module", ``, `nested.F()`},
		{"unknown name", ``, `unknown.F()`},
		{"two of the same name", `"math/rand"; "crypto/rand"`, `println(rand.Reader)`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			src := "package main\n\nimport (" + tt.imports + ")\n\nfunc main() {\n" + tt.body + "\n}\n"
			if done, ok := Complete([]byte(src), find); ok {
				t.Errorf("completed to\n%s", done)
			}
		})
	}
}

func TestKnownPackages(t *testing.T) {
	_, find := workspace(t)
	src := []byte("package main\n\nimport \"example.org/known\"\n\nfunc main() { println(flow.Rate()) }\n")
	done, ok := Complete(src, find)
	if !ok || !slices.Equal(done, src) {
		t.Errorf("got %s, %t", done, ok)
	}
}

// FuzzComplete wants no panic, and that what is completed is still Go with as
// many lines.
func FuzzComplete(f *testing.F) {
	_, find := workspace(f)
	f.Add("package main\n\nimport (\n\t\"fmt\"\n\t\"os\"\n)\n\nfunc main() { fmt.Println(parts.Name()) }\n")
	f.Add("package main\nimport \"fmt\"\nimport `os`\nfunc main() { os.Exit(strings.Count(\"\", \"\")) }\n")
	f.Add("package main; import /* a\n */ \"fmt\" // b\n; func main() {}\n")
	f.Fuzz(func(t *testing.T, src string) {
		done, ok := Complete([]byte(src), find)
		if !ok {
			return
		}
		if _, err := parser.ParseFile(token.NewFileSet(), "main.go", done, 0); err != nil {
			t.Errorf("%v in\n%s\nfrom\n%s", err, done, src)
		}
		if strings.Count(src, "\n") != strings.Count(string(done), "\n") {
			t.Errorf("the lines of\n%s\nhave moved in\n%s", src, done)
		}
	})
}
