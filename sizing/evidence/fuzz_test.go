package evidence

import (
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"
)

// FuzzReadMapping never panics, and refuses with errors that name something.
func FuzzReadMapping(f *testing.F) {
	f.Add(usualMapping)
	f.Add(courseMapping + "[rules]\nwindow = \"100 rpm\"\n[uncertainty]\npower = \"2 % k=2\"\n")
	f.Add("[columns]\nspeed = { column = \"n\" }\n[log]\ninterval = \"NaN s\"")
	f.Add("[dynamometer]\ncorrection = \"SAE J1349\"\nbarometer = \"98 kPa\"\ntemperature = \"25 degC\"")
	f.Fuzz(func(t *testing.T, text string) {
		m, err := ReadMapping("m.toml", []byte(text))
		if err != nil {
			if !reflect.DeepEqual(m, Mapping{}) || !strings.HasPrefix(err.Error(), "m.toml has ") {
				t.Fatalf("mapping %+v with error %v", m, err)
			}
			return
		}
		if m.Columns.Speed == nil || m.Log.Interval < 0 || !(m.Dynamometer.observed() > 0) {
			t.Fatalf("a mapping that makes no sense passes: %+v", m)
		}
	})
}

// FuzzRead reads any log without a panic, and what it says holds no NaN.
func FuzzRead(f *testing.F) {
	a := demo(f)
	m := mapping(f, courseMapping)
	good := logOf(leg(leg(nil, 0.5, 3000, 60), 2, 7000, 250))
	f.Add(good)
	f.Add(strings.ReplaceAll(good, "300\n", "0\n"))
	f.Add(strings.ReplaceAll(good, "250.00", "NaN"))
	f.Add(strings.ReplaceAll(good, ",300", ",-300"))
	f.Add(strings.ReplaceAll(good, ",", ";"))
	f.Add("Time (s),Engine speed (1/min),Pulse width (ms),Fuel pressure (kPa),Manifold pressure (kPa),Power (kW)\n1e308,0,0,0,0,0\n-1e308,1e300,1e-300,1e9,1e9,1e9\n")
	f.Fuzz(func(t *testing.T, text string) {
		log, err := Read(t.Context(), Source{Name: "log", Text: strings.NewReader(text)}, m, a)
		if err != nil {
			return
		}
		data, err := json.Marshal(log)
		if err != nil {
			t.Fatal(err) // NaN and infinities do not marshal
		}
		if strings.Contains(string(data), "NaN") {
			t.Fatalf("%s", data)
		}
		for _, p := range log.Pulls {
			if p.Samples() < 1 || !(p.End > p.Start) || p.Average.Measured() && !(p.Average.Standard > 0) {
				t.Fatalf("%+v", p.PullSummary)
			}
			for _, w := range p.Windows {
				if math.IsNaN(float64(w.BSFC.Standard)) || w.Used > w.All {
					t.Fatalf("%+v", w)
				}
			}
		}
		PullTable(a.Build.Job.Units, log).Text()
		ConsumptionTable(a.Build.Job.Units, log).Text()
		AsideTable(log).Text()
		log.ColumnTable().Text()
	})
}
