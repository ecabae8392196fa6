package cell

import (
	"fmt"
	"go/types"
	"maps"
	"regexp"
	"slices"
	"strings"
)

// wording turns one kind of the compiler's messages into plain words.
type wording struct {
	pattern *regexp.Regexp
	words   func(pl *plan, m []string) string
}

func when(pattern string, words func(pl *plan, m []string) string) wording {
	return wording{regexp.MustCompile(pattern), words}
}

// text is a wording that needs no more than the message.
func text(format string) func(*plan, []string) string {
	return func(_ *plan, m []string) string {
		args := make([]any, len(m)-1)
		for i := range args {
			args[i] = m[i+1]
		}
		if !strings.Contains(format, "%") {
			return format
		}
		return fmt.Sprintf(format, args...)
	}
}

// wordings are tried one after the other. Patterns follow the messages of the Go
// compiler and of go/types, which agree for the most part.
var wordings []wording

func init() {
	wordings = []wording{
		when(`^undefined: (\w+)\.(\w+)$`, (*plan).undefinedIn),
		when(`^undefined: (\w+)\.(\w+) \(but have \w+\)$`, (*plan).undefinedIn),
		when(`^name (\w+) not exported by package (\w+)$`, (*plan).notExported),
		when(`^undefined: (\w+)$`, (*plan).undefined),
		when(`^(\S+) undefined \(type (\S+) has no field or method (\w+)`, (*plan).noField),
		when(`^unknown field (\w+) in struct literal of type (\S+)`, (*plan).noLiteralField),
		when(`^declared and not used: (\w+)$`, text("%s is made here and never used; use it or take it out")),
		when(`^missing return$`, text("the function can come to its end without returning a value")),
		when(`(?s)^cannot use (.+) \(.*\) as (.+) value in (.+): (\S+) does not implement (\S+) \((?:missing method (\w+)|method (\w+) has pointer receiver)`, (*plan).noMethod),
		when(`^cannot use (.+) \(.*?(?:variable|value|constant|type)?(?: \S+)? of (?:\w+ )?type (\S+?)\) as (\S+) value in (.+)$`, (*plan).mismatch),
		when(`^cannot use (.+) \(untyped (\w+) constant(?: \S+)?\) as (\S+) value in (.+?)(?: \(truncated\))?$`, (*plan).untyped),
		when(`^invalid operation: (.+) \(mismatched types (\S+) and (\S+)\)$`, (*plan).mixed),
		when(`^invalid operation: operator (\S+) not defined on (\S+) \((?:variable|value|constant)(?: \S+)? of type (.+)\)$`, text("%[2]s is a %[3]s, for which there is no %[1]s")),
		when(`^assignment mismatch: (\d+) variables? but (.+) returns? (\d+) values?$`, (*plan).counts),
		when(`^multiple-value (.+) \(value of type \((.*)\)\) in single-value context$`, (*plan).several),
		when(`^assignment mismatch: (\d+) variables? but (\d+) values?$`, text("%s names on the left, but %s values on the right")),
		when(`(?s)^not enough arguments in call to (\S+)\s+have \((.*)\)\s+want \((.*)\)$`, text("%s is called with too few arguments: it is given (%s) and wants (%s)")),
		when(`(?s)^too many arguments in call to (\S+)\s+have \((.*)\)\s+want \((.*)\)$`, text("%s is called with too many arguments: it is given (%s) and wants (%s)")),
		when(`(?s)^(not enough|too many) return values\s+have \((.*)\)\s+want \((.*)\)$`, text("the function returns %s values: (%s), but it says that it returns (%s)")),
		when(`^(.+) \(no value\) used as value$`, text("%s gives no value that could be used")),
		when(`^(.+) \((?:value|variable|constant|no value|untyped|type).*\) is not used$`, text("the value of %s is not used; only a cell's last expression is shown")),
		when(`^(.+) is not used$`, text("the value of %s is not used; only a cell's last expression is shown")),
		when(`^no new variables on left side of :=$`, text("this cell has made all the names on the left before; set them with = instead of :=")),
		when(`^invalid operation: cannot call (?:non-function )?(\S+) `, text("%s is no function, so it cannot be called")),
		when(`^invalid operation: cannot index (\S+) \((?:variable|value)(?: \S+)? of type (.+)\)$`, text("%s is a %s, of which there are no elements to take with [ ]")),
		when(`^invalid argument: index (\S+) out of bounds \[0:(\d+)\]$`, text("there is no element %s: they count from 0, and there are %s")),
		when(`^non-boolean condition in (\w+) statement$`, text("the condition of this %s is neither true nor false; compare it with something")),
		when(`^cannot assign to (\S+) \(neither addressable nor a map index expression\)`, text("%s cannot be set, as it is a value and not a place; set the whole it belongs to")),
		when(`^cannot assign to struct field (\S+) in map$`, text("%s cannot be set in the map; take the value out, change it, and put it back")),
		when(`^(?:invalid operation: )?division by zero$`, text("this divides by zero")),
		when(`^use of untyped nil in (.+)$`, text("nil alone has no type; say what type is meant, as in var x *sizing.Assessment")),
		when(`^use of package (\w+) (?:without selector|not in selector)$`, text("%[1]s is a package; say what of it is meant, as in %[1]s.Name")),
		when(`^(\S+) redeclared in this (?:block|cell)$`, text("%s is made twice in this cell; set it with = the second time")),
		when(`^cannot infer (\w+)`, text("what the type %s is cannot be told from the arguments; give it in [ ]")),
		when(`^initialization cycle or refers to itself`, text("the value is made of itself")),
		when(`^could not import (\S+) \((.*)\)$`, text("package %s cannot be used: %s")),
		// The parser's.
		when(`^expected statement, found 'else'$`, text("else has to stand on the line of the } before it")),
		when(`^expected ';', found (.+)$`, text("%s is unexpected here: the statement before it should have ended, or something is missing between them")),
		when(`^expected operand, found (.+)$`, text("a value is missing before %s")),
		when(`^expected '(.+)', found newline$`, text("%s is missing at the end of the line")),
		when(`^expected '(.+)', found (.+)$`, text("%[1]s is missing before %[2]s")),
		when(`^missing ',' before newline in (.+)$`, text("the line needs a comma at its end, as the %s goes on")),
		when(`^missing ',' in (.+)$`, text("a comma is missing in this %s")),
		when(`^string literal not terminated$|^newline in string$`, text("the quotes of this text are never closed")),
		when(`^rune literal not terminated$|^illegal rune literal$|^more than one character in rune literal$`, text("single quotes are for one character; a text has double quotes")),
		when(`^expected (.+), found (.+)$`, text("%s is missing before %s")),
	}
}

