package offline_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"example.com/railbook/kernel/whatif"
	"example.com/railbook/kernel/whatif/internal/browser"
	"example.com/railbook/kernel/whatif/program"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// settings are where the sliders go in the browser: as shares of their way.
var settings = []map[string]float64{
	{},
	{whatif.Boost: 1, whatif.Ethanol: 0.85},
	{whatif.Power: 0.1, whatif.BasePressure: 1, whatif.FuelTemperature: 1},
	{whatif.Ethanol: 0, whatif.Methanol: 0.3, whatif.ChargeTemperature: 0.9},
	{whatif.Boost: 0.35, whatif.BasePressure: 0, whatif.FuelTemperature: 0.2, whatif.ChargeTemperature: 0},
}

// TestNumbersAreThoseOfGo compares everything that the page shows, of several sheets at
// several settings, with the assessment made here.
func TestNumbersAreThoseOfGo(t *testing.T) {
	p := compiled(t)
	b := start(t)
	for _, name := range []string{"turbo", "natural", "driven", "surge", "speed", "lift"} {
		build := open(t, name)
		build.Job.Notes = ""
		panel, err := whatif.New(build)
		if err != nil {
			t.Fatal(err)
		}
		d := panel.Describe()
		path := save(t, write(t, build, p))
		b.show(path, "")
		eval[any](b, unfold)
		for i, shares := range settings {
			s := whatif.Settings{Stops: map[string]int{}, Apart: i == 4}
			var fragment []string
			for _, v := range d.Sliders {
				if share, ok := shares[v.ID]; ok {
					s.Stops[v.ID] = int(share * float64(len(v.Stops)-1))
					fragment = append(fragment, fmt.Sprintf("%s=%d", v.ID, s.Stops[v.ID]))
				}
			}
			if s.Apart {
				fragment = append(fragment, "apart=1")
			}
			at := name + " at " + strings.Join(fragment, "&")
			want, err := panel.State(s)
			if err != nil {
				t.Fatal(err)
			}
			if i == 1 {
				b.show(path, strings.Join(fragment, "&"))
				eval[any](b, unfold)
				eval[any](b, `new Promise(done => setTimeout(done, 20))`) // unfolding is told a moment later
			} else {
				b.set(s)
			}
			got := eval[map[string][]string](b, read)
			for key, texts := range shown(d, want) {
				if !slices.Equal(got[key], texts) {
					t.Errorf("%s: %s\n%q\nwant\n%q", at, key, got[key], texts)
				}
			}
			request, err := json.Marshal(whatif.Request{ID: 1, Settings: s})
			if err != nil {
				t.Fatal(err)
			}
			var reply whatif.Reply
			if err := json.Unmarshal([]byte(eval[string](b, fmt.Sprintf("railbook.handle(%q)", request))), &reply); err != nil {
				t.Fatal(err)
			}
			if reply.State == nil || !reflect.DeepEqual(texts(*reply.State), texts(want)) {
				t.Errorf("%s: the program answers %+v\nwant %+v", at, reply.State, want)
			}
		}
	}
	quiet(t, b)
}

// set moves the sliders of a panel at the sheet to settings.
func (b tab) set(s whatif.Settings) {
	b.t.Helper()
	script := `(() => {
  const id = name => document.querySelector('[id$="-' + name + '"]');
  document.querySelector('.rbw-reset').click();
`
	if s.Apart {
		script += "  id('apart').click();\n"
	}
	for _, name := range slices.Sorted(maps.Keys(s.Stops)) {
		script += fmt.Sprintf("  id(%q).value = %d;\n  id(%[1]q).dispatchEvent(new Event('input'));\n", name, s.Stops[name])
	}
	eval[any](b, script+"})()")
	b.rest()
}

// unfold opens what is folded.
const unfold = `document.querySelectorAll('.rbw details').forEach(e => { e.open = true; })`

// texts is a state without its raw numbers, whose last bits may differ from one processor
// to the other.
func texts(s whatif.State) whatif.State {
	s.RawPower = 0
	s.Parts, s.Demand, s.Duties = slices.Clone(s.Parts), slices.Clone(s.Demand), slices.Clone(s.Duties)
	for i := range s.Parts {
		s.Parts[i].RawLimit, s.Parts[i].RawKeeps, s.Parts[i].RawShare = 0, 0, 0
	}
	for i := range s.Demand {
		s.Demand[i].Raw = 0
	}
	for i := range s.Duties {
		s.Duties[i].Raw, s.Duties[i].RawMost = 0, 0
	}
	return s
}

// quiet wants nothing on the console, and no request but for the pages themselves.
func quiet(t *testing.T, b tab) {
	t.Helper()
	if lines := b.Console(); len(lines) > 0 {
		t.Errorf("console: %q", lines)
	}
	for _, url := range b.Requests() {
		if !strings.HasPrefix(url, "file:///") && url != "about:blank" {
			t.Errorf("request: %s", url)
		}
	}
}

