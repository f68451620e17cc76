package schema

import (
	"os"
	"strings"
	"testing"

	"runproof/flowlog/mapping"
)

// The schema of a mapping takes what the reader takes, and refuses what it
// refuses.
func TestMapping(t *testing.T) {
	b, err := os.ReadFile("../flowlog/mapping/testdata/all.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s := compiled(t, "mapping")
	if err := s.Validate(asJSON(t, string(b))); err != nil {
		t.Error(err)
	}
	for _, bad := range [][2]string{
		{`delimiter: ";"`, `delimiter: "/"`},
		{"counts: running", "counts: runing"},
		{"unit: km/h", "unit: kmh"},
		{"from: Rest", "form: Rest"},
		{"rows_s: 0.2", "rows_s: -2"},
		{"mapping/1", "mapping/2"},
	} {
		text := strings.Replace(string(b), bad[0], bad[1], 1)
		if _, err := mapping.Read(strings.NewReader(text), "m"); err == nil {
			t.Errorf("the reader takes %s", bad[1])
		}
		if s.Validate(asJSON(t, text)) == nil {
			t.Errorf("the schema takes %s", bad[1])
		}
	}
}