// plainWords says what is wrong in plain words, or else in the compiler's.
func (pl *plan) plainWords(c *complaint) string {
	if c.words == "" {
		return c.message
	}
	first, _, _ := strings.Cut(c.message, "\n")
	for _, message := range []string{c.message, first} {
		for _, w := range wordings {
			if m := w.pattern.FindStringSubmatch(message); m != nil {
				if words := w.words(pl, m); words != "" {
					return words
				}
			}
		}
	}
	return first
}

// perhaps is a hint at what may be meant.
func perhaps(names []string, decorate func(string) string) string {
	if len(names) == 0 {
		return ""
	}
	list := make([]string, len(names))
	for i, n := range names {
		list[i] = decorate(n)
	}
	return "; perhaps " + strings.Join(list, " or ") + " is meant"
}

func same(s string) string { return s }

// undefined tells what may be meant by a name: one in sight, a package, or what
// one of the packages that cells use most has.
func (pl *plan) undefined(m []string) string {
	name := m[1]
	if pl.made[name] {
		return name + " is not made before this line; it is further down in the cell"
	}
	if pl.packageNamed(name) != nil {
		return fmt.Sprintf("%[1]s is a package; say what of it is meant, as in %[1]s.Name", name)
	}
	var in []string
	for _, p := range early {
		if pkg, err := pl.library.Import(pl.path(p)); err == nil && p != keepPath && p != showPath {
			if o := pkg.Scope().Lookup(name); o != nil && o.Exported() {
				in = append(in, pkg.Name()+"."+name)
			}
		}
	}
	if len(in) > 0 {
		return name + " is not defined" + perhaps(in[:min(len(in), 3)], same)
	}
	names := slices.Concat(slices.Collect(maps.Keys(pl.Session.units)), slices.Collect(maps.Keys(pl.Session.vars)), slices.Collect(maps.Keys(pl.made)),
		slices.Collect(maps.Keys(pl.own)), types.Universe.Names(), slices.Collect(maps.Keys(pl.directory.own())), slices.Collect(maps.Keys(pl.directory.standard())))
	for _, path := range slices.Concat(pl.dots, pl.Session.dots) {
		if pkg, err := pl.library.Import(path); err == nil {
			names = append(names, exportedNames(pkg)...)
		}
	}
	return name + " is not defined" + perhaps(nearest(name, names), same)
}

