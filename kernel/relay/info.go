package relay

import (
	"runtime"
	"strings"

	"example.com/railbook/kernel/wire"
)

// About is what a kernel says of itself.
type About struct {
	Version string // of Railbook
	Banner  string // a line or more for consoles
	Links   []Link // for the help menu
}

// Link is a page of help.
type Link struct {
	Text string `json:"text"`
	URL  string `json:"url"`
}

func (r *relay) kernelInfo(request) (any, error) {
	about := r.o.About
	if about.Links == nil {
		about.Links = []Link{}
	}
	if about.Version == "" {
		about.Version = "0"
	}
	if about.Banner == "" {
		about.Banner = "Railbook " + about.Version + ", Go in cells"
	}
	return map[string]any{
		"status":                 "ok",
		"protocol_version":       wire.Version,
		"implementation":         "railbook",
		"implementation_version": about.Version,
		"language_info": map[string]any{
			"name":               "go",
			"version":            strings.TrimPrefix(runtime.Version(), "go"),
			"mimetype":           "text/x-go",
			"file_extension":     ".go",
			"pygments_lexer":     "go",
			"codemirror_mode":    "go",
			"nbconvert_exporter": "script",
		},
		"banner":             about.Banner,
		"help_links":         about.Links,
		"debugger":           false,
		"supported_features": []string{},
	}, nil
}

// connectInfo answers a request that the protocol has given up. There are
// clients that still make it.
func (r *relay) connectInfo(request) (any, error) {
	conn := r.srv.Connection()
	return map[string]any{
		"status":     "ok",
		"shell_port": conn.ShellPort, "iopub_port": conn.IOPubPort, "stdin_port": conn.StdinPort,
		"hb_port": conn.HBPort, "control_port": conn.ControlPort,
	}, nil
}
