package catalogue

import (
	"fmt"
	"math"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/internal/choice"
	"example.com/railbook/sizing/quantity"
)

// Reason says what a set of parts fails at. The zero value is nothing. Reasons are
// looked at in their order here, and the first that holds is that of a rejection.
type Reason uint8

const (
	Fits           Reason = iota
	PressureRange         // the regulator cannot be set to the base pressure
	DoesNotFit            // a build sheet with these parts would be refused
	InjectorsShort        // too small for the target with the margin asked for
	IdleShort             // too large: the pulse at idle is below the least that meters
	SuctionShort          // the pumps draw more than the suction side gives
	LiftShort             // the sheet's lift pumps bring too little
	PumpsShort            // too small for the target with the margin asked for
	FeedLineShort         // hose and filter lose more than is allowed
	RatingShort           // hose or filter are not rated for the pressure
	RegulatorShort        // it cannot return what comes back at idle
	reasons        = iota // how many there are
)

var reasonNames = choice.New("a reason", "fits", "regulator's range", "does not go together", "injectors", "injectors at idle",
	"suction", "lift pumps", "pumps", "feed line", "pressure rating", "regulator")

// String names the reason by the part that fails.
func (r Reason) String() string { return reasonNames.Name(int(r)) }

// MarshalText returns String.
func (r Reason) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads String.
func (r *Reason) UnmarshalText(text []byte) error {
	i, err := reasonNames.Index(string(text))
	if err == nil {
		*r = Reason(i)
	}
	return err
}

// reasonOf is what a part of an assessment fails at.
func reasonOf(k sizing.PartKind) Reason {
	switch k {
	case sizing.SuctionPart:
		return SuctionShort
	case sizing.LiftPart:
		return LiftShort
	case sizing.PumpsPart:
		return PumpsShort
	case sizing.FeedLinePart:
		return FeedLineShort
	case sizing.RegulatorPart:
		return RegulatorShort
	case sizing.InjectorsPart:
		return InjectorsShort
	}
	return IdleShort
}

// Shortfall is one thing that a set of parts fails at, and by how much.
type Shortfall struct {
	Reason Reason         `json:"reason"`
	Margin quantity.Ratio `json:"margin"`         // what the part has over what it needs
	Wanted quantity.Ratio `json:"wanted"`         // what it should have
	Text   string         `json:"text,omitempty"` // where no margin tells: why the parts do not go together
}

// By is the shortfall as a share of what is asked for.
func (s Shortfall) By() quantity.Ratio { return 1 - (1+s.Margin)/(1+s.Wanted) }

func (s Shortfall) millionths() int64 { return max(1, millionths(float64(s.By()))) }

// Say says it in words: "pumps carry 92.4 % of the demand, 110 % is asked for".
func (s Shortfall) Say() string {
	if s.Text != "" {
		return s.Text
	}
	have, asked := percent(math.Floor(1000*float64(1+s.Margin))/10), ""
	if s.Wanted != 0 {
		asked = ", " + percent(100*float64(1+s.Wanted)) + " is asked for"
	}
	switch s.Reason {
	case InjectorsShort:
		return fmt.Sprintf("injectors pass %s of the demand%s", have, asked)
	case IdleShort:
		return fmt.Sprintf("the pulse at idle is %s of the least that meters", have)
	case SuctionShort:
		return fmt.Sprintf("suction side gives %s of what the pumps draw", have)
	case LiftShort:
		return fmt.Sprintf("lift pumps bring %s of what they have to%s", have, asked)
	case PumpsShort:
		return fmt.Sprintf("pumps carry %s of the demand%s", have, asked)
	case FeedLineShort:
		return fmt.Sprintf("feed line carries %s of the demand at the loss allowed%s", have, asked)
	case RatingShort:
		return fmt.Sprintf("hose or filter are rated for %s of the pressure", have)
	case RegulatorShort:
		return fmt.Sprintf("regulator returns at most %s of what comes back at idle", have)
	}
	return s.Reason.String()
}

func percent(p float64) string { return quantity.Digits(p, 4) + " %" }

// judged is what parts have over what they should have, in the terms that sets are
// compared in.
type judged struct {
	short   Shortfall // of the first reason that holds; Fits for none
	total   int64     // of all shortfalls, in millionths of what is asked for; 0 where the parts fit
	head    float64   // least margin of what carries fuel
	surplus int64     // margins over those wanted of pumps, feed line and injectors, in millionths

	all *[]Shortfall // takes every one of them; nil for nowhere
}

// part takes a part into account that has a margin and should have wanted.
func (j *judged) part(r Reason, margin, wanted float64) {
	if r != RegulatorShort && r != IdleShort && r != RatingShort {
		j.head = min(j.head, margin)
	}
	switch r {
	case InjectorsShort, PumpsShort, FeedLineShort:
		j.surplus += millionths(margin - wanted)
	}
	if margin >= wanted {
		return
	}
	short := Shortfall{Reason: r, Margin: quantity.Ratio(margin), Wanted: quantity.Ratio(wanted)}
	j.total += short.millionths()
	if j.short.Reason == Fits || r < j.short.Reason {
		j.short = short
	}
	if j.all != nil {
		*j.all = append(*j.all, short)
	}
}

// nothing is what there is before the first part.
func nothing() judged { return judged{head: math.Inf(1)} }

// millionths rounds to them, so that sums are exact. What is beyond any part counts as
// a thousandfold.
func millionths(x float64) int64 {
	if math.IsNaN(x) {
		return 0
	}
	return int64(math.Round(1e6 * max(-1000, min(1000, x))))
}

// counted is the margin where only a share of the capability is counted on.
func (o *Options) counted(k sizing.PartKind, margin quantity.Ratio) float64 {
	if o.Counted == nil {
		return float64(margin)
	}
	return float64((1+margin)*o.Counted(k) - 1)
}
