package live_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"example.com/railbook/kernel/display/live"
	"example.com/railbook/kernel/page/chart"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing/sweep"
)

// stack is three layers of the plane: raised by 10 at 4 bar, with no height at 5 bar.
func stack() live.Stack {
	s := live.Stack{
		ID: "stack", Title: "planes", Alt: "Three planes.", Start: 1,
		Along: sweep.Scale{Name: "base pressure", Unit: "bar", Values: []float64{3, 4, 5}},
	}
	for i := range s.Along.Values {
		f := plane(figure.Map)
		for k := range f.Surface.Z.Values {
			switch i {
			case 1:
				f.Surface.Z.Values[k] += 10
			case 2:
				f.Surface.Z.Values[k] = math.NaN()
			}
		}
		f.Surface.Limit.Lines = f.Surface.Contour(30)
		s.Layers = append(s.Layers, *f.Surface)
	}
	return s
}

func TestStackSpec(t *testing.T) {
	spec, err := stack().Spec()
	if err != nil {
		t.Fatal(err)
	}
	raw, err := json.Marshal(spec)
	if err != nil {
		t.Fatal(err)
	}
	read, err := chart.Parse(raw)
	if err != nil {
		t.Fatal(err)
	}
	l := read.Layers
	if read.Title != "Planes" || read.Alt != "Three planes." || l.Name != "base pressure" || strings.Join(l.Labels, "|") != "3 bar|4 bar|5 bar" || l.Start != 1 {
		t.Errorf("title %q, alt %q, layers %q %q from %d", read.Title, read.Alt, l.Name, l.Labels, l.Start)
	}
	if string(read.Option) != string(l.Options[1]) {
		t.Error("the chart does not begin with the layer to start at")
	}
	// One scale for all: from 0 in the first layer to 50 in the second.
	var options []map[string]any
	for i := range l.Options {
		var o map[string]any
		if err := json.Unmarshal(l.Options[i], &o); err != nil {
			t.Fatal(err)
		}
		options = append(options, o)
		if low, high := find(t, o, "visualMap", 0, "min"), find(t, o, "visualMap", 0, "max"); low != 0.0 || high != 50.0 {
			t.Errorf("layer %d is coloured from %v to %v, want 0 to 50", i, low, high)
		}
	}
	// The same cell in each layer: the corner where x + y = 40.
	for i, want := range []any{40.0, 50.0, nil} {
		if got := find(t, options[i], "series", 0, "data", 11, "value").([]any)[2]; got != want {
			t.Errorf("layer %d: height %v, want %v", i, got, want)
		}
	}
	if title := find(t, options[2], "title", "text").(string); !strings.Contains(title, "not met here") || !strings.Contains(title, "no answer") {
		t.Errorf("the empty layer is headed %q", title)
	}
}

func TestStackErrors(t *testing.T) {
	for name, tc := range map[string]struct {
		change func(*live.Stack)
		want   string
	}{
		"one layer":    {func(s *live.Stack) { s.Layers, s.Along.Values, s.Start = s.Layers[:1], s.Along.Values[:1], 0 }, "1 layers for 1 values"},
		"values short": {func(s *live.Stack) { s.Along.Values = s.Along.Values[:2] }, "3 layers for 2 values"},
		"start":        {func(s *live.Stack) { s.Start = 3 }, "starting at layer 3"},
		"shape":        {func(s *live.Stack) { s.Layers[1].X.Values = []float64{1} }, `layer 4 bar: the axis "boost" has 1 values`},
		"no height": {func(s *live.Stack) {
			for i := range s.Layers {
				s.Layers[i].Z.Values = s.Layers[2].Z.Values
			}
		}, "no point of any layer has a value"},
		"infinite": {func(s *live.Stack) { s.Layers[0].Z.Values[3] = math.Inf(1) }, "infinite"},
	} {
		t.Run(name, func(t *testing.T) {
			s := stack()
			tc.change(&s)
			if _, err := s.Spec(); err == nil || !strings.HasPrefix(err.Error(), `figure "stack": `) || !strings.Contains(err.Error(), tc.want) {
				t.Errorf("error %v, want one that says %q", err, tc.want)
			}
		})
	}
}
