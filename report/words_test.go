package report

import (
	"strings"
	"testing"
)

func TestTie(t *testing.T) {
	for text, want := range map[string]string{
		"at 640 hp":                            "at 640~hp",
		"(43.5 psi) and":                       "(43.5~psi) and",
		"0.85 lb/(hp·h), or":                   "0.85~lb/(hp·h), or",
		"-5 °F":                                "−5~°F",
		"12 °C (-50.8 °F)":                     "12~°C (−50.8~°F)",
		"bore 16 mm (-10 hose)":                "bore 16~mm (-10 hose)",
		"the pumps' flow":                      "the pumps’ flow",
		"`railbook doubt` tells":               "“railbook doubt” tells",
		"● carries":                            "●~carries",
		"\ufdd0a-b\ufdd1640 hp\ufdd2 more":     "\ufdd0a-b\ufdd1640~hp\ufdd2 more",
		"\ufdd0a\ufdd1-0.3 m\ufdd2":            "\ufdd0a\ufdd1−0.3~m\ufdd2",
		"in \ufdd0table-3\ufdd1table 3\ufdd2.": "in \ufdd0table-3\ufdd1table 3\ufdd2.",
	} {
		if got := strings.ReplaceAll(tie(text), "\u00a0", "~"); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

func TestSentence(t *testing.T) {
	for text, want := range map[string]string{
		"pumps": "Pumps", "": "", "éa": "Éa", "pumps[1].wear": "pumps[1].wear", "fuel.blend assessed at E69": "fuel.blend assessed at E69", "a.m. or p.m.": "A.m. or p.m.",
	} {
		if got := sentence(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
