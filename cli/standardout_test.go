package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// sentence is a position at 09:15:30, its checksum reckoned by hand: the
// exclusive or of all between $ and * (reference sample of NMEA 0183).
const sentence = "$GNRMC,091530.00,A,5112.00000,N,10618.00000,W,4.276,0.00,120526,9.8,E,R*19\n"

// What is lost is told, and wants attention, also where the log itself goes to
// standard output.
func TestLossOnStandardOutput(t *testing.T) {
	dir := t.TempDir()
	torn, flow := filepath.Join(dir, "torn.nmea"), filepath.Join(dir, "flow.csv")
	write(t, torn, sentence+strings.Replace(sentence, "*19", "*18", 1))
	write(t, flow, "time,1001:1\n2026-05-12T09:15:30Z,4\n2026-05-12T09:15:31Z,5\n")
	for _, args := range [][]string{{"log", "convert", torn, "-o", "-"}, {"log", "join", flow, torn, "--offset", "-0.0", "-o", "-"}} {
		status, out, errs := runproof(t, "", args...)
		if status != ExitAttention || !strings.Contains(errs, "1 sentence damaged") || strings.Contains(out, "damaged") || !strings.HasPrefix(out, "time,") {
			t.Errorf("%v: status %d\n%s%s", args, status, out, errs)
		}
	}
}

// Clocks are behind as often as ahead: a negative number may stand behind its
// flag as a word of its own.
func TestNegativeNumbers(t *testing.T) {
	for given, want := range map[string]string{
		"log join a b --offset -12.5 -o c":  "log join a b --offset=-12.5 -o c",
		"log join a b --offset -.5 -o -":    "log join a b --offset=-.5 -o -",
		"log join a b --offset=3 -1":        "log join a b --offset=3 -1",
		"log join a b -o -1":                "log join a b -o -1",
		"log convert -- -1 --for 2h --json": "log convert -- -1 --for 2h --json",
	} {
		if got := strings.Join(negatives(strings.Fields(given)), " "); got != want {
			t.Errorf("%s\n%s, want\n%s", given, got, want)
		}
	}
}

func write(t *testing.T, name, text string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}
