// Command checkpage opens a page in headless Chromium and fails unless every
// chart on it was drawn live and the console stayed clean.
package main

import (
	"context"
	"fmt"
	"os"
	"time"

	"example.com/railbook/kernel/page/pagetest"
)

func main() {
	if err := check(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "checkpage:", err)
		os.Exit(1)
	}
}

func check(args []string) error {
	if len(args) != 1 {
		return fmt.Errorf("want one page, got %d arguments", len(args))
	}
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	defer cancel()
	report, err := pagetest.Check(ctx, args[0])
	if err != nil {
		return err
	}
	if len(report.Charts) == 0 {
		return fmt.Errorf("%s has no chart", args[0])
	}
	fmt.Printf("%d of %d charts live\n", report.Live(), len(report.Charts))
	return report.Problem()
}
