package page

import (
	"crypto/sha256"
	"encoding/base64"
	"html/template"
	"regexp"
	"strings"
)

// isolated wraps a UMD library so that it defines its global whatever module
// loader the page may have: with define and the CommonJS names undefined,
// only that branch is left to it.
func isolated(source string) string {
	return "(function(define,module,exports,require){\n" + source + "\n}).call(window);"
}

var (
	scriptEnd = regexp.MustCompile(`(?i)</(script)`)
	newlines  = strings.NewReplacer("\r\n", "\n", "\r", "\n")
)

// scriptText makes JavaScript fit to stand in a script element: nothing in it
// ends the element or opens a comment, and its line ends are those the HTML
// parser would make of them, on which its digest depends. In a string, a
// template or a regular expression, where such sequences stand if anywhere,
// the added backslash changes nothing.
func scriptText(source string) string {
	source = scriptEnd.ReplaceAllString(newlines.Replace(source), `<\/$1`)
	return strings.ReplaceAll(source, "<!--", `<\!--`)
}

// script returns a script element that holds the text.
func script(text string) template.HTML {
	return element("script", "", text)
}

// data returns a script element of a type no browser runs, which holds JSON.
// The JSON must have <, > and & escaped, as encoding/json does.
func data(class string, json []byte) template.HTML {
	return element("script", ` type="application/json" class="`+class+`"`, string(json))
}

func element(name, attributes, content string) template.HTML {
	return template.HTML("<" + name + attributes + ">" + content + "</" + name + ">")
}

// policy is the content security policy of a page with these scripts: they may
// run and nothing else, pictures are those in the page, and no request is made.
//
// The 3D extension compiles the size expressions of its render passes with
// the Function constructor, and draws nothing where the policy lacks the word
// unsafe-eval. Only scripts admitted by digest can make use of it.
//
// A page that is served while it is being written may listen to its own server.
func policy(scripts []string, gl, events bool) string {
	p := "default-src 'none'; img-src data:; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
	if events {
		p += "; connect-src 'self'"
	}
	p += "; script-src"
	for _, text := range scripts {
		sum := sha256.Sum256([]byte(text))
		p += " 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	if gl {
		p += " 'unsafe-eval'"
	}
	return p
}
