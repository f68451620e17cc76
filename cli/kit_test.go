package cli

import (
	"encoding/json"
	"os"
	"strings"
	"testing"
)

const kitPrices = "parts:\n  - {id: node-12, kind: node, price: 240}\n"

func TestKit(t *testing.T) {
	folder(t, map[string]string{"drill.yaml": planDrill, "prices.yaml": kitPrices, "stock.csv": "part,count\nnode-12,2\nnode-24,1\n"})
	if status, _, errw := runproof(t, "", "plan", "drill.yaml", "-o", "fit.json"); status != ExitDone {
		t.Fatal(errw)
	}
	status, out, errw := runproof(t, "", "kit", "fit.json", "--parts", "prices.yaml", "-o", "kit.xlsx")
	if status != ExitDone || !strings.Contains(out, "cost 720.00") {
		t.Errorf("%d, %s%s", status, out, errw)
	}
	status, out, _ = runproof(t, "", "kit", "fit.json", "-o", "-")
	if status != ExitDone || !strings.HasPrefix(out, "part,kind,name") || !strings.Contains(out, "node-12,node,") {
		t.Errorf("%d, %s", status, out)
	}
	status, out, _ = runproof(t, "", "kit", "fit.json", "--stock", "stock.csv", "-o", "kit.csv")
	if status != ExitAttention || !strings.Contains(out, "1 x node-12") {
		t.Errorf("%d, %s", status, out)
	}
	status, _, errw = runproof(t, "", "kit", "fit.json", "-o", "kit.txt")
	if _, err := os.Stat("kit.txt"); status != ExitInput || err == nil || !strings.Contains(errw, "neither .csv nor .xlsx") {
		t.Errorf("%d, %s", status, errw)
	}
}

// A kit from the shelf asks for the pieces that its legs are made of, and says
// that the volts are those of other pieces.
func TestKitMakesLegsOfWhatIsThere(t *testing.T) {
	folder(t, map[string]string{"drill.yaml": planDrill, "stock.csv": "part,count\nleg-4.0-8,40\n"})
	if status, _, errw := runproof(t, "", "plan", "drill.yaml", "-o", "fit.json"); status != ExitDone {
		t.Fatal(errw)
	}
	status, out, errw := runproof(t, "", "kit", "fit.json", "--stock", "stock.csv", "-o", "kit.csv")
	if status != ExitAttention || !strings.Contains(out, "made of other pieces than planned: L1") {
		t.Errorf("%d, %s%s", status, out, errw)
	}
	b, err := os.ReadFile("kit.csv")
	if err != nil || strings.Count(string(b), ",leg,") != 1 || !strings.Contains(string(b), "leg-4.0-8,leg,") {
		t.Errorf("%v, %s", err, b)
	}
}

// Planning with a shelf takes what is there: a larger node stands in, and the
// fit says so.
func TestPlanFromShelf(t *testing.T) {
	folder(t, map[string]string{"drill.yaml": planDrill, "stock.csv": "part,count\nnode-12,2\nnode-24,1\n", "bad.csv": "part,count\nnode-13,1\n"})
	status, out, errw := runproof(t, "", "plan", "drill.yaml", "--stock", "stock.csv", "-o", "fit.json")
	if status != ExitDone || !strings.Contains(out, "in place of node-12") {
		t.Fatalf("%d, %s%s", status, out, errw)
	}
	b, err := os.ReadFile("fit.json")
	if err != nil {
		t.Fatal(err)
	}
	var f struct{ Nodes []struct{ Part string } }
	if err := json.Unmarshal(b, &f); err != nil || len(f.Nodes) != 3 || f.Nodes[2].Part != "node-24" {
		t.Errorf("%+v, %v", f.Nodes, err)
	}
	status, _, errw = runproof(t, "", "plan", "drill.yaml", "--stock", "bad.csv", "-o", "no.json")
	if status != ExitInput || !strings.HasPrefix(errw, "bad.csv:2:1: ") {
		t.Errorf("%d, %s", status, errw)
	}
}

func TestPlanChecks(t *testing.T) {
	folder(t, map[string]string{"drill.yaml": planDrill, "weak.yaml": planDrill + "supply: {volts: 9.1}\n"})
	status, out, errw := runproof(t, "", "plan", "drill.yaml", "--checks")
	if status != ExitDone || !strings.Contains(out, "volts at the boxes, engine off") || strings.Contains(out, "\nbroken") {
		t.Errorf("%d, %s%s", status, out, errw)
	}
	status, out, _ = runproof(t, "", "plan", "weak.yaml", "--checks")
	if status != ExitAttention || !strings.Contains(out, "\nbroken   volts at the boxes") {
		t.Errorf("%d, %s", status, out)
	}
	status, out, _ = runproof(t, "", "--json", "plan", "weak.yaml", "--checks")
	var doc struct {
		Runproof, Verdict string
		Checks            []struct {
			Rule, Source, Advice, Verdict string
			Value, Limit, Margin          *float64
		}
	}
	if err := json.Unmarshal([]byte(out), &doc); err != nil || status != ExitAttention || doc.Runproof != "checks/1" || doc.Verdict != "broken" || len(doc.Checks) < 30 {
		t.Errorf("%d, %v, %+v", status, err, doc)
	}
	if status, _, errw := runproof(t, "", "plan", "drill.yaml"); status != ExitInput || !strings.Contains(errw, "--out") {
		t.Errorf("neither -o nor --checks: %d, %s", status, errw)
	}
}

func TestQuote(t *testing.T) {
	folder(t, map[string]string{"drill.yaml": planDrill, "dealer.yaml": "runproof: settings/1\ndealer: {name: A}\ncurrency: EUR\n", "bad.yaml": "runproof: settings/1\ndealer: {nme: A}\n"})
	if status, _, errw := runproof(t, "", "plan", "drill.yaml", "-o", "fit.json"); status != ExitDone {
		t.Fatal(errw)
	}
	status, out, errw := runproof(t, "", "quote", "fit.json", "--settings", "dealer.yaml", "-o", "quote.pdf")
	if status != ExitAttention || !strings.Contains(out, "without a price") {
		t.Errorf("%d, %s%s", status, out, errw)
	}
	if b, err := os.ReadFile("quote.pdf"); err != nil || !strings.HasPrefix(string(b), "%PDF-") {
		t.Error(err)
	}
	status, _, errw = runproof(t, "", "quote", "fit.json", "--settings", "bad.yaml", "-o", "no.pdf")
	if status != ExitInput || !strings.Contains(errw, "bad.yaml:2:10: unknown key \"nme\"; did you mean name?") {
		t.Errorf("%d, %s", status, errw)
	}
}
