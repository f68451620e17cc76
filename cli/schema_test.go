package cli

import (
	"encoding/json"
	"strings"
	"testing"

	"runproof/schema"
)

func TestSchema(t *testing.T) {
	for _, name := range schema.Names() {
		status, out, errw := runproof(t, "", "schema", name)
		var doc struct {
			Dialect string `json:"$schema"`
		}
		if err := json.Unmarshal([]byte(out), &doc); err != nil || status != ExitDone || doc.Dialect != "https://json-schema.org/draft/2020-12/schema" {
			t.Errorf("%s: status %d, %v, dialect %q, %s", name, status, err, doc.Dialect, errw)
		}
	}
	status, _, errw := runproof(t, "", "schema", "dril")
	if status != ExitInput || strings.TrimSpace(errw) != `there is no schema of "dril"; did you mean drill?` {
		t.Errorf("misspelt: %d, %s", status, errw)
	}
}
