package plumbing

import (
	"errors"
	"math"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// TestNPSHCrane is example 7.32 of Crane TP-410 as the documentation of fluids has it:
// a tank at 5 psi above the atmosphere, a vapour pressure of 0.256 psi, a lift of 25 ft
// and a loss of 6 ft of water at 62.364 lb/ft³ leave 13.8873 ft. The loss stands in a
// filter.
func TestNPSHCrane(t *testing.T) {
	rho := 62.364 * quantity.PoundPerCubicFoot
	head := func(feet float64) quantity.PressureDiff {
		return quantity.PressureDiff(float64(rho) * 9.80665 * feet * 0.3048)
	}
	f := Stream{Flow: 100 * quantity.GallonPerMinute, Density: rho, Viscosity: 1 * quantity.MillipascalSecond}
	lossy := Filter{Flow: f.Flow, Drop: head(6)}
	tank, vapour := (5 * quantity.PSI).Above(1*quantity.Atmosphere), 0.256*quantity.PSIA
	for name, s := range map[string]Suction{
		"lift as a negative head": {Head: -25 * quantity.Foot, Run: Run{{Filter: lossy}}},
		"lift as a rise":          {Run: Run{{Line: Line{Bore: 1 * quantity.Foot, Rise: 25 * quantity.Foot}, Filter: lossy}}},
	} {
		if err := s.Validate(); err != nil {
			t.Fatal(err)
		}
		near(t, name, s.NPSH(tank, vapour, f).In(quantity.Foot), 13.8873, 1e-5)
	}
}

// TestNPSHOpenTank: an open tank of gasoline with a vapour pressure of 55 kPa and
// nothing lost has 46,325 Pa to spare, 6.3407 m at 745 kg/m³ (computed from the
// definition).
func TestNPSHOpenTank(t *testing.T) {
	var s Suction
	f := Stream{Density: gasoline, Viscosity: viscosity}
	near(t, "margin", float64(s.Margin(1*quantity.Atmosphere, 55*quantity.Kilopascal, f)), 46325, 1e-12)
	near(t, "head in m", s.NPSH(1*quantity.Atmosphere, 55*quantity.Kilopascal, f).In(quantity.Metre), 6.3407, 1e-5)
}

// TestSuctionParts: each part of the inlet pressure by hand.
func TestSuctionParts(t *testing.T) {
	s := Suction{Run: way, Head: 0.1 * quantity.Metre}
	const tank = 98 * quantity.Kilopascal
	still := Stream{Density: gasoline, Viscosity: viscosity}
	near(t, "at rest", float64(s.Inlet(tank, still)), 98e3+745*9.80665*(0.1-0.05), 1e-12)
	launch := still
	launch.Acceleration = 1.2 * quantity.StandardGravity
	near(t, "launched", float64(s.Inlet(tank, still)-s.Inlet(tank, launch)), 745*1.2*9.80665*0.6, 1e-12)
	flowing := stream(300)
	near(t, "flowing", float64(s.Inlet(tank, flowing)), 98e3+745*9.80665*0.1-float64(way.Drop(flowing)), 1e-12)
	if a, b := s.Margin(tank, 50*quantity.Kilopascal, flowing), s.Margin(tank, 60*quantity.Kilopascal, flowing); math.Abs(float64(a-b)-10e3) > 1e-9 {
		t.Errorf("the vapour pressure counts %v", a-b)
	}
}

// TestSuctionCapacityInverts: at the capacity the wanted margin is left, and it falls
// as the fuel gets more volatile, without a jump.
func TestSuctionCapacityInverts(t *testing.T) {
	s := Suction{Run: way}
	last := quantity.VolumeFlow(math.Inf(1))
	for vapour := 20 * quantity.Kilopascal; vapour < 85*quantity.Kilopascal; vapour += 1 * quantity.Kilopascal {
		f := Stream{Density: gasoline, Viscosity: viscosity, Acceleration: 0.5 * quantity.StandardGravity}
		q, err := s.Capacity(98*quantity.Kilopascal, vapour, 5*quantity.KilopascalDiff, f)
		if err != nil {
			t.Fatalf("%v: %v", vapour, err)
		}
		f.Flow = q
		near(t, "margin", float64(s.Margin(98*quantity.Kilopascal, vapour, f)), 5e3, 1e-8)
		if !(q < last) {
			t.Fatalf("capacity rises to %v at %v", q, vapour)
		}
		last = q
	}
	boiling := Stream{Density: gasoline, Viscosity: viscosity}
	if q, err := s.Capacity(98*quantity.Kilopascal, 100*quantity.Kilopascal, 0, boiling); !errors.Is(err, ErrNoFlow) || q != 0 {
		t.Errorf("boiling fuel: %v, %v", q, err)
	}
	bad := quantity.Pressure(math.NaN())
	_, err := Suction{Head: quantity.Length(math.Inf(1))}.Capacity(bad, -1*quantity.Pascal, quantity.PressureDiff(bad), boiling)
	checkLines(t, err, []string{"tank pressure: ", "vapour pressure: ", "wanted margin: ", "head: "})
	checkLines(t, Suction{Head: quantity.Length(math.NaN()), Run: Run{{Line: Line{Length: 1 * quantity.Metre}}}}.Validate(), []string{"segment 1: bore: ", "head: "})
}

func TestSuctionAllocations(t *testing.T) {
	s := Suction{Run: way}
	f := stream(300)
	n := testing.AllocsPerRun(100, func() {
		_ = s.NPSH(98*quantity.Kilopascal, 60*quantity.Kilopascal, f)
		_ = way.Upstream(98*quantity.Kilopascal, f)
		way.Fastest(f.Flow)
		if _, err := s.Capacity(98*quantity.Kilopascal, 60*quantity.Kilopascal, 5*quantity.KilopascalDiff, f); err != nil {
			t.Fatal(err)
		}
	})
	if n != 0 {
		t.Errorf("%v allocations, want none", n)
	}
}
