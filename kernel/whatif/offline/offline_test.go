package offline_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"flag"
	"os"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"example.com/railbook/kernel/whatif"
	"example.com/railbook/kernel/whatif/offline"
	"example.com/railbook/sizing"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// TestShell holds the page, without its style, its scripts and its data, against a golden
// file.
func TestShell(t *testing.T) {
	got := write(t, open(t, "natural"), standIn)
	for _, part := range []struct{ expression, by string }{
		{`(?s)<style>.*?</style>`, "<style>(style)</style>"},
		{`(?s)(<script type="[a-z/]+" id="(panel|build)">).*?</script>`, "${1}(data)</script>"},
		{`(?s)<script>// What the what-if panel.*?</script>`, "<script>(panel)</script>"},
		{`sha256-.*?&#39;`, "sha256-(digest)&#39;"},
	} {
		got = regexp.MustCompile(part.expression).ReplaceAllString(got, part.by)
	}
	const path = "testdata/shell.golden.html"
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v; run with -update to make it", err)
	}
	if got != string(want) {
		t.Errorf("differs; run with -update and look at the change:\n%s", got)
	}
}

func TestSameBytes(t *testing.T) {
	b := open(t, "surge")
	first := write(t, b, standIn)
	for range 5 {
		if write(t, b, standIn) != first {
			t.Fatal("two pages of one build differ")
		}
	}
}

// parsed is a page as a browser reads it.
type parsed struct {
	elements string            // their names, in order
	data     map[string]string // by the element's id
	policy   string
	texts    []string // of scripts that run, and of the style
}

func parse(t *testing.T, page string) parsed {
	t.Helper()
	root, err := html.Parse(strings.NewReader(page))
	if err != nil {
		t.Fatal(err)
	}
	p := parsed{data: map[string]string{}}
	var names []string
	for n := range root.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		names = append(names, n.Data)
		attributes := map[string]string{}
		for _, a := range n.Attr {
			attributes[a.Key] = a.Val
			if strings.HasPrefix(a.Key, "on") || a.Key == "style" || a.Key == "src" || a.Key == "href" {
				t.Errorf("<%s %s=%q>", n.Data, a.Key, a.Val)
			}
		}
		switch {
		case attributes["http-equiv"] == "Content-Security-Policy":
			p.policy = attributes["content"]
		case n.Data == "script" && attributes["type"] != "":
			p.data[attributes["id"]] = n.FirstChild.Data
		case n.Data == "script", n.Data == "style":
			p.texts = append(p.texts, n.FirstChild.Data)
		}
	}
	p.elements = strings.Join(names, " ")
	return p
}

// TestPolicy wants the policy to name the digests of all scripts and of the style, and to
// allow nothing else.
func TestPolicy(t *testing.T) {
	p := parse(t, write(t, open(t, "turbo"), standIn))
	rest := p.policy
	for _, text := range p.texts {
		sum := sha256.Sum256([]byte(text))
		digest := " 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
		if !strings.Contains(rest, digest) {
			t.Errorf("no digest of %.60q", text)
		}
		rest = strings.Replace(rest, digest, "", 1)
	}
	const want = "default-src 'none'; base-uri 'none'; form-action 'none'; style-src; script-src 'wasm-unsafe-eval'"
	if rest != want || len(p.texts) != 3 {
		t.Errorf("policy of %d texts beside their digests: %s\nwant %s", len(p.texts), rest, want)
	}
}

// TestWhatThePageHolds wants the build without the job's notes, the description of its
// panel and the program.
func TestWhatThePageHolds(t *testing.T) {
	b := open(t, "turbo")
	if b.Job.Notes == "" {
		t.Fatal("the sheet has no notes to leave out")
	}
	page := write(t, b, standIn)
	if strings.Contains(page, b.Job.Notes) {
		t.Error("the page holds the notes")
	}
	p := parse(t, page)
	var got sizing.Build
	if err := json.Unmarshal([]byte(p.data["build"]), &got); err != nil {
		t.Fatal(err)
	}
	b.Job.Notes = ""
	if !reflect.DeepEqual(got, b) {
		t.Error("the page holds another build")
	}
	panel, err := whatif.New(b)
	if err != nil {
		t.Fatal(err)
	}
	var d whatif.Description
	if err := json.Unmarshal([]byte(p.data["panel"]), &d); err != nil {
		t.Fatal(err)
	}
	if want := panel.Describe(); !reflect.DeepEqual(d, want) {
		t.Error("the page holds another description")
	}
	if wasm, err := base64.StdEncoding.DecodeString(p.data["program"]); err != nil || !bytes.Equal(wasm, standIn.Wasm) {
		t.Errorf("program %q, %v", wasm, err)
	}
}

// hostile is text that tries to get out of wherever it stands.
var hostile = []string{
	`</script><script>document.title="run"</script>`,
	`</SCRIPT ><img src=x onerror="document.title='run'">`,
	`<!--<script>`,
	`--></noscript></title></style><img src=x onerror=alert(1)>`,
	"\"'\\\u2028\u2029 &lt;b&gt; {{.Title}} ${document.title=1} `x`",
	`<b>bold</b>&amp;`,
}

// wild is a build with such text wherever a sheet has words of its own.
func wild(b sizing.Build, text string) sizing.Build {
	b.Job.Name, b.Job.Reference, b.Job.Revision, b.Job.Maker, b.Job.Engineer, b.Job.Customer = text, text, text, text, text, text
	b.Injectors.Part, b.Regulator.Part, b.FeedLine.Part = text, text, text
	b.Pumps = append([]sizing.Pump(nil), b.Pumps...)
	for i := range b.Pumps {
		b.Pumps[i].Part = text
	}
	return b
}

// TestHostileText wants the page to be made of the same elements, whatever stands in the
// sheet, and its data to come out as it went in.
func TestHostileText(t *testing.T) {
	tame := parse(t, write(t, open(t, "turbo"), standIn))
	for _, text := range hostile {
		got := parse(t, write(t, wild(open(t, "turbo"), text), standIn))
		if got.elements != tame.elements {
			t.Errorf("%q: elements\n%s\nwant\n%s", text, got.elements, tame.elements)
		}
		var b sizing.Build
		if err := json.Unmarshal([]byte(got.data["build"]), &b); err != nil || b.Job.Name != text || b.Pumps[0].Part != text {
			t.Errorf("%q comes out as %q, %v", text, b.Job.Name, err)
		}
	}
}

func TestBadBuild(t *testing.T) {
	b := open(t, "turbo")
	b.Engine.Cylinders = 0
	want := b.Validate()
	if err := offline.Write(&bytes.Buffer{}, b, standIn); err == nil || err.Error() != want.Error() {
		t.Errorf("error %v, want %v", err, want)
	}
}
