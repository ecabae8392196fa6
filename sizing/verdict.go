package sizing

import (
	"fmt"
	"strings"

	"example.com/railbook/sizing/quantity"
)

// Verdict says in one or two sentences whether the system carries the target,
// what gives out first, and at what power.
func (a *Assessment) Verdict(sys quantity.System) string {
	power := quantity.Format(a.Power, sys)
	weakest := a.Weakest()
	first := fmt.Sprintf("the %s give out first, at %s", weakest.Kind, quantity.Format(weakest.Limit, sys))
	if !weakest.Limited {
		first = "no part gives out as power rises"
	} else if weakest.Kind == FeedLinePart || weakest.Kind == SuctionPart {
		first = strings.Replace(first, " give ", " gives ", 1)
	}
	var short, thin []string
	for _, p := range a.Parts {
		switch p.Status {
		case Short:
			short = append(short, p.Kind.String())
		case Thin:
			thin = append(thin, p.Kind.String())
		}
	}
	switch {
	case len(short) > 0:
		text := fmt.Sprintf("The system does not carry %s: short at the %s; %s.", power, list(short), first)
		if a.Delivery.Sags {
			text += fmt.Sprintf(" The rail sags and the fuel delivered is enough for %s.", quantity.Format(a.Delivery.Supported, sys))
		}
		return text
	case len(thin) > 0:
		return fmt.Sprintf("The system carries %s, but with less margin than asked for at the %s; %s.", power, list(thin), first)
	}
	return fmt.Sprintf("The system carries %s with the margins asked for; %s.", power, first)
}

// list joins words with commas and a last "and".
func list(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}
