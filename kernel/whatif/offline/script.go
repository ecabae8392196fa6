package offline

import (
	"crypto/sha256"
	"encoding/base64"
	"html/template"
	"regexp"
	"strings"
)

var (
	scriptEnd = regexp.MustCompile(`(?i)</(script)`)
	newlines  = strings.NewReplacer("\r\n", "\n", "\r", "\n")
)

// scriptText makes JavaScript fit to stand in a script element: nothing in it ends the
// element or opens a comment, and its line ends are those that a browser makes of them
// before it takes their digest. In a string, where such sequences stand if anywhere, the
// added backslash changes nothing.
func scriptText(source string) string {
	source = scriptEnd.ReplaceAllString(newlines.Replace(source), `<\/$1`)
	return strings.ReplaceAll(source, "<!--", `<\!--`)
}

func element(name, attributes, content string) template.HTML {
	return template.HTML("<" + name + attributes + ">" + content + "</" + name + ">")
}

// data returns a script element of a type that no browser runs. JSON in it has <, > and &
// escaped, as encoding/json does; base64 has none of them.
func data(id, kind, content string) template.HTML {
	return element("script", ` type="`+kind+`" id="`+id+`"`, content)
}

// policy is the content security policy of a page with these scripts and this style. The
// word wasm-unsafe-eval admits WebAssembly, which only the scripts can bring in.
func policy(scripts []string, style string) string {
	p := "default-src 'none'; base-uri 'none'; form-action 'none'; style-src " + digest(style) + "; script-src 'wasm-unsafe-eval'"
	for _, s := range scripts {
		p += " " + digest(s)
	}
	return p
}

func digest(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}
