package evidence

import (
	"fmt"
	"math"
	"strconv"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/quantity"
)

// Standing is where a measured consumption lies against the band of common practice, its
// uncertainty counted.
type Standing string

const (
	Above     Standing = "above the band"  // with 95 % confidence
	Below     Standing = "below the band"  // likewise
	Within    Standing = "within the band" // likewise
	Undecided Standing = "undecided"       // the interval of 95 % reaches over an end of the band
)

// confidence is the level at which a standing is told.
const confidence = 0.95

// Finding compares the consumption of a pull, in the window of its greatest power, with
// the band of its induction and fuel.
type Finding struct {
	Low      quantity.SpecificConsumption `json:"band_low"`
	High     quantity.SpecificConsumption `json:"band_high"`
	Expanded quantity.SpecificConsumption `json:"expanded_uncertainty"` // half-width of the interval of 95 %
	Over     quantity.Ratio               `json:"over_band_high"`       // how far the consumption lies over the high end, as a share of it
	Standing Standing                     `json:"standing"`
	Sheet    quantity.SpecificConsumption `json:"for_sheet"` // the same fuel energy per work on the sheet's fuel
	Text     string                       `json:"text"`
}

// find compares a pull that has a consumption.
func (a *analyst) find(p *Pull) *Finding {
	c := p.AtPeak
	if !c.Measured() {
		return nil
	}
	blend := a.fuels.at(float64(p.Ethanol))
	band := demand.BSFC(p.Induction, blend.blend)
	f := &Finding{Low: band.Low, High: band.High, Expanded: c.Expanded(confidence), Over: quantity.Ratio(c.Value/band.High) - 1}
	f.Sheet = quantity.SpecificConsumption(float64(c.Value) * blend.lhv / a.fuels.sheet.lhv)
	f.Standing = standing(c.Value, f.Expanded, band)
	sys := a.build.Job.Units
	f.Text = fmt.Sprintf("At %s it consumed %s, %s (%s to %s on %s).",
		quantity.Format(p.PeakPower, sys), consumptionText(c.Value, f.Expanded, sys), f.words(band, c.Value),
		bsfcDigits(band.Low, sys), bsfcText(band.High, sys), blend.blend)
	if n := p.Aside[RailSagged] + p.Aside[DutyPinned]; n > 0 && p.HighSpeed > p.PeakAt+a.rules.Window {
		f.Text += " Higher up the fuel did not suffice, and what was made there does not count."
	}
	return f
}

// standing tells where a value with its expanded uncertainty lies.
func standing(value, expanded quantity.SpecificConsumption, band demand.Band) Standing {
	low, high := value-expanded, value+expanded
	switch {
	case low > band.High:
		return Above
	case high < band.Low:
		return Below
	case low >= band.Low && high <= band.High:
		return Within
	}
	return Undecided
}

// words says where the value lies.
func (f *Finding) words(band demand.Band, value quantity.SpecificConsumption) string {
	share := func(of quantity.SpecificConsumption) string {
		return fmt.Sprintf("%.0f %%", 100*math.Abs(float64(value/of)-1))
	}
	doubt := ""
	if f.Standing == Undecided {
		doubt = ", which the uncertainty leaves open"
	}
	switch {
	case value > band.High:
		return share(band.High) + " more than the high end of the band" + doubt
	case value < band.Low:
		return share(band.Low) + " less than the low end of the band" + doubt
	}
	return "within the band" + doubt
}

func bsfcText(c quantity.SpecificConsumption, sys quantity.System) string {
	return quantity.Digits(quantity.Number(c, sys), 3) + " " + quantity.UnitSymbol[quantity.SpecificConsumption](sys)
}

func consumptionText(c, expanded quantity.SpecificConsumption, sys quantity.System) string {
	return plusMinus(quantity.Number(c, sys), quantity.Number(expanded, sys)) + " " + quantity.UnitSymbol[quantity.SpecificConsumption](sys)
}

// Advice is what pulls of one combination mean for its next build sheet.
type Advice struct {
	Pulls    int                          `json:"pulls"` // that had a consumption
	BSFC     Consumption                  `json:"bsfc"`  // at the greatest power, on the sheet's fuel
	Expanded quantity.SpecificConsumption `json:"expanded_uncertainty"`
	Standing Standing                     `json:"standing"` // against the band of the sheet
	Field    string                       `json:"field"`    // line for the sheet; empty where the band will do
	Text     string                       `json:"text"`
}

