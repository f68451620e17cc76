package cli

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"runproof/drill"
	"runproof/fit"
	"runproof/ledger"
	"runproof/store/pgtrial"
)

// workshop is a folder with a drill, its planned fit with serials, a recording and
// a picture, in which commands run.
func workshop(t *testing.T) {
	t.Helper()
	t.Chdir(t.TempDir())
	t.Setenv("RUNPROOF_BY", "Ana")
	ok(t, "drill", "new", "--rows", "20", "--spacing", "25cm", "--products", "seed", "--materials", "wheat", "--rates", "110", "--heads", "2", "-o", "drill.yaml")
	write(t, "serials.txt", "4103\n4106\n4109\n4118\n")
	ok(t, "plan", "drill.yaml", "--serials", "serials.txt", "-o", "fit.json")
	write(t, "day.csv", "time,4103:1,4103:2\n2026-05-12T09:15:30Z,4,5\n2026-05-12T09:15:31Z,5,\n2026-05-12T09:15:32Z,6,4\n")
	write(t, "boot.jpg", "not really a picture")
}

// ok runs a command that must end well, and gives what it says.
func ok(t *testing.T, args ...string) string {
	t.Helper()
	status, out, errw := runproof(t, "", args...)
	if status != ExitDone {
		t.Fatalf("%v: status %d\n%s%s", args, status, out, errw)
	}
	return out
}

// refused runs a command that must not, and wants words in what it says.
func refused(t *testing.T, want string, args ...string) {
	t.Helper()
	if status, _, errw := runproof(t, "", args...); status != ExitInput || !strings.Contains(errw, want) {
		t.Errorf("%v: status %d, %q lacks %q", args, status, errw, want)
	}
}

func says(t *testing.T, out string, want ...string) {
	t.Helper()
	for _, w := range want {
		if !strings.Contains(out, w) {
			t.Errorf("lacks %q:\n%s", w, out)
		}
	}
}

// One battery for both databases: a job from its opening to its zip.
func TestJobFromOpeningToZip(t *testing.T) {
	t.Run("sqlite", func(t *testing.T) { jobFromOpeningToZip(t) })
	t.Run("postgres", func(t *testing.T) {
		t.Setenv("RUNPROOF_DB", pgtrial.URL(t))
		t.Setenv("RUNPROOF_FILES", filepath.Join(t.TempDir(), "files"))
		jobFromOpeningToZip(t)
	})
}

func jobFromOpeningToZip(t *testing.T) {
	workshop(t)
	refused(t, "runproof job new", "job", "list")
	says(t, ok(t, "job", "new", "North farm", "--customer", "Ada Grower", "--reach", "555 0142", "--drill", "drill.yaml", "--fit", "fit.json"), "job north-farm: North farm")
	refused(t, "already: North farm", "job", "new", "North farm")
	refused(t, "holds this fit already", "job", "add", "north-farm", "fit.json")
	refused(t, `no job "north-fram"; did you mean north-farm?`, "job", "show", "north-fram")
	refused(t, "no time", "visit", "north-farm", "x", "--on", "yesterday")

	says(t, ok(t, "job", "add-log", "north-farm", "day.csv"), "3 samples of 2 columns, 2026-05-12T09:15:30Z to 2026-05-12T09:15:32Z", "2026-05-12 09:15  log")
	refused(t, "holds this recording already", "job", "add-log", "north-farm", "day.csv")
	refused(t, "boot.jpg", "job", "add-log", "north-farm", "boot.jpg")
	says(t, ok(t, "job", "add", "north-farm", "boot.jpg", "--note", "boot of A-7 worn", "--on", "2026-05-13"), "2026-05-13 00:00  photo     boot of A-7 worn")
	says(t, ok(t, "visit", "north-farm", "Ada Grower was out", "--on", "2026-05-14T08:00Z"), "visit     Ada Grower was out")

	refused(t, "says where it is after that", "swap", "north-farm", "4103", "4188", "--on", "2020-01-01")
	f := ok(t, "swap", "north-farm", "4103", "4188", "--why", "port 7 dead", "--gone", "returned")
	says(t, f, "node 4103 exchanged for 4188; taken off: returned", "revision 2", "no more on the drill: 4103")
	refused(t, `no node "4103"`, "swap", "north-farm", "4103", "4190")
	refused(t, "what became of a part", "swap", "north-farm", "4188", "4190", "--gone", "lost")
	says(t, ok(t, "swap", "north-farm", "A-7", "--part", "sensor", "--why", "counts faded"), "at A-7: sensor exchanged for a new one")
	says(t, ok(t, "serial", "show", "4103"), "on north-farm at A", "off north-farm, returned")
	refused(t, "did you mean 4188?", "serial", "show", "4198")

	// a fit made from what no longer stands is not lost and does not overwrite
	ok(t, "fit", "move", "fit.json", freeMove(t, "fit.json")[0], freeMove(t, "fit.json")[1], "-o", "late.json")
	refused(t, "does not follow it", "job", "add", "north-farm", "late.json")
	hash := strings.Fields(ok(t, "job", "get", "north-farm", "-o", "stands.json"))[1][1:9]
	says(t, ok(t, "job", "add", "north-farm", "late.json", "--onto", hash, "--moved"), "follows "+hash)

	says(t, ok(t, "job", "show", "north-farm"), "customer Ada Grower, 555 0142", "holds: survey 1, fit 3, log 1, visit 1, swap 2, photo 1")
	says(t, ok(t, "job", "list", "ada", "4188"), "1 job found")
	says(t, ok(t, "job", "history", "north-farm", "--kind", "swap"), "why: port 7 dead")
	zipAndBack(t)
}

