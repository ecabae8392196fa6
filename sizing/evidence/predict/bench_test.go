package predict

import "testing"

// BenchmarkConsumption predicts from the pulls of the calibration test, and from many.
func BenchmarkConsumption(b *testing.B) {
	for name, n := range map[string]int{"11 pulls": 1, "1100 pulls": 100} {
		b.Run(name, func(b *testing.B) {
			var pulls []Observation
			for range n {
				pulls = append(pulls, design()...)
			}
			for i := range pulls {
				pulls[i] = doubted(observed(pulls[i].Combination, pulls[i].Engine+string(rune('a'+i/11)), 0.05), pulls[i].Own, pulls[i].Shared)
			}
			for b.Loop() {
				if _, err := Consumption(asked, "", pulls); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
