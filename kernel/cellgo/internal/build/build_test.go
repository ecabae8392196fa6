//go:build unix

package build

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"example.com/railbook/kernel/cache"
)

const (
	parts = "example.com/shop/parts"
	store = "example.com/shop/store"
	label = "example.com/shop/label"
)

func TestDirect(t *testing.T) {
	s := newShop(t)
	s.cell(`println("one", parts.Name())`, parts)
	s.want("one first\n", false)
	s.cell(`println("two", parts.Name())`, parts)
	s.want("two first\n", true)
	s.cell(`fmt.Println("three", parts.Name())`, "fmt", parts)
	s.want("three first\n", false)
	s.cell(`println(store.Name())`, store)
	s.want("store of first\n", false)
	// What three cells have taught is put together.
	s.cell(`fmt.Println(store.Name(), parts.Name())`, "fmt", store, parts)
	s.want("store of first first\n", true)
	s.cell(`println("none")`)
	s.want("none\n", true)
}

// TestForbiddenImports has cells import packages that are linked, and that the go
// command does not let them import.
func TestForbiddenImports(t *testing.T) {
	s := newShop(t)
	s.file("internal/secret/secret.go", "package secret\n\nfunc F() {}\n")
	s.file("parts/parts.go", "package parts\n\nimport \"example.com/shop/internal/secret\"\n\nfunc Name() string { secret.F(); return \"first\" }\n")
	s.cell(`println(parts.Name())`, parts)
	s.want("first\n", false)
	for _, path := range []string{"example.com/shop/internal/secret", "internal/abi"} {
		s.cell("", path)
		s.said.Reset()
		if err := s.job().Run(t.Context()); err == nil || !strings.Contains(s.said.String(), "use of internal package "+path+" not allowed") {
			t.Errorf("%s: got %v\n%s", path, err, s.said.Bytes())
		}
	}
}

// TestRelativePaths has two kernels at different places whose cells name the same
// relative path.
func TestRelativePaths(t *testing.T) {
	t.Setenv(cache.Env, t.TempDir())
	var first *shop
	for i := range 2 {
		parent := t.TempDir()
		s := cellOf(t, parent, filepath.Join(parent, "shop"))
		if first == nil {
			first = s
		}
		s.env = first.env
		write(t, filepath.Join(s.dir, "go.work"), "go 1.26\n\nuse (\n\t.\n\t../shop\n)\n")
		s.file("go.mod", shopMod)
		s.file("parts/parts.go", fmt.Sprintf("package parts\n\nfunc Name() string { return \"shop %d\" }\n", i))
		time.Sleep(2 * clockSlack)
		s.cell(`println(parts.Name())`, parts)
		if got, _ := s.build(); got != fmt.Sprintf("shop %d\n", i) {
			t.Errorf("kernel %d: the program prints %q", i, got)
		}
	}
}

// TestChangedSource changes, between builds, in turn everything that a package
// is made of.
func TestChangedSource(t *testing.T) {
	s := newShop(t)
	body := `println(store.Name(), label.Text)`
	build := func(want string) {
		t.Helper()
		s.cell(body, store, label)
		s.want(want+"\n", false)
		s.cell(body+"; println()", store, label)
		s.want(want+"\n\n", true)
	}
	build("store of first pump")
	s.file("parts/parts.go", "package parts\n\nfunc Name() string { return \"other\" }\n")
	build("store of other pump")
	s.file("parts/more.go", "package parts\n\nfunc init() { println(\"more\") }\n")
	build("more\nstore of other pump")
	if err := os.Remove(filepath.Join(s.mod, "parts/more.go")); err != nil {
		t.Fatal(err)
	}
	build("store of other pump")
	s.file("label/label.txt", "line")
	build("store of other line")
	s.file("label/label.go", "package label\n\nimport \"embed\"\n\n//go:embed all:files\nvar files embed.FS\n\n"+
		"var Text = func() string { e, _ := files.ReadDir(\"files\"); return e[len(e)-1].Name() }()\n")
	s.file("label/files/a.txt", "")
	build("store of other a.txt")
	s.file("label/files/b.txt", "")
	build("store of other b.txt")
}

// TestSameCell builds a cell again that the go command still has.
func TestSameCell(t *testing.T) {
	s := newShop(t)
	s.cell(`println("one", parts.Name())`, parts)
	s.want("one first\n", false)
	s.want("one first\n", true)
	alter(t, func(r *recipe) { r.Packages = nil })
	s.want("one first\n", false)
	s.cell(`println("two", parts.Name())`, parts)
	s.want("two first\n", true)
	if err := os.Remove(recipeFile(t)); err != nil {
		t.Fatal(err)
	}
	// Now there is nothing to learn from that cell, only from another.
	s.cell(`println("one", parts.Name())`, parts)
	s.want("one first\n", false)
	s.cell(`println("three", parts.Name())`, parts)
	s.want("three first\n", false)
	s.want("three first\n", true)
}

