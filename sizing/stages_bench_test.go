package sizing

import "testing"

// BenchmarkStages times the stages of an assessment and what is found at each point.
func BenchmarkStages(b *testing.B) {
	given, err := Open("../testdata/sheets/turbo.toml")
	if err != nil {
		b.Fatal(err)
	}
	full := given.filled()
	h, err := full.hardware()
	if err != nil {
		b.Fatal(err)
	}
	l, br, t := full.liquid(), full.breath(), full.aim()
	s, d := join(h, l, br, t)
	a := &Assessment{Build: full, Demand: d, Delivery: s.deliver(), Injection: s.injection(), Idle: s.idle()}
	a.Inlet, a.Loads = s.inletState(a.Delivery), s.loads(a.Delivery, a.Injection, nil)
	for _, part := range []struct {
		name string
		do   func()
	}{
		{"problems", func() { given.problems() }},
		{"filled", func() { given.filled() }},
		{"hardware", func() { full.hardware() }},
		{"liquid", func() { full.liquid() }},
		{"breath", func() { full.breath() }},
		{"aim", func() { full.aim() }},
		{"join", func() { join(h, l, br, t) }},
		{"deliver", func() { s.deliver() }},
		{"injection", func() { s.injection() }},
		{"idle", func() { s.idle() }},
		{"inlet", func() { s.inletState(a.Delivery) }},
		{"loads", func() { s.loads(a.Delivery, a.Injection, nil) }},
		{"warming", func() { s.warming(a) }},
		{"parts", func() { s.parts(a, PartsSection, nil) }},
		{"weakest", func() { s.parts(a, WeakestSection, nil) }},
		{"assumptions", func() { full.assumptions(given) }},
		{"warnings", func() { s.warnings(a) }},
	} {
		b.Run(part.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				part.do()
			}
		})
	}
}