// freeMove is a run of the fit and a free port of its node, or of the first with one.
func freeMove(t *testing.T, name string) [2]string {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	f, err := fit.Read(bytes.NewReader(b), name)
	if err != nil {
		t.Fatal(err)
	}
	used := map[fit.PortRef]bool{}
	for _, l := range f.Map {
		used[l.Ref()] = true
	}
	for _, n := range f.Nodes {
		for p := 1; p <= n.Ports; p++ {
			if ref := (fit.PortRef{Node: n.Serial, Port: p}); !used[ref] {
				for _, l := range f.Map {
					if l.Node == n.Serial {
						return [2]string{string(l.Run), ref.String()}
					}
				}
			}
		}
	}
	t.Fatal("the fit has no free port; plan it with --spare-ports")
	return [2]string{}
}

// zipAndBack packs the job and brings it into another ledger, where it is packed
// to the same bytes; the Parquet in it holds what the CSV did.
func zipAndBack(t *testing.T) {
	t.Helper()
	ok(t, "job", "export", "north-farm", "-o", "n.zip")
	ok(t, "job", "import", "n.zip", "--db", "other.db", "--files", "other.files")
	says(t, ok(t, "job", "import", "n.zip", "--db", "other.db", "--files", "other.files"), "0 entries came in")
	ok(t, "job", "export", "north-farm", "-o", "n2.zip", "--db", "other.db", "--files", "other.files")
	one, two := content(t, "n.zip"), content(t, "n2.zip")
	if !bytes.Equal(one, two) {
		t.Error("the job in another ledger gives another zip")
	}
	if bytes.Contains(one, []byte("555 0142")) {
		t.Error("the zip tells how to reach the customer, unasked")
	}
	z, err := zip.NewReader(bytes.NewReader(one), int64(len(one)))
	if err != nil {
		t.Fatal(err)
	}
	names := map[string][]byte{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if names[f.Name], err = io.ReadAll(r); err != nil {
			t.Fatal(err)
		}
	}
	for _, want := range []string{"index.html", "job.json", "drill.yaml", "fit.json", "map.csv", "dossier.pdf"} {
		if len(names[want]) == 0 {
			t.Errorf("the zip lacks %s", want)
		}
	}
	if _, err := drill.Read(bytes.NewReader(names["drill.yaml"]), "drill.yaml"); err != nil {
		t.Error(err)
	}
	if !bytes.HasPrefix(names["dossier.pdf"], []byte("%PDF-")) {
		t.Error("the book is no PDF")
	}
	for n, b := range names {
		if strings.HasSuffix(n, ".parquet") {
			write(t, "unpacked.parquet", string(b))
		}
	}
	ok(t, "log", "convert", "unpacked.parquet", "-o", "unpacked.csv")
	if got, want := string(content(t, "unpacked.csv")), string(content(t, "day.csv")); got != want {
		t.Errorf("the Parquet holds\n%s, want\n%s", got, want)
	}
}

