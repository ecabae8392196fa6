package display

import (
	"errors"
	"fmt"
	"html"
	"strings"

	"example.com/railbook/kernel/display/internal/cell"
)

// Answer shows things folded away under a title, to be opened by a reader who has tried: the
// answer to an exercise. It takes what [Show] takes, but for figures, which do not fold.
func Answer(title string, things ...any) {
	b, err := answer(title, things)
	if err == nil {
		err = cell.Send(b)
	}
	if err != nil {
		cell.Fail(err)
	}
}

func answer(title string, things []any) (cell.Bundle, error) {
	if strings.TrimSpace(title) == "" || len(things) == 0 {
		return nil, errors.New(`an answer needs a title and something in it; want for example Answer("Answer to 1", flow)`)
	}
	shown, texts := []string{}, []string{title}
	for _, v := range things {
		b, err := bundle(v)
		if err != nil {
			return nil, err
		}
		text, isText := b[cell.Text].(string)
		inside, isHTML := b[cell.HTML].(string)
		switch {
		case isHTML:
		case isText && b[FigureMIME] == nil:
			inside = "<p>" + html.EscapeString(text) + "</p>"
		default:
			return nil, fmt.Errorf("an answer cannot hold a %T; show it by itself", v)
		}
		shown, texts = append(shown, inside), append(texts, text)
	}
	return cell.Bundle{
		cell.HTML: "<details><summary>" + html.EscapeString(title) + "</summary>\n" + strings.Join(shown, "\n") + "\n</details>",
		cell.Text: strings.Join(texts, "\n\n"),
	}, nil
}
