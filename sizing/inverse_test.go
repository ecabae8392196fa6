package sizing_test

import (
	"math"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/demand"
)

// TestInverses goes to what each inverse found and wants the scarcest part to have
// exactly the margin asked for there.
func TestInverses(t *testing.T) {
	b := open(t, "turbo.toml")
	b.Policy.Route = demand.Power
	spare := func(b sizing.Build) float64 {
		a, least := assess(t, b), math.Inf(1)
		for _, p := range a.Parts {
			if p.Limited {
				least = min(least, float64(p.Margin-p.Wanted))
			}
		}
		return least
	}
	power, err := sizing.MostPower(b)
	if err != nil {
		t.Fatal(err)
	}
	if got := spare(b.AtPower(power)); math.Abs(got) > 1e-6 {
		t.Errorf("at %v the scarcest margin is off by %v", power, got)
	}
	boost, err := sizing.MostBoost(b)
	if err != nil {
		t.Fatal(err)
	}
	if got := spare(b.AtBoost(boost)); math.Abs(got) > 1e-6 {
		t.Errorf("at %v the scarcest margin is off by %v", boost, got)
	}
	hot := b.AtPower(power * 95 / 100)
	content, ok, err := sizing.MostEthanol(hot)
	if err != nil || !ok || content <= hot.Fuel.Blend.EthanolContent() {
		t.Fatalf("content %v, %v, %v: five percent below the limit there is room for more", content, ok, err)
	}
	at, err := hot.WithEthanol(content)
	if err != nil {
		t.Fatal(err)
	}
	if got := spare(at); math.Abs(got) > 1e-4 {
		t.Errorf("at %v the scarcest margin is off by %v", content, got)
	}
}

func TestInversesWithoutAnswer(t *testing.T) {
	if _, err := sizing.MostBoost(open(t, "natural.toml")); err == nil {
		t.Error("an engine without a compressor was given a boost")
	}
	if _, ok, err := sizing.MostEthanol(starved(t).AtPower(2 * starved(t).CrankPower())); ok || err != nil {
		t.Errorf("a system far too small carries some ethanol: %v %v", ok, err)
	}
	if c, ok, err := sizing.MostEthanol(open(t, "turbo.toml").AtPower(open(t, "turbo.toml").CrankPower() * 55 / 100)); !ok || err != nil || c != 1 {
		t.Errorf("half of the power on any ethanol: %v %v %v", c, ok, err)
	}
	if _, err := sizing.MostPower(sizing.Build{}); err == nil {
		t.Error("the zero build has a most power")
	}
}
