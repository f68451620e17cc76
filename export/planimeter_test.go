package export_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"strings"
	"testing"

	"runproof/export"
)

// planimeter is the area of a ground by GeographicLib's Planimeter 2.1.2 (Debian
// geographiclib-tools): geodesic edges on WGS 84, holes taken off by their
// direction, from the places as files write them.
func planimeter(t *testing.T, g export.Ground) float64 {
	t.Helper()
	sum := 0.0
	for _, p := range g {
		for _, r := range p {
			var in strings.Builder
			for _, at := range r[:len(r)-1] {
				in.WriteString(string(export.Degrees(nil, at[1])) + " " + string(export.Degrees(nil, at[0])) + "\n")
			}
			cmd := exec.Command("Planimeter", "-p", "9")
			cmd.Stdin = strings.NewReader(in.String())
			out, err := cmd.Output()
			var n, length, area float64
			if _, scan := fmt.Sscan(string(out), &n, &length, &area); err != nil || scan != nil {
				t.Fatal(err, scan, string(out))
			}
			sum += area
		}
	}
	return math.Abs(sum)
}

// Areas are those of GeographicLib to a part in a million (the plane's own bound),
// and the ten-thousandth of a square metre to which both are kept; its edges are
// geodesics and ours straight in the plane, which over 12 m is less.
func TestPlanimeter(t *testing.T) {
	const golden = "testdata/areas.json"
	want := map[string]float64{}
	if text, err := os.ReadFile(golden); err == nil && !*update {
		if err := json.Unmarshal(text, &want); err != nil {
			t.Fatal(err)
		}
	}
	for name, day := range days(t) {
		for _, s := range day.Short {
			key := fmt.Sprintf("%s/%d", name, s.Event.ID)
			if _, err := exec.LookPath("Planimeter"); err == nil {
				now := math.Round(planimeter(t, s.Ground)*1e5) / 1e5
				if *update {
					want[key] = now
				}
				if want[key] != now {
					t.Errorf("%s: Planimeter gives %v m2 today, gave %v", key, now, want[key])
				}
			}
			if got := s.AreaM2(); want[key] == 0 || math.Abs(got-want[key]) > want[key]*1e-6+1e-4 {
				t.Errorf("%s: %.4f m2, Planimeter %.4f", key, got, want[key])
			}
		}
	}
	if *update {
		text, _ := json.MarshalIndent(want, "", " ")
		if err := os.WriteFile(golden, append(text, '\n'), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
