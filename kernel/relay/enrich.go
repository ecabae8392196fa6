package relay

import (
	"bytes"
	"encoding/json"

	"example.com/railbook/kernel/wire"
)

// enriched returns the content of a display with what [Options.Enrich] adds to it.
func (r *relay) enriched(typ string, content any) any {
	if len(r.o.Enrich) == 0 || typ != "display_data" && typ != "execute_result" && typ != "update_display_data" {
		return content
	}
	raw, ok := content.(json.RawMessage)
	if !ok {
		var err error
		if raw, err = json.Marshal(content); err != nil {
			return content
		}
	}
	for mime, add := range r.o.Enrich {
		if !bytes.Contains(raw, []byte(mime)) {
			continue
		}
		m := wire.Message{Content: raw}
		var display map[string]json.RawMessage
		var data map[string]json.RawMessage
		if m.Decode(&display) != nil || json.Unmarshal(display["data"], &data) != nil || data[mime] == nil {
			continue
		}
		if err := add(data); err != nil {
			r.o.Log(err.Error())
			continue
		}
		var err error
		if display["data"], err = json.Marshal(data); err != nil {
			continue
		}
		if raw, err = json.Marshal(display); err != nil {
			return content
		}
		content = raw
	}
	return content
}
