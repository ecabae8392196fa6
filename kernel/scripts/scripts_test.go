package scripts

import (
	"errors"
	"strings"
	"testing"
	"unicode/utf8"
)

// TestPinsMatchThePublishedArchives loads the real scripts, from the cache or
// through npm. After a change of version run it with an empty cache
// (RAILBOOK_CACHE=$(mktemp -d)): each failure prints the digest that came.
func TestPinsMatchThePublishedArchives(t *testing.T) {
	b, err := Load(t.Context(), func(line string) { t.Log(line) })
	var ne *NPMError
	if errors.Is(err, ErrNoNPM) || errors.As(err, &ne) {
		t.Skipf("the scripts are not to be had here: %v", err)
	}
	if err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		s      Script
		global string // what the script defines
		notice string // what must travel with it
	}{
		{b.ECharts, ".echarts=", "Copyright 2017-2026 The Apache Software Foundation"},
		{b.GL, `"echarts-gl"`, "Copyright (c) 2017, Baidu Inc."},
	} {
		if !strings.Contains(tc.s.Source, tc.global) {
			t.Errorf("%s: the source does not contain %q", tc.s.Name, tc.global)
		}
		if !utf8.ValidString(tc.s.Source) || strings.ContainsRune(tc.s.Source, '\r') {
			t.Errorf("%s: the source would not survive being part of a page", tc.s.Name)
		}
		var all string
		for _, n := range tc.s.Notices {
			all += n.Text
		}
		if !strings.Contains(all, tc.notice) {
			t.Errorf("%s: the notices do not contain %q", tc.s.Name, tc.notice)
		}
	}
}
