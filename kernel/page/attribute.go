package page

import (
	"net/url"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/net/html"
)

// allowed lists the attributes that stay, for any element.
var allowed = words(`abbr align alt class colspan datetime dir headers height high href id lang low max
	min open optimum reversed role rowspan scope span start style title type valign value width`)

// attributes cleans the attributes of an element that stays.
func (c *cleaner) attributes(n *html.Node) {
	var out []html.Attribute
	for _, a := range n.Attr {
		if a.Namespace != "" || !allowed[a.Key] && !strings.HasPrefix(a.Key, "aria-") {
			continue
		}
		switch a.Key {
		case "id":
			if a.Val == "" || c.ids[a.Val] || strings.ContainsFunc(a.Val, unicode.IsSpace) {
				continue
			}
			c.ids[a.Val] = true
		case "href":
			if n.Data != "a" || !linkable(a.Val) {
				continue
			}
		case "style":
			if a.Val = cleanStyle(a.Val); a.Val == "" {
				continue
			}
		}
		out = append(out, a)
	}
	if n.Data == "a" && strings.Contains(attribute(&html.Node{Attr: out}, "href"), "//") {
		out = append(out, html.Attribute{Key: "rel", Val: "noreferrer"})
	}
	n.Attr = out
}

// linkable reports whether a link may lead there: to another place in the
// page, to a file beside it, to the web or to a person.
func linkable(href string) bool {
	if strings.ContainsFunc(href, unicode.IsControl) {
		return false // browsers skip these, so "java\tscript:" would be a scheme
	}
	u, err := url.Parse(strings.TrimSpace(href))
	if err != nil {
		return false
	}
	return slices.Contains([]string{"", "http", "https", "mailto", "tel"}, u.Scheme)
}

// properties are the style properties that stay: those that set text and table
// cells, none that moves or covers other parts of the page.
var properties = words(`background-color border border-bottom border-collapse border-left border-right
	border-top color font-size font-style font-variant-numeric font-weight height line-height margin
	margin-bottom margin-left margin-right margin-top max-width min-width padding padding-bottom
	padding-left padding-right padding-top text-align text-decoration vertical-align white-space width`)

// plainValue matches values without quotes, escapes, negative lengths and
// functions other than colours.
var plainValue = regexp.MustCompile(`^(?:[a-zA-Z0-9#%., ]|[a-z]-|(?:rgb|rgba|hsl|hsla)\([0-9%., ]*\))*$`)

// cleanStyle returns the declarations of a style attribute that may stay.
func cleanStyle(style string) string {
	var out []string
	for declaration := range strings.SplitSeq(style, ";") {
		name, value, ok := strings.Cut(declaration, ":")
		name, value = strings.ToLower(strings.TrimSpace(name)), strings.TrimSpace(value)
		if ok && properties[name] && value != "" && plainValue.MatchString(value) {
			out = append(out, name+": "+value)
		}
	}
	return strings.Join(out, "; ")
}
