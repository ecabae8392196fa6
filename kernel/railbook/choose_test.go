package main

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

func TestChooseBar(t *testing.T) {
	for name, tc := range map[string]struct {
		terminal bool
		want     string
	}{
		"log":      {false, "500 of 4,000 supply sides, about 2 min 20 s left\n"},
		"terminal": {true, "\r\x1b[K100 of 4,000 supply sides, about 39.0 s left\r\x1b[K500 of 4,000 supply sides, about 2 min 20 s left\r\x1b[K"},
	} {
		var out strings.Builder
		now := time.Unix(0, 0)
		bar := newChooseBar(&progress{w: &out, terminal: tc.terminal})
		bar.now, bar.start, bar.last = func() time.Time { return now }, now, now
		for _, step := range []struct {
			after time.Duration
			done  int
		}{{500 * time.Millisecond, 50}, {500 * time.Millisecond, 100}, {100 * time.Millisecond, 110}, {18900 * time.Millisecond, 500}, {time.Minute, 4000}} {
			now = now.Add(step.after)
			bar.tell(step.done, 4000)
		}
		bar.clear()
		bar.clear()
		if out.String() != tc.want {
			t.Errorf("%s: %q, want %q", name, out.String(), tc.want)
		}
	}
}

func TestChooseBarSaysThatItWasStopped(t *testing.T) {
	bar := newChooseBar(&progress{w: &strings.Builder{}})
	ctx, stop := context.WithCancelCause(context.Background())
	failed := errors.New("failed")
	if err := bar.stopped(ctx, failed); err != failed {
		t.Errorf("got %v", err)
	}
	stop(errors.New("interrupt signal received"))
	if err := bar.stopped(ctx, context.Cause(ctx)); err == nil || err.Error() != "stopped, and nothing written: interrupt signal received" {
		t.Errorf("got %v", err)
	}
}

func TestChanged(t *testing.T) {
	b, err := sizing.Open("../../notebooks/first-build.toml")
	if err != nil {
		t.Fatal(err)
	}
	got, err := changed(b, "power = 800 hp, blend = E85")
	if err != nil {
		t.Fatal(err)
	}
	if p := got.CrankPower().In(quantity.Horsepower); p < 799.99 || p > 800.01 || got.Fuel.Blend.String() != "E85" || got.Induction.Boost <= b.Induction.Boost {
		t.Errorf("%v hp on %v at %v", p, got.Fuel.Blend, got.Induction.Boost)
	}
	for text, want := range map[string]string{
		"":                               `"" is no change`,
		"power":                          `"power" is no change; want for example`,
		"power = 800 hp, power = 900 hp": "power is given twice",
		"boost = 1 bar, power = 900 hp":  "boost and power move each other",
		"powr = 800 hp":                  `perhaps "power" is meant`,
		"power = 800 furlong":            "power: ",
		"lambda = 3":                     "target.lambda",
	} {
		if _, err := changed(b, text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, want %s", text, err, want)
		}
	}
}
