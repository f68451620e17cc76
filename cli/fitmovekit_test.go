package cli

import (
	"reflect"
	"strings"
	"testing"

	"runproof/parts"
)

// What a moved fit lists to be picked is what a fit with such tubes needs: here
// a tube of 45 m in place of a short one.
func TestFitMoveListsTheTube(t *testing.T) {
	text := strings.Replace(planDrill, "{node: node-12}", "{node: node-16}", 1)
	folder(t, map[string]string{"drill.yaml": text})
	if status, _, errw := runproof(t, "", "plan", "drill.yaml", "-o", "fit.json"); status != ExitDone {
		t.Fatal(errw)
	}
	if status, _, errw := runproof(t, "", "fit", "move", "fit.json", "A-4", "N3:16", "-o", "far.json"); status != ExitAttention {
		t.Fatalf("%d, %s", status, errw)
	}
	before, after := fitAt(t, "fit.json"), fitAt(t, "far.json")
	if reflect.DeepEqual(before.Kit, after.Kit) {
		t.Error("the parts list stayed as it was")
	}
	if want := parts.BuiltIn().Kit(after.Need()); !reflect.DeepEqual(after.Kit, want) {
		t.Errorf("%+v\nwant %+v", after.Kit, want)
	}
	at, _ := after.PortOf("A-4")
	status, _, errw := runproof(t, "", "fit", "move", "far.json", "A-4", at.String(), "-o", "same.json")
	if status != ExitInput || !strings.Contains(errw, "listens to port N3:16 already") {
		t.Errorf("to the port it has: %d, %s", status, errw)
	}
}
