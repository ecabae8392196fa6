package uncertainty_test

import (
	"context"
	"fmt"
	"log"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/sweep"
	"example.com/railbook/sizing/uncertainty"
)

// A builder does not know what the pump sells this season, nor the injectors' true flow.
// (Regression only.)
func Example() {
	build, err := sizing.Open("../../testdata/sheets/turbo.toml")
	if err != nil {
		log.Fatal(err)
	}
	for path, text := range map[string]string{
		"fuel.blend":     "E60..E78",
		"injectors.flow": "1550 cc/min +- 3 % at 3 bar on n-heptane",
	} {
		if build, err = build.WithDoubt(path, text); err != nil {
			log.Fatal(err)
		}
	}
	study, err := uncertainty.Propagate(context.Background(), build, uncertainty.Plan{
		Draws: 20_000, Results: []sweep.Result{sweep.Duty}, Confidence: 0.95,
	})
	if err != nil {
		log.Fatal(err)
	}
	duty := study.Outcomes[0]
	fmt.Printf("duty %.1f ± %.1f %%, below %.1f %% in 95 %% of the draws\n", duty.Mean(), duty.SD(), duty.Quantile(0.95))
	for _, p := range study.Parts {
		if p.Kind == sizing.InjectorsPart {
			fmt.Printf("%s keep their margin in %.0f %% of the draws\n", p.Kind, 100*p.Kept.Share())
		}
	}
	// Output:
	// duty 76.6 ± 2.1 %, below 80.2 % in 95 % of the draws
	// injectors keep their margin in 99 % of the draws
}
