package pagetest

import (
	"encoding/json"
	"fmt"
	"strings"
)

// requests returns the addresses that the page asked a network for, from the
// browser's log of its network use. What the browser asks on its own account
// is told apart by the site on whose behalf a request is made.
func requests(netLog []byte) ([]string, error) {
	var log struct {
		Constants struct {
			LogEventTypes map[string]int
		}
		Events []struct {
			Type   int
			Params json.RawMessage
		}
	}
	if err := json.Unmarshal(netLog, &log); err != nil {
		return nil, fmt.Errorf("network log of the browser: %w", err)
	}
	start, ok := log.Constants.LogEventTypes["URL_REQUEST_START_JOB"]
	if !ok {
		return nil, fmt.Errorf("network log of the browser: no event type URL_REQUEST_START_JOB")
	}
	var out []string
	for _, e := range log.Events {
		var p struct {
			URL  string `json:"url"`
			Site string `json:"network_isolation_key"`
		}
		if e.Type != start || json.Unmarshal(e.Params, &p) != nil {
			continue
		}
		if strings.HasPrefix(p.Site, "file:") && !strings.HasPrefix(p.URL, "file:") && !strings.HasPrefix(p.URL, "data:") {
			out = append(out, p.URL)
		}
	}
	return out, nil
}
