package evidence_test

import (
	"context"
	"fmt"
	"os"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/evidence"
)

// What the demo's second day on the dynamometer says. All its data are invented.
func Example() {
	build, err := sizing.Open("../../notebooks/first-build.toml")
	if err != nil {
		fmt.Println(err)
		return
	}
	a, err := sizing.Assess(build)
	if err != nil {
		fmt.Println(err)
		return
	}
	text, err := os.ReadFile("../../notebooks/logs/dyno.toml")
	if err != nil {
		fmt.Println(err)
		return
	}
	mapping, err := evidence.ReadMapping("dyno.toml", text)
	if err != nil {
		fmt.Println(err)
		return
	}
	file, err := os.Open("../../notebooks/logs/te-0147-second.csv")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer file.Close()
	log, err := evidence.Read(context.Background(), evidence.Source{Name: "second", Text: file}, mapping, a)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(log.Rail.Text)
	for _, p := range log.Pulls {
		fmt.Printf("%d of %d samples count, %d were made with a sagging rail\n", p.Used, p.Samples(), p.Aside[evidence.RailSagged])
	}
	// Output:
	// The rail sagged: up to 7.893 psi under its set point, at 7319 rpm. It began near 5879 rpm and 527.5 lb/h of fuel: what pumps, filter, wiring and feed line bring there is all they have. 123 of 308 samples are set aside for it.
	// 79 of 154 samples count, 59 were made with a sagging rail
	// 74 of 154 samples count, 64 were made with a sagging rail
}