// TestVerdictInTheBrowser is the shortest way from sheet to screen: a verdict and the
// margins, against package sizing alone.
func TestVerdictInTheBrowser(t *testing.T) {
	b := start(t)
	build := open(t, "turbo")
	b.show(save(t, write(t, build, compiled(t))), "base-pressure=60") // 56 psi
	a, err := sizing.Assess(build.WithBasePressure(56 * quantity.PSI))
	if err != nil {
		t.Fatal(err)
	}
	if got, want := eval[string](b, `document.querySelector('.rbw-verdict').textContent`), a.Verdict(quantity.US); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	page := eval[string](b, `document.querySelector('.rbw-results').textContent`)
	for _, row := range a.MarginTable(quantity.US).Rows {
		for _, cell := range row[1:4] {
			if !strings.Contains(page, cell) {
				t.Errorf("the page does not show %q of %s", cell, row[0])
			}
		}
	}
}

// value is the expression of what a slider shows.
func value(id string) string {
	return fmt.Sprintf(`document.querySelector('[id$="-%s"]').closest('.rbw-slider').querySelector('output b').textContent`, id)
}

// TestKeys uses the panel as one does without a mouse.
func TestKeys(t *testing.T) {
	b := start(t)
	b.show(save(t, write(t, open(t, "turbo"), compiled(t))), "")
	focus := func(id string) { eval[any](b, fmt.Sprintf(`document.querySelector('[id$="-%s"]').focus()`, id)) }
	want := func(id, text string) {
		t.Helper()
		if got := eval[string](b, value(id)); got != text {
			t.Errorf("%s shows %q, want %q", id, got, text)
		}
	}
	verdict := eval[string](b, `document.querySelector('.rbw-verdict').textContent`)
	focus(whatif.Boost)
	b.press("ArrowRight", "ArrowRight", "ArrowRight")
	want(whatif.Boost, "23.5 psi")
	want(whatif.Power, "666.2 hp") // follows: (23.5 psi + 100.5 kPa) over (22 psi + 100.5 kPa), of 640 hp
	b.press("End")
	want(whatif.Boost, "40.5 psi")
	b.press("Home")
	want(whatif.Boost, "7 psi")
	b.press("Tab") // to the next slider: the buttons beside it are for pointers
	b.press("ArrowRight")
	want(whatif.Power, "390 hp")
	if got := eval[string](b, value(whatif.Boost)); got == "7 psi" {
		t.Error("boost does not follow power")
	}
	focus("apart")
	b.press(" ")
	focus(whatif.Boost)
	b.press("End")
	want(whatif.Power, "390 hp")
	if got := eval[string](b, `location.hash`); got != "#power=1&boost=67&apart=1" {
		t.Errorf("address %q", got)
	}
	eval[any](b, `document.querySelector('.rbw-reset').focus()`)
	b.press("Enter")
	want(whatif.Boost, "22 psi")
	want(whatif.Power, "640 hp")
	if got := eval[string](b, `document.querySelector('.rbw-verdict').textContent`); got != verdict {
		t.Errorf("back at the sheet: %q, want %q", got, verdict)
	}
	if got := eval[string](b, `location.hash`); got != "" {
		t.Errorf("address %q at the sheet", got)
	}
	quiet(t, b)
}

// TestLabels wants every control to have a name, and what moves to be said in words.
func TestLabels(t *testing.T) {
	b := start(t)
	b.show(save(t, write(t, open(t, "surge"), compiled(t))), "boost=100")
	if got := eval[[]string](b, `Array.from(document.querySelectorAll('.rbw :is(input, button)'))
		.filter(e => !e.labels?.length && !e.getAttribute('aria-label') && !e.textContent.trim()).map(e => e.outerHTML)`); len(got) > 0 {
		t.Errorf("controls without a name: %q", got)
	}
	if got := eval[[]string](b, `Array.from(document.querySelectorAll('[aria-describedby]'))
		.filter(e => !document.getElementById(e.getAttribute('aria-describedby'))).map(e => e.outerHTML)`); len(got) > 0 {
		t.Errorf("described by nothing: %q", got)
	}
	if got := eval[string](b, `document.querySelector('input[type=range]').getAttribute('aria-valuetext')`); got != "262 kPa (38 psi)" {
		t.Errorf("boost is read out as %q", got)
	}
	if got := eval[string](b, `document.querySelector('[role=status]').textContent`); got != "" {
		t.Errorf("said before anything moved: %q", got)
	}
	eval[any](b, `document.querySelector('input[type=range]').focus()`)
	b.press("PageUp")
	if err := b.Wait(b.ctx, `document.querySelector('[role=status][aria-live=polite]').textContent !== ''`); err != nil {
		t.Fatal(err)
	}
	if got := eval[string](b, `document.querySelector('[role=status]').textContent`); !strings.HasPrefix(got, "The system does not carry ") || !strings.Contains(got, "boost 172.4 kPa → 2") {
		t.Errorf("said: %q", got)
	}
	// A sign and a word tell a status beside its colour.
	if got := eval[[]string](b, `Array.from(document.querySelectorAll('.rbw-status'), e => e.textContent)`); slices.ContainsFunc(got, func(s string) bool {
		return s != "● carries" && s != "◐ thin" && s != "○ short"
	}) || len(got) < 6 {
		t.Errorf("statuses %q", got)
	}
}