// TestSameTimeAndSize changes a file and sets its time back.
func TestSameTimeAndSize(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("the time of a change is looked at on Linux only")
	}
	s := newShop(t)
	s.cell(`println("one", parts.Name())`, parts)
	s.want("one first\n", false)
	path := filepath.Join(s.mod, "parts/parts.go")
	before, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	s.file("parts/parts.go", "package parts\n\nfunc Name() string { return \"FIRST\" }\n")
	if err := os.Chtimes(path, before.ModTime(), before.ModTime()); err != nil {
		t.Fatal(err)
	}
	s.cell(`println("two", parts.Name())`, parts)
	s.want("two FIRST\n", false)
}

// TestStaleImporter has a package change, then only that package built again,
// then one that imports it.
func TestStaleImporter(t *testing.T) {
	s := newShop(t)
	s.cell(`println(store.Name())`, store)
	s.want("store of first\n", false)
	s.file("parts/parts.go", "package parts\n\nfunc Name() string { return \"second\" }\n")
	s.cell(`println(parts.Name())`, parts)
	s.want("second\n", false)
	s.cell(`println("again", store.Name())`, store)
	s.want("again store of second\n", false)
}

// TestChangedTests changes what does not belong to a program.
func TestChangedTests(t *testing.T) {
	s := newShop(t)
	s.cell(`println("one", parts.Name())`, parts)
	s.want("one first\n", false)
	s.file("parts/parts_test.go", "package parts\n\nbroken")
	s.file("parts/notes.txt", "")
	s.file("elsewhere/new.go", "package elsewhere\n")
	s.cell(`println("two", parts.Name())`, parts)
	s.want("two first\n", true)
}

func TestChangedModule(t *testing.T) {
	s := newShop(t)
	s.cell(`println("one", parts.Name())`, parts)
	s.want("one first\n", false)
	s.file("go.mod", shopMod+"\n// Changed.\n")
	s.cell(`println("two", parts.Name())`, parts)
	s.want("two first\n", false)
	// The cell's own.
	write(t, filepath.Join(s.dir, "go.mod"), "module gonb_0123abcd\n\ngo 1.25\n")
	s.cell(`println("three", parts.Name())`, parts)
	s.want("three first\n", false)
}

func TestOtherFlags(t *testing.T) {
	s := newShop(t)
	s.file("parts/tagged.go", "//go:build tagged\n\npackage parts\n\nfunc init() { println(\"tagged\") }\n")
	plain := s.env
	flags := func(goflags string) { s.env = append(plain[:len(plain):len(plain)], "GOFLAGS="+goflags) }
	flags("-buildvcs=false")
	s.cell(`println(1, parts.Name())`, parts)
	s.want("1 first\n", false)
	flags("-buildvcs=false -tags=tagged")
	s.cell(`println(2, parts.Name())`, parts)
	s.want("tagged\n2 first\n", false)
	s.cell(`println(3, parts.Name())`, parts)
	s.want("tagged\n3 first\n", true)
	flags("-buildvcs=false")
	s.cell(`println(4, parts.Name())`, parts)
	s.want("4 first\n", true)
	// Flags that only the go command understands.
	flags("-buildvcs=false -modcacherw")
	s.cell(`println(5, parts.Name())`, parts)
	s.want("5 first\n", false)
	s.cell(`println(6, parts.Name())`, parts)
	s.want("6 first\n", false)
}

// TestOtherKernel has two kernels build at once: neither takes the other's cell.
func TestOtherKernel(t *testing.T) {
	s := newShop(t)
	s.cell(`println("one", parts.Name())`, parts)
	s.want("one first\n", false)
	var wg sync.WaitGroup
	for i := range 2 {
		other := cellOf(t, t.TempDir(), s.mod)
		// The go command sees the same path.
		other.env, other.log = s.env, s.log
		wg.Go(func() {
			for k := range 3 {
				other.cell(fmt.Sprintf(`println(%d, %d, parts.Name())`, i, k), parts)
				job := other.job()
				if err := job.Run(t.Context()); err != nil {
					t.Errorf("%v\n%s", err, other.said.Bytes())
				}
				if out, err := exec.Command(job.Out).CombinedOutput(); err != nil || string(out) != fmt.Sprintf("%d %d first\n", i, k) {
					t.Errorf("kernel %d, cell %d: got %q, %v", i, k, out, err)
				}
			}
		})
	}
	os.Remove(s.log)
	wg.Wait()
	if called := s.called(); len(called) > 0 {
		t.Errorf("the go command was called: %q", called)
	}
}

