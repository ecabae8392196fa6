package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"example.com/railbook/sizing/evidence"
)

// largest is the largest file of pulls that is read: thousands of pulls.
const largest = 64 << 20

// Read reads pulls as railbook evidence writes them: a JSON list, or an object with the
// list under "pulls". name stands in messages. What is more in it than a summary is left
// out. The error says where the text stops being that.
func Read(name string, r io.Reader) ([]evidence.PullSummary, error) {
	data, err := io.ReadAll(io.LimitReader(r, largest+1))
	if err != nil {
		return nil, fmt.Errorf("cannot read %s: %w", name, err)
	}
	if len(data) > largest {
		return nil, fmt.Errorf("%s is larger than %d bytes and no list of pulls", name, largest)
	}
	pulls, err := decode(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")))
	if err != nil {
		return nil, fmt.Errorf("%s: %w; want what railbook evidence --out writes", name, err)
	}
	return pulls, nil
}

func decode(data []byte) ([]evidence.PullSummary, error) {
	var list []evidence.PullSummary
	if trimmed := bytes.TrimLeft(data, " \t\r\n"); len(trimmed) > 0 && trimmed[0] == '[' {
		if err := json.Unmarshal(data, &list); err != nil {
			return nil, located(data, err)
		}
		return list, nil
	}
	var object struct {
		Pulls *[]evidence.PullSummary `json:"pulls"`
	}
	if err := json.Unmarshal(data, &object); err != nil {
		return nil, located(data, err)
	}
	if object.Pulls == nil {
		return nil, errors.New(`no list of pulls under "pulls"`)
	}
	return *object.Pulls, nil
}

// located adds the line to an error of the JSON decoder that knows its place.
func located(data []byte, err error) error {
	at := int64(-1)
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		at = syntax.Offset
	case errors.As(err, &kind):
		at = kind.Offset
	}
	if at < 0 || at > int64(len(data)) {
		return err
	}
	return fmt.Errorf("line %d: %w", 1+bytes.Count(data[:at], []byte("\n")), err)
}