func exportedNames(pkg *types.Package) []string {
	return slices.DeleteFunc(pkg.Scope().Names(), func(n string) bool { return !pkg.Scope().Lookup(n).Exported() })
}

// packageNamed returns a package that the cell calls by a name.
func (pl *plan) packageNamed(name string) *types.Package {
	path := pl.imports[name]
	if path == "" {
		path = pl.Session.imports[name]
	}
	if path == "" {
		path = pl.directory.find(name, nil)
	}
	if path == "" {
		return nil
	}
	pkg, err := pl.library.Import(path)
	if err != nil {
		return nil
	}
	return pkg
}

func (pl *plan) undefinedIn(m []string) string {
	pkg := pl.packageNamed(m[1])
	if pkg == nil {
		return ""
	}
	return fmt.Sprintf("package %s has no %s", m[1], m[2]) + perhaps(nearest(m[2], exportedNames(pkg)), func(n string) string { return m[1] + "." + n })
}

func (pl *plan) notExported(m []string) string {
	return pl.undefinedIn([]string{"", m[2], m[1]})
}

// typeNamed finds a type by its name in a message, as in sizing.Build.
func (pl *plan) typeNamed(text string) types.Type {
	pkgName, name, ok := strings.Cut(strings.TrimLeft(text, "*"), ".")
	if !ok {
		return nil
	}
	pkg := pl.packageNamed(pkgName)
	if pkg == nil {
		return nil
	}
	if o, ok := pkg.Scope().Lookup(name).(*types.TypeName); ok {
		return o.Type()
	}
	return nil
}

// members lists the fields and methods of a type.
func members(t types.Type) []string {
	var names []string
	if n, ok := t.(*types.Named); ok {
		for i := range n.NumMethods() {
			if m := n.Method(i); m.Exported() {
				names = append(names, m.Name())
			}
		}
	}
	if s, ok := t.Underlying().(*types.Struct); ok {
		for i := range s.NumFields() {
			f := s.Field(i)
			if f.Exported() {
				names = append(names, f.Name())
			}
			if f.Embedded() {
				names = append(names, members(f.Type())...)
			}
		}
	}
	return names
}

func (pl *plan) noField(m []string) string {
	words := fmt.Sprintf("%s has neither a field nor a method %s", article(m[2]), m[3])
	t := pl.typeNamed(m[2])
	if t == nil {
		return words
	}
	var near []string
	if s, ok := t.Underlying().(*types.Struct); ok {
		for i := range s.NumFields() { // a field of a field: b.Boost for b.Induction.Boost
			if f := s.Field(i); f.Exported() && slices.Contains(members(f.Type()), m[3]) {
				near = append(near, f.Name()+"."+m[3])
			}
		}
	}
	if len(near) == 0 {
		near = nearest(m[3], members(t))
	}
	return words + perhaps(near, same)
}

func (pl *plan) noLiteralField(m []string) string {
	words := fmt.Sprintf("%s has no field %s", article(m[2]), m[1])
	if t := pl.typeNamed(m[2]); t != nil {
		words += perhaps(nearest(m[1], members(t)), same)
	}
	return words
}

func (pl *plan) counts(m []string) string {
	call := m[2]
	if i := strings.IndexByte(call, '('); i > 0 {
		call = call[:i]
	}
	left := m[1] + " names take"
	if m[1] == "1" {
		left = "1 name takes"
	}
	words := fmt.Sprintf("%s gives %s values, but %s them", call, m[3], left)
	if m[1] == "1" && m[3] == "2" {
		words += "; if the second is an error, write as in x, err := " + call + "(…)"
	}
	return words
}

// several tells of a call that gives more than one value where one is wanted.
func (pl *plan) several(m []string) string {
	n := 1 + strings.Count(m[2], ", ")
	return pl.counts([]string{"", "1", m[1], fmt.Sprint(n)})
}

func (pl *plan) noMethod(m []string) string {
	if m[7] != "" {
		return fmt.Sprintf("%s is no %s, but a pointer to it is; write &%s", article(m[4]), m[5], m[1])
	}
	return fmt.Sprintf("%s is no %s: it lacks the method %s", article(m[4]), m[5], m[6])
}

func (pl *plan) untyped(m []string) string {
	if _, ok := quantities[m[3]]; ok {
		return fmt.Sprintf("%s has no unit, and %s needs one", m[1], inTheTrade(m[3]))
	}
	return fmt.Sprintf("%s is %s, but %s is wanted", m[1], article(m[2]), article(m[3]))
}