// TestFirstAtOnce has two kernels learn the same at the same time.
func TestFirstAtOnce(t *testing.T) {
	s := newShop(t)
	time.Sleep(2 * clockSlack)
	var wg sync.WaitGroup
	for i := range 2 {
		other := cellOf(t, t.TempDir(), s.mod)
		other.env, other.log = s.env, s.log
		other.cell(fmt.Sprintf(`println(%d, parts.Name())`, i), parts)
		wg.Go(func() {
			job := other.job()
			if err := job.Run(t.Context()); err != nil {
				t.Errorf("%v\n%s", err, other.said.Bytes())
			}
			if out, err := exec.Command(job.Out).CombinedOutput(); err != nil || string(out) != fmt.Sprintf("%d first\n", i) {
				t.Errorf("kernel %d: got %q, %v", i, out, err)
			}
		})
	}
	wg.Wait()
	s.cell(`println(3, parts.Name())`, parts)
	s.want("3 first\n", true)
}

// recipeFile returns the path of the only recipe.
func recipeFile(t *testing.T) string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(os.Getenv(cache.Env), "recipes", "*", "*"))
	if err != nil || len(files) != 1 {
		t.Fatalf("the cache holds the recipes %q, %v, want one", files, err)
	}
	return files[0]
}

// TestDamagedRecipe has the file of a recipe written in part, and otherwise
// damaged.
func TestDamagedRecipe(t *testing.T) {
	s := newShop(t)
	s.cell(`println(0, parts.Name())`, parts)
	s.want("0 first\n", false)
	path := recipeFile(t)
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	// A recipe that says otherwise would be followed if it were not for its sum.
	other := bytes.Replace(whole, []byte("-complete"), []byte("-complote"), 1)
	if bytes.Equal(other, whole) {
		t.Fatal("the recipe does not call the compiler as expected")
	}
	for i, text := range [][]byte{nil, whole[:len(whole)/2], whole[:len(whole)-1], append(whole[:len(whole):len(whole)], '}'), other} {
		if err := os.WriteFile(path, text, 0o666); err != nil {
			t.Fatal(err)
		}
		s.cell(fmt.Sprintf(`println(%d, parts.Name())`, i+1), parts)
		s.want(fmt.Sprintf("%d first\n", i+1), false)
	}
	s.cell(`println("whole", parts.Name())`, parts)
	s.want("whole first\n", true)
}

// alter changes the only recipe.
func alter(t *testing.T, change func(*recipe)) {
	t.Helper()
	path := recipeFile(t)
	r, err := load(filepath.Base(path))
	if err != nil {
		t.Fatal(err)
	}
	change(r)
	if err := r.store(filepath.Base(path)); err != nil {
		t.Fatal(err)
	}
}

func TestOldRecipe(t *testing.T) {
	s := newShop(t)
	s.cell(`println(1, parts.Name())`, parts)
	s.want("1 first\n", false)
	for i, made := range []time.Time{time.Now().Add(-maxAge - time.Minute), time.Now().Add(time.Hour)} {
		alter(t, func(r *recipe) { r.Made = made })
		s.cell(fmt.Sprintf(`println(%d, parts.Name())`, i), parts)
		s.want(fmt.Sprintf("%d first\n", i), false)
	}
}

// TestLostPackage has a compiled package gone from the go command's cache.
func TestLostPackage(t *testing.T) {
	s := newShop(t)
	s.cell(`println(1, parts.Name())`, parts)
	s.want("1 first\n", false)
	alter(t, func(r *recipe) {
		p := r.Packages[parts]
		p.File += ".gone"
		r.Packages[parts] = p
	})
	s.cell(`println(2, parts.Name())`, parts)
	s.want("2 first\n", false)
	s.cell(`println(3, parts.Name())`, parts)
	s.want("3 first\n", true)
}

// TestChangedMeanwhile has a file that may have been changed during the build.
func TestChangedMeanwhile(t *testing.T) {
	s := newShop(t)
	future := time.Now().Add(time.Hour)
	if err := os.Chtimes(filepath.Join(s.mod, "parts/parts.go"), future, future); err != nil {
		t.Fatal(err)
	}
	for i := range 2 {
		s.cell(fmt.Sprintf(`println(%d, parts.Name())`, i), parts)
		s.want(fmt.Sprintf("%d first\n", i), false)
	}
}

