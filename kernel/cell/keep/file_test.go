package keep

import (
	"os"
	"testing"
	"time"
)

// A file that was damaged gives an error, never a crash.
func FuzzFile(f *testing.F) {
	dir := f.TempDir()
	type thing struct {
		p     *Pair
		list  []string
		m     map[string]*int
		a     any
		when  time.Time
		plain []int
		z     *time.Location
		fn    func()
	}
	n := 3
	make := func(path string) []byte {
		v := thing{p: &Pair{name: "x"}, list: []string{"a"}, m: map[string]*int{"n": &n}, a: 2, when: time.Unix(1, 2), fn: nil, plain: []int{1, 2}, z: time.UTC}
		v.p.a = v.p
		c := Cell{Folder: path, Mark: "1", Vars: []Var{{Name: "v", At: &v}}}
		if err := newSession(c).save(); err != nil {
			f.Fatal(err)
		}
		data, err := os.ReadFile(path + "/1-heap-1")
		if err != nil {
			f.Fatal(err)
		}
		return data
	}
	good := make(dir)
	f.Add(good)
	for i := range len(good) {
		bad := append([]byte(nil), good...)
		bad[i] ^= 0x55
		f.Add(bad)
		f.Add(good[:i])
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		dir := t.TempDir()
		if err := os.WriteFile(dir+"/f", data, 0o600); err != nil {
			t.Fatal(err)
		}
		var v thing
		c := Cell{Folder: dir, Mark: "2", Vars: []Var{{Name: "v", At: &v, File: "f"}}, Live: map[string][]string{"f": {"v"}}}
		if err := newSession(c).load(); err == nil && v.p != nil && v.p.a == nil && len(v.p.name) > len(data) {
			t.Error("it made up a name")
		}
	})
}
