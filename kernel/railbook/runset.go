package main

import (
	"encoding/json"
	"fmt"
	"strings"

	"example.com/railbook/kernel/session/inputs"
)

// ourMetadata is the key of what Railbook notes in a notebook's metadata: under
// "set", the inputs that were set from outside, by name.
const ourMetadata = "railbook"

// set gives the notebook's inputs their values and notes that.
func (j *runJob) set(values map[string]string) error {
	set, err := inputs.Set(j.nb, values, quantitySource)
	if err != nil {
		return err
	}
	texts := map[string]string{}
	var parts []string
	for _, in := range set {
		if _, again := texts[in.Name]; !again {
			parts = append(parts, in.String())
		}
		texts[in.Name] = in.Text
	}
	if len(parts) > 0 {
		j.note = "Run with " + strings.Join(parts, ", ") + "."
	}
	// What a run before this one noted no longer holds.
	ours := map[string]json.RawMessage{}
	if found, err := j.nb.Metadata.Get(ourMetadata, &ours); err != nil {
		return fmt.Errorf("%w, want an object", err)
	} else if !found && len(texts) == 0 {
		return nil
	}
	delete(ours, "set")
	if len(texts) > 0 {
		if ours["set"], err = json.Marshal(texts); err != nil {
			return err
		}
	}
	if len(ours) == 0 {
		delete(j.nb.Metadata, ourMetadata)
		return nil
	}
	return j.nb.Metadata.Set(ourMetadata, ours)
}
