package live_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"example.com/railbook/kernel/display/live"
)

var update = flag.Bool("update", false, "write the golden files anew")

// The golden files are what the charts were when they were last looked at in a
// browser; a difference is to be looked at again.
func TestGolden(t *testing.T) {
	for name, f := range all() {
		t.Run(name, func(t *testing.T) {
			spec, err := live.Spec(f)
			if err != nil {
				t.Fatal(err)
			}
			got, err := json.MarshalIndent(spec, "", " ")
			if err != nil {
				t.Fatal(err)
			}
			got = append(got, '\n')
			path := filepath.Join("testdata", name+".json")
			if *update {
				if err := os.WriteFile(path, got, 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(got, want) {
				t.Errorf("the chart is not that of %s; look at it in a browser, then run the test with -update", path)
			}
		})
	}
}

func TestSameFigureSameBytes(t *testing.T) {
	for name := range all() {
		var specs [2][]byte
		for i := range specs {
			spec, err := live.Spec(all()[name])
			if err != nil {
				t.Fatal(err)
			}
			if specs[i], err = json.Marshal(spec); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(specs[0], specs[1]) {
			t.Errorf("%s: two specs differ", name)
		}
	}
}
