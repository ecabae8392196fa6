package report_test

import (
	"bytes"
	"path/filepath"
	"testing"

	"example.com/railbook/report"
	"example.com/railbook/sizing"
)

// The build sheets that the tests report on, each for something of its own.
const (
	demoSheet      = "../notebooks/first-build.toml"
	aspiratedSheet = "testdata/aspirated.toml"
	shortSheet     = "testdata/short.toml"
	methanolSheet  = "testdata/methanol.toml"
	longSheet      = "testdata/long.toml"
)

var sheets = []string{demoSheet, aspiratedSheet, shortSheet, methanolSheet, longSheet}

// nameOf is a sheet's file name without its extension.
func nameOf(sheet string) string {
	base := filepath.Base(sheet)
	return base[:len(base)-len(filepath.Ext(base))]
}

func open(tb testing.TB, sheet string) sizing.Build {
	tb.Helper()
	b, err := sizing.Open(filepath.FromSlash(sheet))
	if err != nil {
		tb.Fatal(err)
	}
	return b
}

func assess(tb testing.TB, sheet string) *sizing.Assessment {
	tb.Helper()
	return assessed(tb, open(tb, sheet))
}

func assessed(tb testing.TB, b sizing.Build) *sizing.Assessment {
	tb.Helper()
	a, err := sizing.Assess(b)
	if err != nil {
		tb.Fatal(err)
	}
	return a
}

func rendered(tb testing.TB, a *sizing.Assessment, o report.Options) []byte {
	tb.Helper()
	var out bytes.Buffer
	if err := report.Render(&out, a, o); err != nil {
		tb.Fatal(err)
	}
	return out.Bytes()
}
