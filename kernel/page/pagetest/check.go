package pagetest

import (
	"context"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"golang.org/x/net/html"
)

// Report is what became of a page in the browser.
type Report struct {
	Title    string
	Charts   []Chart
	Console  []string // what the page, or the browser about it, wrote to the console
	Requests []string // addresses it asked for; none of them answered
}

// Chart is one figure of a page.
type Chart struct {
	ID     string // of the element, "chart-demand-surface"
	State  string // "live" or "still"
	Reason string // why it stayed still, if a script of the page says so
}

// Live counts the live charts.
func (r Report) Live() int {
	n := 0
	for _, c := range r.Charts {
		if c.State == "live" {
			n++
		}
	}
	return n
}

// Problem returns an error if a chart of the page is not live, anything was
// written to the console or anything was requested; it names them all.
func (r Report) Problem() error {
	var all []string
	for _, c := range r.Charts {
		if c.State != "live" {
			all = append(all, fmt.Sprintf("%s is %s (%s)", c.ID, c.State, c.Reason))
		}
	}
	for _, line := range r.Console {
		all = append(all, "console: "+line)
	}
	for _, url := range r.Requests {
		all = append(all, "request: "+url)
	}
	if len(all) == 0 {
		return nil
	}
	return fmt.Errorf("page %q: %s", r.Title, strings.Join(all, "; "))
}

// tries is how often a page is opened whose charts have not come to an end, as
// happens to a browser that is starved of processor time.
const tries = 4

// Check opens the HTML file at path, lets its scripts run and reports. The
// error is [ErrNoBrowser], or the browser did not do its work.
func Check(ctx context.Context, path string, flags ...string) (Report, error) {
	var r Report
	var err error
	for range tries {
		if r, err = check(ctx, path, flags...); err != nil || r.settled() {
			break
		}
	}
	return r, err
}

// settled reports whether every chart is live or says why it is not.
func (r Report) settled() bool {
	return !slices.ContainsFunc(r.Charts, func(c Chart) bool { return c.State == "still" && c.Reason == "" })
}

func check(ctx context.Context, path string, flags ...string) (Report, error) {
	got, err := run(ctx, path, append([]string{"--dump-dom"}, flags...)...)
	if err != nil {
		return Report{}, err
	}
	root, err := html.Parse(strings.NewReader(got.stdout))
	if err != nil {
		return Report{}, err
	}
	r := Report{Console: console(got.stderr)}
	if r.Requests, err = requests(got.netLog); err != nil {
		return Report{}, err
	}
	for n := range root.Descendants() {
		switch {
		case n.Type != html.ElementNode:
		case n.Data == "title" && n.FirstChild != nil && r.Title == "":
			r.Title = n.FirstChild.Data
		case n.Data == "figure" && attribute(n, "class") == "rb-chart":
			r.Charts = append(r.Charts, Chart{
				ID:     attribute(n, "id"),
				State:  attribute(n, "data-state"),
				Reason: strings.TrimSpace(attribute(n, "data-reason") + " " + attribute(n, "data-exception")),
			})
		}
	}
	return r, nil
}

// Screenshot opens the HTML file at path in a window of the given size and
// writes a PNG of it. A page lays itself out for a width of 500 at least before
// it is narrowed to a smaller one, and may be caught on the way; to see it on a
// phone, frame it in a wider page.
func Screenshot(ctx context.Context, path, png string, width, height int, flags ...string) error {
	_, err := run(ctx, path, append([]string{
		"--hide-scrollbars", "--screenshot=" + png, fmt.Sprintf("--window-size=%d,%d", width, height),
	}, flags...)...)
	return err
}

// consoleLine matches the browser's log of a console message:
// [pid:tid:date:LEVEL:CONSOLE:line] "text", source: address (line)
var consoleLine = regexp.MustCompile(`(?m)^\[[^\]]*:CONSOLE[:(][^\]]*\] (.*)$`)

// driverTalk begins what the graphics driver says on the console about its own
// speed, which no page can help.
const driverTalk = "GL Driver Message (OpenGL, Performance"

func console(messages string) []string {
	var out []string
	for _, m := range consoleLine.FindAllStringSubmatch(messages, -1) {
		if !strings.Contains(m[1], driverTalk) {
			out = append(out, m[1])
		}
	}
	return out
}

func attribute(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}
