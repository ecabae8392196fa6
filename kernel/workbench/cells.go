package workbench

import (
	"errors"

	"example.com/railbook/kernel/cell"
	"example.com/railbook/kernel/relay"
)

// cells is a session as the relay wants it.
type cells struct{ session *cell.Session }

var _ relay.Evaluator = cells{}

func (c cells) Rewrite(code string) (relay.Prepared, error) { return prepared(c.session.Rewrite(code)) }

func (c cells) Evaluate(expression string) (relay.Prepared, error) {
	return prepared(c.session.Evaluate(expression))
}

func (c cells) Reset() (string, error) { return c.session.Reset() }

// prepared is a cell as the relay wants it.
func prepared(p *cell.Prepared, err error) (relay.Prepared, error) {
	var wrong *cell.Error
	if errors.As(err, &wrong) {
		return relay.Prepared{}, explanation(wrong)
	}
	if err != nil {
		return relay.Prepared{}, err
	}
	return relay.Prepared{
		Code:   p.Code,
		Commit: p.Commit,
		Explain: func(f relay.Failure) *relay.Explanation {
			// Who ended the cell needs no more words, and a cell kernel that is gone none
			// about the cell.
			if f.Kind == relay.Died || f.Kind == relay.Asked {
				return nil
			}
			told := p.Explain(cell.Failure{Words: f.Words, Status: f.Status, Trace: f.Trace, Stderr: f.Stderr, Interrupted: f.Kind == relay.Interrupted})
			if told == nil {
				return nil
			}
			return explanation(told)
		},
	}, nil
}

func explanation(e *cell.Error) *relay.Explanation {
	return &relay.Explanation{Name: e.Name, Value: e.Value, Traceback: e.Traceback()}
}
