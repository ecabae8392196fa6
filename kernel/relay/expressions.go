package relay

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"
)

// expressions answers the user's expressions after a cell that went well: each
// with a value, or with an error of its own.
func (c *cell) expressions() map[string]any {
	results := map[string]any{}
	for _, name := range slices.Sorted(maps.Keys(c.job.UserExpressions)) {
		value, failed := c.evaluate(c.job.UserExpressions[name])
		if failed != nil {
			e := errorOf(failed)
			e.Status = "error"
			results[name] = e
			continue
		}
		results[name] = value
	}
	return results
}

// bundle is a value in several forms, by MIME type.
type bundle struct {
	Status   string                     `json:"status"`
	Data     map[string]json.RawMessage `json:"data"`
	Metadata json.RawMessage            `json:"metadata"`
}

// evaluate returns the value of an expression.
func (c *cell) evaluate(expression string) (value *bundle, failed *Explanation) {
	defer c.recoverTo(&failed)
	evaluator, ok := c.r.cells.(Evaluator)
	if !ok {
		return nil, &Explanation{Name: "not supported", Value: "this kernel does not evaluate expressions beside a cell"}
	}
	prepared, err := evaluator.Evaluate(expression)
	if err != nil {
		return nil, explanationOf(err)
	}
	up, failed := c.kernel()
	if failed != nil {
		return nil, failed
	}
	var shown json.RawMessage
	var printed strings.Builder
	out := newOutput(c.count, c.r.o.Log, func(typ string, content, _ any, _ [][]byte) {
		switch typ {
		case "display_data", "execute_result":
			if shown == nil {
				shown = c.r.encode(content)
			}
		case "stream":
			printed.WriteString(content.(streamContent).Text)
		}
	})
	if failure := c.runOn(up, prepared.Code, out, false); failure != nil {
		return nil, explain(prepared, *failure)
	}
	value = &bundle{Status: "ok"}
	if shown != nil {
		err = json.Unmarshal(shown, value)
	} else {
		value.Data = map[string]json.RawMessage{"text/plain": c.r.encode(strings.TrimSuffix(printed.String(), "\n"))}
	}
	if err != nil {
		return nil, explanationOf(err)
	}
	if len(value.Metadata) == 0 {
		value.Metadata = json.RawMessage("{}")
	}
	return value, nil
}
