package cli

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"runproof/plan"
)

func TestFitMove(t *testing.T) {
	folder(t, map[string]string{"drill.yaml": strings.Replace(planDrill, "{node: node-12}", "{node: node-16}", 1)})
	if status, _, errw := runproof(t, "", "plan", "drill.yaml", "-o", "fit.json"); status != ExitDone {
		t.Fatal(errw)
	}
	b, err := os.ReadFile("fit.json")
	if err != nil || !strings.Contains(string(b), `"run": "A-4"`) {
		t.Fatal(err)
	}
	status, out, errw := runproof(t, "", "fit", "move", "fit.json", "A-4", "N1:16", "--why", "port failed", "-o", "next.json")
	if status != ExitDone || !strings.Contains(out, "A-4 moved from N1 port") || !strings.Contains(out, "revision 2 in next.json") {
		t.Errorf("%d, %s%s", status, out, errw)
	}
	for _, port := range []string{"N1", "N1:x", "N9:1", "N1:99"} {
		status, _, errw := runproof(t, "", "fit", "move", "fit.json", "A-4", port, "-o", "no.json")
		if _, err := os.Stat("no.json"); status != ExitInput || err == nil || errw == "" {
			t.Errorf("%s: %d, %s", port, status, errw)
		}
	}
}

// A move that breaks a rule is made, for it may be how the drill is, but it is
// said; so is what a person breaks in the document by hand.
func TestMovedAndEditedFitsAreHeldToTheRules(t *testing.T) {
	folder(t, map[string]string{"drill.yaml": strings.Replace(planDrill, "{node: node-12}", "{node: node-16}", 1)})
	if status, _, errw := runproof(t, "", "plan", "drill.yaml", "-o", "fit.json"); status != ExitDone {
		t.Fatal(errw)
	}
	status, out, _ := runproof(t, "", "fit", "move", "fit.json", "A-4", "N3:16", "-o", "far.json")
	if status != ExitAttention || !strings.Contains(out, "broken: tube reaches from node to sensor, A-4 of head A to node N3 at head C: 6.40 m, at most 3.00 m") {
		t.Errorf("a tube over 6 m: %d, %s", status, out)
	}
	if status, out, _ := runproof(t, "", "fit", "show", "fit.json", "--checks"); status != ExitDone || !strings.Contains(out, "0 broken") || !strings.Contains(out, "look at each sensor") {
		t.Errorf("as planned: %d, %s", status, out)
	}
	text, err := os.ReadFile("fit.json")
	if err != nil {
		t.Fatal(err)
	}
	edited := strings.NewReplacer(`"N1"`, `"N3"`, `"N3"`, `"N1"`).Replace(string(text))
	if err := os.WriteFile("edited.json", []byte(edited), 0o644); err != nil {
		t.Fatal(err)
	}
	status, out, _ = runproof(t, "", "fit", "show", "edited.json", "--checks")
	if status != ExitAttention || !strings.Contains(out, "\nbroken   serials ascend along the ranks of heads, out of order: ") {
		t.Errorf("two boxes changed places: %d, %s", status, out)
	}
	status, out, _ = runproof(t, "", "--json", "fit", "show", "edited.json", "--checks")
	var doc plan.Checks
	if err := json.Unmarshal([]byte(out), &doc); err != nil || status != ExitAttention || doc.Runproof != plan.ChecksVersion || doc.Verdict.String() != "broken" {
		t.Errorf("%d, %v, %.200s", status, err, out)
	}
}
