package report

import (
	"encoding/json"
	"fmt"

	"example.com/railbook/sizing"
)

// EvidenceName is the name of what a report with evidence carries beside the others.
const EvidenceName = "evidence.json"

// Evidence is what logged pulls say, as the section on it prints it. The report carries
// it, for the logs themselves are not in it: whoever checks the report finds the section
// to be that of the maker, not that it follows from the logs.
type Evidence struct {
	Words  []string       `json:"words"`
	Tables []sizing.Table `json:"tables"`
}

// DecodeEvidence reads what a report carries. The error tells of text that is no JSON of
// it, or of a table whose rows do not fit its columns.
func DecodeEvidence(data []byte) (*Evidence, error) {
	var e Evidence
	if err := json.Unmarshal(data, &e); err != nil {
		return nil, fmt.Errorf("%s: %w", EvidenceName, err)
	}
	return &e, e.check()
}

func (e *Evidence) check() error { return checkTables(EvidenceName, e.Tables) }

// evidence writes the section on logged pulls.
func (w *writer) evidence() {
	tables := narrow(w.pulls.Tables)
	text := "Pulls that were logged on this engine say what it really consumed and whether the rail held. They are measured, with the uncertainty that instruments and scatter leave; samples that do not tell the flow were set aside."
	if len(tables) > 0 {
		text += " " + w.tablesFollow(len(tables)) + "."
	}
	w.text(text)
	for _, words := range w.pulls.Words {
		w.text(words)
	}
	for _, t := range tables {
		w.table(t)
	}
}
