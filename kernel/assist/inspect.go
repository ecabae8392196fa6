package assist

import (
	"context"
	"go/scanner"
	"go/token"
	"strings"
)

// Inspect tells what the name at the cursor, a byte offset in the code of a cell, stands
// for, or that of the function whose arguments it is in, in Markdown; empty where nothing
// is known.
func (s *Server) Inspect(ctx context.Context, code string, cursor int) (string, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, at := range names(code, cursor) {
		t, place, err := s.show(ctx, code, at)
		if err != nil {
			return "", err
		}
		var hover struct {
			Contents struct {
				Value string `json:"value"`
			} `json:"contents"`
		}
		if err := s.call(ctx, "textDocument/hover", s.place(t, place), &hover); err != nil {
			return "", err
		}
		if hover.Contents.Value != "" {
			return hover.Contents.Value, nil
		}
	}
	return "", nil
}

// names are the offsets of the names to ask about, the likeliest first: the one at the
// cursor, and then the functions whose arguments the cursor is in, from inside out.
func names(code string, cursor int) []int {
	if cursor < 0 || cursor > len(code) {
		return nil
	}
	var s scanner.Scanner
	files := token.NewFileSet()
	file := files.AddFile("", -1, len(code))
	s.Init(file, []byte(code), func(token.Position, string) {}, 0)
	var list, open []int // open: of the name before each open parenthesis, -1 for none
	last := -1           // the name just read
	for {
		pos, tok, lit := s.Scan()
		at := file.Offset(pos)
		if tok == token.EOF || at > cursor {
			break
		}
		switch tok {
		case token.IDENT:
			if cursor <= at+len(lit) {
				list = append(list, at)
			}
			last = at
			continue
		case token.LPAREN:
			if at < cursor {
				open = append(open, last)
			}
		case token.RPAREN:
			if at < cursor && len(open) > 0 {
				open = open[:len(open)-1]
			}
		}
		last = -1
	}
	for i := len(open) - 1; i >= 0; i-- {
		if open[i] >= 0 {
			list = append(list, open[i])
		}
	}
	return list
}

// Plain makes plain text of an answer of [Server.Inspect].
func Plain(markdown string) string {
	var lines []string
	for line := range strings.Lines(markdown) {
		line = strings.TrimRight(line, "\n")
		if strings.HasPrefix(line, "```") || line == "---" {
			continue
		}
		lines = append(lines, strings.NewReplacer("\\", "", "`", "").Replace(line))
	}
	return strings.TrimSpace(strings.Join(lines, "\n"))
}