// Advise joins the pulls of one combination. The consumption is the mean of theirs at the
// greatest power, as fuel energy per work on the sheet's fuel. Its type A part is the
// scatter between the pulls where there are two or more, else that within the pull; its
// type B part is not made less by more pulls, for the instruments were the same. A pull
// that is given twice counts once.
func Advise(a *sizing.Assessment, pulls ...Pull) Advice {
	sys := a.Build.Job.Units
	var values []float64
	var typeB, within float64
	var df Degrees
	seen, again := map[string]bool{}, 0
	for _, p := range pulls {
		if p.Finding == nil {
			continue
		}
		if seen[p.ID] {
			again++
			continue
		}
		seen[p.ID] = true
		v := float64(p.Finding.Sheet)
		values = append(values, v)
		typeB += v * float64(p.AtPeak.TypeB/p.AtPeak.Value)
		within, df = v*float64(p.AtPeak.TypeA/p.AtPeak.Value), p.AtPeak.DF
	}
	n := float64(len(values))
	if n == 0 {
		return Advice{Text: "No pull tells a consumption, so nothing can be said for the next build."}
	}
	mean, square := 0.0, 0.0
	for _, v := range values {
		mean += v / n
	}
	for _, v := range values {
		square += (v - mean) * (v - mean)
	}
	typeA := component{within, df}
	if n > 1 {
		typeA = component{math.Sqrt(square / (n - 1) / n), Degrees(n - 1)}
	}
	c := combine(typeA, component{typeB / n, Infinite})
	ad := Advice{Pulls: len(values), BSFC: Consumption{
		Value: quantity.SpecificConsumption(mean), Standard: quantity.SpecificConsumption(c.u),
		TypeA: quantity.SpecificConsumption(typeA.u), TypeB: quantity.SpecificConsumption(typeB / n), DF: c.df,
	}}
	ad.Expanded = ad.BSFC.Expanded(confidence)
	band := demand.BSFC(a.Build.Induction.Kind, a.Build.Fuel.Blend)
	ad.Standing = standing(ad.BSFC.Value, ad.Expanded, band)
	ad.Field = fmt.Sprintf("fuel.bsfc = %q", sheetText(ad.BSFC.Value, sys))
	told := fmt.Sprintf("On %s this combination consumes %s", a.Build.Fuel.Blend, consumptionText(ad.BSFC.Value, ad.Expanded, sys))
	if len(values) > 1 {
		told += fmt.Sprintf(" over %d pulls", len(values))
	}
	if again > 0 {
		told += fmt.Sprintf(" (%d given twice are counted once)", again)
	}
	over := 100 * (mean/float64(band.High) - 1)
	switch ad.Standing {
	case Above:
		ad.Text = fmt.Sprintf("%s, %.0f %% more than the high end of the band: the band is too low for it. Give %s in the sheet.", told, over, ad.Field)
	case Below:
		ad.Text = fmt.Sprintf("%s, less than the low end of the band. Before anything is sized smaller, prove power, injector rating and content: they err this way more often than engines do. To size on it give %s in the sheet.", told, ad.Field)
	case Within:
		ad.Field = ""
		ad.Text = told + ", within the band: sizing on its high end is prudent, and the sheet needs no fuel.bsfc."
	default:
		high := ad.BSFC.Value + ad.Expanded
		if high <= band.High {
			ad.Field = ""
			ad.Text = told + ", no more than the high end of the band: sizing on that end is prudent, and the sheet needs no fuel.bsfc."
			break
		}
		ad.Text = fmt.Sprintf("%s. The uncertainty leaves open whether that is more than the high end of the band, %s. Better instruments or more pulls tell; until then the higher of both is prudent, up to fuel.bsfc = %q.",
			told, bsfcText(band.High, sys), sheetText(max(high, band.High), sys))
		if mean > float64(band.High) {
			break
		}
		ad.Field = ""
	}
	return ad
}

// sheetText writes a consumption as a sheet takes it.
func sheetText(c quantity.SpecificConsumption, sys quantity.System) string {
	unit := quantity.UnitSymbol[quantity.SpecificConsumption](sys)
	if sys.First() == quantity.US {
		unit = "lb/(hp h)"
	}
	v := quantity.Number(c, sys)
	decimals := 0
	if v > 0 {
		decimals = max(0, 2-int(math.Floor(math.Log10(v))))
	}
	return strconv.FormatFloat(v, 'f', decimals, 64) + " " + unit
}