func content(t *testing.T, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestBackupRestoreForget(t *testing.T) {
	workshop(t)
	write(t, "quote.txt", "Offer to Ada Grower")
	ok(t, "job", "new", "Ada Grower 60", "--customer", "Ada Grower", "--fit", "fit.json")
	ok(t, "job", "add", "ada-grower-60", "quote.txt", "boot.jpg", "--note", "for ada grower")
	ok(t, "backup", "-o", "b.zip")
	ok(t, "restore", "b.zip", "--db", "r.db")
	refused(t, "there is a ledger already", "restore", "b.zip", "--db", "r.db")
	ok(t, "backup", "-o", "b2.zip", "--db", "r.db")
	if !bytes.Equal(content(t, "b.zip"), content(t, "b2.zip")) {
		t.Error("restored differs from its source")
	}
	refused(t, "not a backup", "restore", "fit.json", "--db", "x.db")
	refused(t, "did you mean Ada Grower?", "forget", "Ada Growr")
	status, out, _ := runproof(t, "", "forget", "Ada Grower")
	if status != ExitAttention {
		t.Errorf("status %d though a file names the customer", status)
	}
	says(t, out, "still named in: quote.txt")
	if out := ok(t, "job", "list"); strings.Contains(strings.ToLower(out), "ada") {
		t.Errorf("the list still says %s", out)
	}
	if _, out, _ := runproof(t, "", "forget", "ada grower", "--look", "--db", "r.db"); !strings.Contains(out, "look into: boot.jpg of ") {
		t.Errorf("looking says %s", out)
	}
	photo := sha256.Sum256(content(t, "boot.jpg"))
	says(t, ok(t, "forget", "ada grower", "--erase-files", "--erase", hex.EncodeToString(photo[:4]), "--db", "r.db"), "erased: quote.txt", "erased: boot.jpg")
	if out := ok(t, "job", "list", "--db", "r.db", "--json"); strings.Contains(strings.ToLower(out), "grower") {
		t.Errorf("the list still says %s", out)
	}
}

// Every command's result document is JSON that says what it is, and goes out alone.
func TestLedgerDocuments(t *testing.T) {
	workshop(t)
	for want, args := range map[string][]string{
		"job/1": {"job", "new", "A", "--fit", "fit.json"},
	} {
		document(t, want, args)
	}
	for _, c := range []struct {
		want string
		args []string
	}{
		{"jobs/1", []string{"job", "list"}},
		{"job/1", []string{"job", "show", "a"}},
		{"added/1", []string{"job", "add", "a", "--note", "x"}},
		{"added/1", []string{"job", "add-log", "a", "day.csv"}},
		{"added/1", []string{"visit", "a", "x"}},
		{"added/1", []string{"swap", "a", "4103", "4188"}},
		{"serial/1", []string{"serial", "show", "4103"}},
		{"history/1", []string{"job", "history", "a"}},
		{"packed/1", []string{"job", "export", "a", "-o", "a.zip"}},
		{"merged/1", []string{"job", "import", "a.zip"}},
		{"backup/1", []string{"backup", "-o", "b.zip"}},
		{"backup/1", []string{"restore", "b.zip", "--db", "c.db"}},
	} {
		document(t, c.want, c.args)
	}
}

func document(t *testing.T, want string, args []string) {
	t.Helper()
	out := ok(t, append(args, "--json")...)
	var doc struct {
		Runproof string `json:"runproof"`
	}
	if err := json.Unmarshal([]byte(out), &doc); err != nil || doc.Runproof != want {
		t.Errorf("%v: %q, %v", args, doc.Runproof, err)
	}
}

// Of a planned fit with everything in it, an exchanged node's old number stays
// nowhere but in what the fit was made from.
func TestExchangeLeavesNoOldSerial(t *testing.T) {
	workshop(t)
	b := content(t, "fit.json")
	f, err := fit.Read(bytes.NewReader(b), "fit.json")
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Count(b, []byte(`4103`)) < 10 {
		t.Fatal("the fit hardly names its node: the test says little")
	}
	next, err := f.Exchange("4103", "ZZ-9", fit.Provenance{})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := next.Write(&out); err != nil {
		t.Fatal(err)
	}
	if bytes.Contains(out.Bytes(), []byte("4103")) {
		i := bytes.Index(out.Bytes(), []byte("4103"))
		t.Errorf("the old number is still there: %s", out.Bytes()[max(0, i-200):i+50])
	}
	if r := ledger.RevisionOf(f, strings.Repeat("0", 64)); len(r.Placed) != len(f.Nodes) {
		t.Errorf("placed %v", r.Placed)
	}
}
