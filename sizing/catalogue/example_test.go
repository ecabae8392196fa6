package catalogue_test

import (
	"context"
	"fmt"
	"os"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/catalogue"
	"example.com/railbook/sizing/quantity"
)

// The numbers are regression only: sheet and lists are invented.
func ExampleChoose() {
	lists, err := catalogue.Read(os.DirFS("../../notebooks/parts"))
	if err != nil {
		fmt.Println(err)
		return
	}
	text, err := os.ReadFile("../../notebooks/first-build.toml")
	if err != nil {
		fmt.Println(err)
		return
	}
	build, err := sizing.Read("first-build.toml", text)
	if err != nil {
		fmt.Println(err)
		return
	}
	choice, err := catalogue.Choose(context.Background(), build, &lists, catalogue.Options{
		Pressures: []quantity.PressureDiff{43.5 * quantity.PSI, 58 * quantity.PSI},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	best := choice.Best[0]
	fmt.Println(lists.Names(best.Candidate), "at", quantity.Format(best.Pressure, quantity.US))
	fmt.Println(best.Cost.Text(lists.Currency))
	fmt.Println(best.Assessment.Verdict(quantity.US))
	fmt.Println(choice.Misses[0].Short[0].Say())
	// Output:
	// Lindqvist L-1300, 2 × Skerry 400, Pellham Plain 8, Fenwall F-10, Corbel R2 at 58 psi
	// 1078.82 EUR
	// The system carries 640 hp with the margins asked for; the injectors give out first, at 693.7 hp.
	// injectors pass 103.1 % of the demand, 105 % is asked for
}