// TestMistakes wants the go command's own words about mistakes in a cell, after
// a recipe was made.
func TestMistakes(t *testing.T) {
	s := newShop(t)
	s.cell(`println(1, parts.Name())`, parts)
	s.want("1 first\n", false)
	for _, body := range []string{
		`undefined1()`,
		`x := 1`,
		`parts.Missing()`,
		`var s string = 3; println(s); return 1`,
		strings.Repeat("undefined2(\"a\")\n", 20),
		`println("unused")`,
		`this is no Go`,
	} {
		s.cell(body, parts)
		s.said.Reset()
		job := s.job()
		err := job.Run(t.Context())
		if err == nil {
			t.Errorf("%q was built", body)
			continue
		}
		said := s.said.String()
		s.said.Reset()
		if err2 := job.goBuild(t.Context()); err2 == nil || err2.Error() != err.Error() || s.said.String() != said {
			t.Errorf("%q: got %v\n%s\nthe go command says %v\n%s", body, err, said, err2, s.said.Bytes())
		}
	}
	s.cell(`println(2, parts.Name())`, parts)
	s.want("2 first\n", true)
}

// TestSameProgram compares the programs byte by byte.
func TestSameProgram(t *testing.T) {
	s := newShop(t)
	// The identifier of a build is all that differs.
	s.env = append(s.env, "GOFLAGS=-buildvcs=false -ldflags=-buildid=")
	s.cell(`fmt.Println(store.Name())`, "fmt", store)
	s.want("store of first\n", false)
	s.cell(`info, _ := debug.ReadBuildInfo(); fmt.Println(info)`, "fmt", "runtime/debug")
	s.build()
	for _, tt := range []struct {
		body    string
		imports []string
	}{
		{`fmt.Println(store.Name(), "direct")`, []string{"fmt", store}},
		{`info, _ := debug.ReadBuildInfo(); fmt.Println(info, store.Name())`, []string{"fmt", "runtime/debug", store}},
		{`info, _ := debug.ReadBuildInfo(); fmt.Println(info, "alone")`, []string{"fmt", "runtime/debug"}},
	} {
		s.cell(tt.body, tt.imports...)
		printed, called := s.build()
		if len(called) > 0 {
			t.Errorf("the go command was called: %q", called)
		}
		job := s.job()
		direct, err := os.ReadFile(job.Out)
		if err != nil {
			t.Fatal(err)
		}
		os.Remove(job.Out)
		if err := job.goBuild(t.Context()); err != nil {
			t.Fatal(err)
		}
		by, err := os.ReadFile(job.Out)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(direct, by) {
			out, _ := exec.Command(job.Out).CombinedOutput()
			t.Errorf("%s: the programs of %d and %d bytes differ; direct prints\n%s\nthat of the go command\n%s",
				tt.body, len(direct), len(by), printed, out)
		}
	}
}

// TestNotPlain has cells with something that only the go command can build.
func TestNotPlain(t *testing.T) {
	s := newShop(t)
	s.cell(`println(1, parts.Name())`, parts)
	s.want("1 first\n", false)
	main := filepath.Join(s.dir, mainFile)
	s.cell(`println(2, other())`, parts)
	for _, tt := range []struct{ name, file, text, body string }{
		{"second file", "other.go", "package main\n\nfunc other() int { return 1 }\n", "package main\n\nfunc main() { println(other()) }\n"},
		{"assembly", "other.s", "// nothing\n", "package main\n\nfunc main() { println(1) }\n"},
		{"embedding", "1.txt", "1", "package main\n\nimport _ \"embed\"\n\n//go:embed 1.txt\nvar one string\n\nfunc main() { println(one) }\n"},
		{"constraint", "", "", "//go:build !plan9\n\npackage main\n\nfunc main() { println(1) }\n"},
		{"line", "", "", "package main\n\nfunc main() {\n//line other.go:7\nprintln(1) }\n"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s.t = t
			if tt.file != "" {
				path := filepath.Join(s.dir, tt.file)
				write(t, path, tt.text)
				defer os.Remove(path)
			}
			write(t, main, tt.body)
			s.want("1\n", false)
		})
	}
}

func TestStopped(t *testing.T) {
	s := newShop(t)
	s.cell(`println(1, parts.Name())`, parts)
	s.want("1 first\n", false)
	job := s.job()
	os.Remove(job.Out)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := job.Run(ctx); err == nil {
		t.Error("a stopped build succeeded")
	}
	if _, err := os.Stat(job.Out); err == nil {
		t.Error("a stopped build left a program")
	}
}
