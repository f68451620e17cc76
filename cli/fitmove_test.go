package cli

import (
	"os"
	"strings"
	"testing"
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
