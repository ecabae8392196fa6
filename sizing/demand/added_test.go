package demand

import (
	"testing"

	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// added uses every function that a sweep over added demands calls for each point.
func added(b fuel.Blend) float64 {
	oxide := NitrousForPower(b, hp(150), 0.29, 0.82)
	circuit := FromRail.Split(FuelForNitrous(b, oxide, 0.82))
	w := WaterMethanol{Flow: grams(8), Methanol: 0.5, Burnt: 1}
	power := EmpiricalStrip().PowerFromSpeed(lb(3200), mph(130))
	shares := pair(ShareOpening).At(circuit.Pumps - w.Replaced(b))
	return float64(power) + float64(shares.Primary.Duty) + float64(w.LambdaOnFailure(b, grams(60), 0.8)) + float64(FuelEfficiency(b, 0.3, 0.8))
}

func TestAddedDemandsAllocateNothing(t *testing.T) {
	b := blend(t, "E60")
	if n := testing.AllocsPerRun(100, func() { added(b) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

func BenchmarkFuelForNitrous(b *testing.B) {
	f := blend(b, "E60")
	b.ReportAllocs()
	for b.Loop() {
		FuelForNitrous(f, grams(50), 0.82)
	}
}

func BenchmarkReplaced(b *testing.B) {
	f := blend(b, "E60")
	w := WaterMethanol{Flow: grams(8), Methanol: 0.5, Burnt: 1}
	b.ReportAllocs()
	for b.Loop() {
		w.Replaced(f)
	}
}

func BenchmarkStaged(b *testing.B) {
	s := pair(ShareOpening)
	b.ReportAllocs()
	for b.Loop() {
		s.At(120 * quantity.GramPerSecond)
	}
}

func BenchmarkStrip(b *testing.B) {
	r := EmpiricalStrip()
	b.ReportAllocs()
	for b.Loop() {
		r.FinalSpeed(1450*quantity.Kilogram, 500*quantity.Kilowatt)
	}
}
