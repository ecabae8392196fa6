package cell

import (
	"go/ast"
	"go/parser"
	"go/scanner"
	"go/token"
	"strconv"
	"strings"
)

// A problem is something wrong in a text, at an offset.
type problem struct {
	at      int
	message string
	// incomplete tells that the text may become right by going on.
	incomplete bool
}

// lineOf returns the number of the line in which an offset lies.
func lineOf(text string, at int) string {
	return strconv.Itoa(1 + strings.Count(text[:min(at, len(text))], "\n"))
}

// parsed is a cell as Go: what it declares and what it does.
type parsed struct {
	imports    []importLine
	units      []*unit      // functions, types and constants
	statements []*statement // in order, variables' declarations among them
	main       *unit        // a func main of the cell's own
}

// importLine is one import of a cell.
type importLine struct {
	name string // as written in front, or ""
	path string
	at   int
}

// piece is a part of a text and the names in it that mean something outside.
type piece struct {
	from, to int
	refs     []ref
}

// ref is a name in a piece that is not declared there.
type ref struct {
	at   int // in the text
	name string
	// sel is what is selected from it, as in name.sel; "" if nothing is.
	sel string
	// key tells that it may be the name of a field: it is a key of a composite
	// literal.
	key bool
	// later tells that it stands in a function literal, which may be called later.
	later bool
	// Where it leads is found when its cell is read: path is that of the package
	// that it names, or, if dot is set, whose name it is; old tells that it means
	// a variable as it was before the cell made it anew.
	path string
	dot  bool
	old  bool
	// lost tells that no name is in sight here, though there is one further down.
	lost bool
}

// statement is a statement of a cell at its top level.
type statement struct {
	src *source
	piece
	node    ast.Stmt
	defines []define // the variables that it makes
	rhs     int      // where the values begin, of one that makes variables
	typ     [2]int   // where the type stands, of a var with a type
	isVar   bool     // it is a var, not an assignment
	moves   []string // variables that it may change
	assigns string   // the variable that it sets as a whole, if it does no more
	ended   bool     // by a semicolon
}

// define is a name on the left of a statement that makes variables.
type define struct {
	name  string
	at    int
	again bool // it was made by the same cell before
}

// The texts in front of what is parsed.
const (
	declPrefix = "package p\n"
	bodyPrefix = "package p\nfunc _() {\n"
	bodySuffix = "\n}"
)

// base is the position of the first byte of a file set with one file.
const base = 1

// parse reads Go text as a cell. In mainMode what stands behind body is the body
// of main.
func parse(src *source, sp special) (*parsed, *problem) {
	text, body := sp.text, ""
	if sp.mode == mainMode {
		text, body = sp.text[:sp.body], sp.text[sp.body:]
	}
	items, bad := split(text)
	if bad != nil {
		return nil, bad
	}
	p := &parsed{}
	if bad := p.readImports(text, items); bad != nil {
		return nil, bad
	}
	if bad := p.readUnits(src, text, items); bad != nil {
		return nil, bad
	}
	if bad := p.readStatements(src, text, items); bad != nil {
		return nil, bad
	}
	if sp.mode == mainMode {
		if bad := p.readMain(src, sp, body); bad != nil {
			return nil, bad
		}
	}
	return p, nil
}

// only returns text with all but the items of some kinds blank.
func only(text string, items []item, kinds ...itemKind) string {
	out := []byte(text)
	for _, it := range items {
		keep := false
		for _, k := range kinds {
			keep = keep || it.kind == k
		}
		if !keep {
			blank(out, it.from, it.to)
			if it.ended() {
				blank(out, it.semicolon, it.semicolon+1)
			}
		}
	}
	return string(out)
}

// syntax turns a parser's error into a problem.
func syntax(err error, prefix int, text string) *problem {
	list, ok := err.(scanner.ErrorList)
	if !ok || len(list) == 0 {
		return &problem{message: err.Error()}
	}
	list.Sort()
	at := min(max(list[0].Pos.Offset-prefix, 0), len(text))
	message := list[0].Msg
	if end := len(strings.TrimRight(text, " \t\r\n")); at >= end {
		// What is found there is of what stands around the cell.
		if before, _, ok := strings.Cut(message, "found "); ok {
			message, at = before+"found the end of the cell", end
		}
	}
	return &problem{at: at, message: message}
}

func (p *parsed) readImports(text string, items []item) *problem {
	src := only(text, items, importItem)
	f, err := parser.ParseFile(token.NewFileSet(), "", declPrefix+src, parser.ImportsOnly|parser.SkipObjectResolution)
	if err != nil {
		return syntax(err, len(declPrefix), text)
	}
	for _, spec := range f.Imports {
		path, err := strconv.Unquote(spec.Path.Value)
		at := int(spec.Pos()) - base - len(declPrefix)
		if err != nil || path == "" {
			return &problem{at: at, message: "invalid import path"}
		}
		line := importLine{path: path, at: at}
		if spec.Name != nil {
			line.name = spec.Name.Name
		}
		p.imports = append(p.imports, line)
	}
	return nil
}

func (p *parsed) readStatements(src *source, text string, items []item) *problem {
	only := only(text, items, statementItem, varItem)
	f, err := parser.ParseFile(token.NewFileSet(), "", bodyPrefix+only+bodySuffix, parser.SkipObjectResolution)
	if err != nil {
		return syntax(err, len(bodyPrefix), text)
	}
	shift := base + len(bodyPrefix)
	ended := map[int]bool{}
	for _, it := range items {
		ended[it.to] = it.ended()
	}
	made := map[string]bool{}
	for _, s := range f.Decls[0].(*ast.FuncDecl).Body.List {
		for _, st := range makeStatements(src, s, shift) {
			st.ended = ended[st.to]
			if bad := st.check(made); bad != nil {
				return bad
			}
			p.statements = append(p.statements, st)
		}
	}
	// A name that is made further down is not in sight yet.
	place(p.statements)
	return nil
}

// readMain reads the body of main.
func (p *parsed) readMain(src *source, sp special, body string) *problem {
	if p.main != nil {
		return &problem{at: p.main.from, message: "main is declared twice in this cell: by func main and by the line with %%"}
	}
	blanked := []byte(sp.text)
	blank(blanked, 0, sp.body)
	f, err := parser.ParseFile(token.NewFileSet(), "", bodyPrefix+string(blanked)+bodySuffix, parser.SkipObjectResolution)
	if err != nil {
		return syntax(err, len(bodyPrefix), sp.text)
	}
	if len(f.Decls) != 1 {
		return &problem{at: sp.body + strings.LastIndexByte(body, '}'), message: "unexpected }, as nothing is open that it could close"}
	}
	d := f.Decls[0].(*ast.FuncDecl)
	u := &unit{kind: funcItem, names: []string{"main"}, src: src}
	u.from, u.to = sp.body, len(sp.text)
	b := newBinder(base + len(bodyPrefix))
	b.function(d)
	u.refs, u.moves = b.refs, b.moves
	u.spotsOfSteps = spots(d, base+len(bodyPrefix))
	p.main = u
	return nil
}
