package sheet

import (
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func TestRewrite(t *testing.T) {
	doc, problem := Parse([]byte(`
name = "middle of 1..3"
max_duty = 0.85
engine = { displacement = "3..4 L" }
[[pumps]]
part = "first"
rises = "1..3 bar"
[[pumps]]
part = "second"
rises = ["1 bar", "2..3 bar"]
`))
	if problem != nil {
		t.Fatal(problem)
	}
	seen := map[string]string{}
	doc.Rewrite(func(path, text string) (string, bool) {
		seen[path] = text
		return "2 bar", strings.Contains(path, "rises") && strings.Contains(text, "..")
	})
	if len(seen) != 7 || seen["pumps[2].rises[2]"] != "2..3 bar" || seen["engine.displacement"] != "3..4 L" {
		t.Errorf("asked of %v", seen)
	}
	var s sample
	problems := doc.Decode(&s)
	if len(problems) != 1 || problems[0].Field != "engine.displacement" {
		t.Fatalf("problems %v, want one of the text left alone", problems)
	}
	if s.Pumps[0].Rises[0] != 2*quantity.BarDiff || s.Pumps[1].Rises[1] != 2*quantity.BarDiff || s.Pumps[1].Rises[0] != 1*quantity.BarDiff {
		t.Errorf("decoded %v", s.Pumps)
	}
}

func TestTake(t *testing.T) {
	text := "[engine]\ndisplacement = '1 L'\n[[aside]]\npart = 'x'\nrise = '1 bar'\n"
	doc, problem := Parse([]byte(text))
	if problem != nil {
		t.Fatal(problem)
	}
	var aside []pump
	problems := doc.Take("aside", &aside)
	if len(problems) != 1 || problems[0].Field != "aside[1].rise" || problems[0].Line != 5 || !strings.Contains(problems[0].Reason, `perhaps "rises" is meant`) {
		t.Errorf("problems %v", problems)
	}
	if len(aside) != 1 || aside[0].Part != "x" {
		t.Errorf("took %v", aside)
	}
	var s sample
	if problems := doc.Decode(&s); len(problems) > 0 {
		t.Errorf("what was taken is complained about: %v", problems)
	}

	doc, _ = Parse([]byte("[engine]\ndisplacement = '1 L'\n[[asied]]\n"))
	if problems := doc.Take("aside", &aside); problems != nil {
		t.Errorf("nothing to take gives %v", problems)
	}
	problems = doc.Decode(&s)
	if len(problems) != 1 || !strings.Contains(problems[0].String(), `perhaps "aside" is meant; want one of engine, max_duty, pumps, name, aside`) {
		t.Errorf("a slip in the name gives %v", problems)
	}
}
