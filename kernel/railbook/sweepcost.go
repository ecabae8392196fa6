package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"time"

	"example.com/railbook/sizing/sweep"
	"example.com/railbook/sizing/sweep/export"
)

// manyPoints is the size from which a sweep is not begun without --yes.
const manyPoints = 50_000_000

// affordable refuses a sweep of very many points, with what it would cost.
func (j *sweepJob) affordable(ctx context.Context) error {
	n, ok := j.plan.Points()
	j.points = n
	switch {
	case !ok:
		return errors.New("this sweep has more than 2^52 points, too many to number; use coarser axes or fewer of them")
	case n == 0:
		return errors.New("this sweep has no points: an axis has no values")
	case n <= manyPoints || j.yes:
		return nil
	}
	seconds, bytes, err := j.trial(ctx)
	if err != nil {
		return err
	}
	text := fmt.Sprintf("this sweep has %s points: about %s, judged by a short trial", thousands(n), rough(seconds*float64(n)))
	if j.out != "" {
		text += fmt.Sprintf(", and %s of %s", roughSize(bytes*float64(n)), j.out)
	}
	return errors.New(text + "; to do it add --yes, or use coarser axes")
}

// trialPoints is the number of points of a trial: a fraction of a second's work.
const trialPoints = 20_000

// trial assesses a few of the points, evenly spread, and writes them nowhere. It returns
// the time and the bytes for each.
func (j *sweepJob) trial(ctx context.Context) (seconds, bytes float64, err error) {
	p := j.plan
	p.Axes = slices.Clone(p.Axes)
	most := int(math.Pow(trialPoints, 1/float64(len(p.Axes))))
	for k := range p.Axes {
		thin(&p.Axes[k], max(2, most))
	}
	table, err := export.TableOf(j.build, p)
	if err != nil {
		return 0, 0, err
	}
	var written counter
	w, err := j.format(&written, table, nil)
	if err != nil {
		return 0, 0, err
	}
	start := time.Now()
	if err := sweep.Stream(ctx, j.build, p, w.Write); err != nil {
		return 0, 0, err
	}
	if err := w.Close(); err != nil {
		return 0, 0, err
	}
	n := float64(table.Rows())
	return time.Since(start).Seconds() / n, float64(written) / n, nil
}

// counter counts what is written to it.
type counter int

func (c *counter) Write(b []byte) (int, error) {
	*c += counter(len(b))
	return len(b), nil
}

// rough prints a duration in its largest unit.
func rough(seconds float64) string {
	for _, u := range []struct {
		name    string
		seconds float64
	}{{"year", 365.25 * 86400}, {"day", 86400}, {"hour", 3600}, {"minute", 60}} {
		if seconds >= 2*u.seconds {
			return fmt.Sprintf("%.0f %ss", seconds/u.seconds, u.name)
		}
	}
	return fmt.Sprintf("%.0f s", seconds)
}

// roughSize prints a large number of bytes in decimal units.
func roughSize(bytes float64) string {
	for _, u := range []struct {
		name  string
		bytes float64
	}{{"PB", 1e15}, {"TB", 1e12}, {"GB", 1e9}} {
		if bytes >= u.bytes {
			return fmt.Sprintf("%.1f %s", bytes/u.bytes, u.name)
		}
	}
	return size(int64(bytes))
}

// thousands prints a number with its digits in groups.
func thousands(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

func plural(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return thousands(n) + " " + one + "s"
}

// left estimates how long the rest of some work takes.
func left(elapsed time.Duration, done, all int) time.Duration {
	return time.Duration(float64(elapsed) / float64(done) * float64(all-done))
}