// TestOnAPhone wants nothing wider than a small phone, on every sheet.
func TestOnAPhone(t *testing.T) {
	p := compiled(t)
	b := start(t)
	for _, name := range []string{"turbo", "driven", "surge"} {
		build := open(t, name)
		build.Injectors.Part = strings.Repeat("Lindqvist", 12)
		path := save(t, write(t, build, p))
		for _, v := range []browser.View{{Width: 360, Height: 740, Phone: true}, {Width: 320, Height: 600, Phone: true, Dark: true}} {
			b.look(v)
			b.show(path, "boost=20&base-pressure=3")
			eval[any](b, unfold)
			if got := eval[int](b, `document.documentElement.scrollWidth`); got > v.Width {
				t.Errorf("%s is %d wide on a screen of %d", name, got, v.Width)
			}
		}
	}
}

// TestOnPaper wants no controls on paper, and what they are set to in words.
func TestOnPaper(t *testing.T) {
	b := start(t)
	b.look(browser.View{Width: 760, Height: 1000, Paper: true})
	b.show(save(t, write(t, open(t, "turbo"), compiled(t))), "boost=39")
	if got := eval[int](b, `Array.from(document.querySelectorAll('.rbw :is(input, button)')).filter(e => e.checkVisibility()).length`); got != 0 {
		t.Errorf("%d controls on paper", got)
	}
	if got := eval[string](b, `document.querySelector('.rbw-change').textContent`); got != "22 psi → 26.5 psi." {
		t.Errorf("boost on paper: %q", got)
	}
}

// TestNoAnswerInTheBrowser wants a setting without an answer to be told with its reason,
// no number to be left from before, and the way back.
func TestNoAnswerInTheBrowser(t *testing.T) {
	b := start(t)
	build := open(t, "speed")
	build.Regulator.Relief = 62 * quantity.PSI // the set point is 58 psi
	b.show(save(t, write(t, build, compiled(t))), "base-pressure=70")
	if got := eval[string](b, `document.querySelector('.rbw-verdict').textContent`); !strings.HasPrefix(got, "The model has no answer here: regulator.relief = ") {
		t.Errorf("verdict %q", got)
	}
	if eval[bool](b, `document.querySelector('.rbw-results').checkVisibility({visibilityProperty: true})`) {
		t.Error("numbers are left")
	}
	eval[any](b, `document.querySelector('.rbw-reset').click()`)
	b.rest()
	if !eval[bool](b, `document.querySelector('.rbw-results').checkVisibility({visibilityProperty: true})`) {
		t.Error("no numbers after the way back")
	}
}

// TestHostileTextInTheBrowser wants whatever stands in a sheet to be shown as it is, and
// nothing of it to run.
func TestHostileTextInTheBrowser(t *testing.T) {
	p := compiled(t)
	b := start(t)
	for _, text := range hostile {
		b.show(save(t, write(t, wild(open(t, "turbo"), text), p)), "boost=40")
		if got := eval[string](b, `document.title`); got != "What if: "+text {
			t.Errorf("title %q", got)
		}
		if got := eval[string](b, `document.querySelector('h1').textContent`); got != text {
			t.Errorf("name %q, want %q", got, text)
		}
		if got := eval[string](b, `document.querySelector('.rbw-bars .rbw-name').textContent`); got != "pumps: 2 × "+text {
			t.Errorf("part %q, want %q", got, text)
		}
	}
	quiet(t, b)
}

// TestBrokenProgram wants a page whose program does not start to say so, and to show the
// sheet.
func TestBrokenProgram(t *testing.T) {
	b := start(t)
	whole := compiled(t)
	b.show(save(t, write(t, open(t, "turbo"), &program.Program{Wasm: whole.Wasm[:len(whole.Wasm)/2], Runtime: whole.Runtime})), "")
	if got := eval[string](b, `document.querySelector('.rbw-notice:not([hidden])').textContent`); !strings.HasPrefix(got, "The sliders do not work: ") {
		t.Errorf("notice %q", got)
	}
	if got := eval[string](b, `document.querySelector('.rbw-verdict').textContent`); !strings.HasPrefix(got, "The system carries 640 hp") {
		t.Errorf("verdict %q", got)
	}
}
