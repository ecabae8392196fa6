package offline_test

import (
	"strings"

	"example.com/railbook/kernel/whatif"
)

// shown is every text that a panel shows of a state, list by list, in the order of the
// page: what the front end has to make of it, written down a second time.
func shown(d whatif.Description, s whatif.State) map[string][]string {
	list := map[string][]string{
		"verdict": {s.Verdict},
		"changes": {"This is the sheet as it is."},
		"spread":  {"The highest route lies " + s.Spread + " over the lowest."},
	}
	if len(s.Changes) > 0 {
		list["changes"] = []string{"Changed from the sheet: " + strings.Join(s.Changes, "; ") + "."}
	}
	add := func(key string, texts ...string) { list[key] = append(list[key], joined(texts...)) }
	for i, v := range s.Values {
		add("values", d.Sliders[i].Name, v.Text, v.Other)
	}
	for _, r := range s.Readings {
		if r.Name == "Gives out first" {
			add("cluster", "The system", s.Symbol, s.Status, s.Power.Text, "on", s.Fuel)
			add("cluster", r.Name, r.Text, r.Note)
			duty, of := s.Duties[0], "of the"
			if duty.Over {
				of = "over the"
			}
			add("cluster", duty.Name, duty.Text, of, duty.Allowed, "allowed")
			continue
		}
		add("readings", r.Name, r.Text, r.Other, r.Note)
	}
	for _, limited := range []bool{true, false} {
		for _, p := range s.Parts {
			if p.Limited != limited {
				continue
			}
			texts := []string{p.Title}
			if p.First {
				texts = append(texts, "first")
			}
			if p.Limited {
				texts = append(texts, "runs out at", p.Limit.Text, p.Limit.Other)
			} else {
				texts = append(texts, "margin", p.Margin)
			}
			texts = append(texts, p.Symbol, p.Status, "margin", p.Margin, "wanted", p.Wanted)
			if p.Limited {
				texts = append(texts, "kept up to", words(p.Keeps))
			}
			add("parts", append(texts, "can carry", words(p.Can), "has to carry", words(p.Has))...)
		}
	}
	for _, r := range s.Demand {
		texts := []string{r.Name}
		if r.Governs {
			texts = append(texts, "governs")
		}
		texts = append(texts, r.Mass.Text, r.Mass.Other, "by volume", words(r.Volume))
		if r.BSFC.Text != "" {
			texts = append(texts, "BSFC", words(r.BSFC))
		}
		if !r.Governs {
			texts = append(texts, r.Note)
		}
		add("routes", texts...)
	}
	for _, d := range s.Duties {
		of := "largest allowed"
		if d.Over {
			of = "over the largest allowed,"
		}
		add("duties", d.Name, d.Text, of, d.Allowed)
	}
	for _, w := range s.Warnings {
		kind := "Note."
		if w.Grave {
			kind = "Caution."
		}
		add("remarks", kind, w.Text)
	}
	for _, text := range s.Assumed {
		add("assumed", text)
	}
	for _, f := range s.Fire {
		class := "."
		if f.Class != "" {
			class = "; NFPA 30 class " + f.Class + "."
		}
		add("remarks", f.Name+", "+f.Share+": flash point "+words(f.Flash)+"; its vapour burns in air from "+f.Range+class)
	}
	for _, table := range s.Tables {
		add("tables", table.Caption)
		for _, r := range table.Rows {
			texts := []string{r.Name}
			for _, c := range r.Cells {
				texts = append(texts, c.Text, c.Other)
			}
			add("tables", texts...)
		}
	}
	return list
}

func words(a whatif.Amount) string {
	if a.Other == "" {
		return a.Text
	}
	return a.Text + " (" + a.Other + ")"
}

// joined joins texts without any space, which a page may have between them or not.
func joined(texts ...string) string {
	return strings.Join(strings.Fields(strings.Join(texts, " ")), "")
}

// read is the expression that gives what the page shows, as shown has it.
const read = `(() => {
  const texts = selector => Array.from(document.querySelectorAll('.rbw ' + selector), e => e.textContent.replace(/\s+/g, ''));
  const plain = selector => Array.from(document.querySelectorAll('.rbw ' + selector), e => e.textContent);
  return {
    verdict: plain('.rbw-verdict'), changes: plain('.rbw-changes'), spread: plain('section > .rbw-key').slice(1),
    values: texts('.rbw-slider > .rbw-head'), cluster: texts('.rbw-cluster > div'), readings: texts('.rbw-readings > div'),
    parts: [...texts('section:nth-of-type(1) .rbw-bars > li')], duties: texts('section:nth-of-type(2) .rbw-bars > li'),
    routes: texts('section:nth-of-type(3) .rbw-bars > li'), remarks: texts('ul.rbw-remarks > li'), assumed: texts('ol.rbw-remarks > li'), tables: texts(':is(caption, tr)'),
  };
})()`
