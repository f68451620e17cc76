package store_test

import (
	"bufio"
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	mrand "math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	_ "modernc.org/sqlite"

	"runproof/ledger"
	"runproof/store"
)

// The tests' own program is the writer when these are set.
const (
	writerEnv = "RUNPROOF_TEST_WRITER" // "until killed" or the number of revisions to write
	ledgerEnv = "RUNPROOF_TEST_LEDGER"
	filesEnv  = "RUNPROOF_TEST_FILES"
	jobEnv    = "RUNPROOF_TEST_JOB"
)

// writer writes, and prints a line for each transaction that was confirmed.
func writer() {
	l, err := store.Open(ctx, store.Config{DB: os.Getenv(ledgerEnv), Files: os.Getenv(filesEnv), Now: time.Now, Chance: rand.Reader})
	if err != nil {
		fmt.Println("error", err)
		return
	}
	defer l.Close()
	var j ledger.Job
	if err := l.Read(ctx, func(tx *store.Tx) error { j, err = tx.Job(os.Getenv(jobEnv)); return err }); err != nil {
		fmt.Println("error", err)
		return
	}
	fmt.Println("ready")
	most, err := strconv.Atoi(os.Getenv(writerEnv))
	for n := 0; err != nil || n < most; n++ {
		line, werr := writeRevision(l, j, n)
		if werr != nil {
			fmt.Println("error", werr)
			return
		}
		fmt.Println(line)
	}
}

// writeRevision adds a note with a recording, and a fit that follows the one that
// stands, in one transaction. Where another was first it tries again.
func writeRevision(l *store.Ledger, j ledger.Job, n int) (string, error) {
	recording := make([]byte, 1000+mrand.IntN(200_000))
	rand.Read(recording)
	file, err := l.Keep(ctx, "day.parquet", strings.NewReader(string(recording)))
	if err != nil {
		return "", err
	}
	fit, err := l.Keep(ctx, "fit.json", strings.NewReader(rand.Text()))
	if err != nil {
		return "", err
	}
	for {
		tips, err := tipsOf(l, j)
		if err != nil {
			return "", err
		}
		r := &ledger.Revision{Number: n + 1, Hash: fit.SHA256, Drill: "D", Runs: 1, Placed: []ledger.Placed{{Serial: j.Handle + "-" + strconv.Itoa(n%3), Head: "A"}}}
		for _, e := range tips {
			r.Follows = append(r.Follows, e.Revision.Hash)
		}
		var note, rev ledger.Entry
		err = l.Write(ctx, func(tx *store.Tx) error {
			if note, err = tx.Append(j, store.Draft{Kind: ledger.Log, By: "Ana", Text: "recording", Files: []ledger.File{file}}); err != nil {
				return err
			}
			rev, err = tx.Append(j, store.Draft{Kind: ledger.Fit, By: "Ana", Files: []ledger.File{fit}, Revision: r})
			return err
		})
		if stale := (ledger.Stale{}); errors.As(err, &stale) {
			continue
		}
		return fmt.Sprintf("kept %s %s", note.ID, rev.ID), err
	}
}

func tipsOf(l *store.Ledger, j ledger.Job) (tips []ledger.Entry, err error) {
	err = l.Read(ctx, func(tx *store.Tx) error {
		es, err := tx.History(j.ID)
		tips = ledger.Tips(es)
		return err
	})
	return tips, err
}

// start runs the tests' program as a writer and gives the lines that it confirms.
func start(t *testing.T, c store.Config, job, how string) (*exec.Cmd, *bufio.Scanner) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), writerEnv+"="+how, ledgerEnv+"="+c.DB, filesEnv+"="+c.Files, jobEnv+"="+job)
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	if !lines.Scan() || lines.Text() != "ready" {
		t.Fatalf("the writer says %q", lines.Text())
	}
	return cmd, lines
}

// kills is how often a writer is killed: RUNPROOF_KILLS, else enough to meet every
// stretch of the writing.
func kills(usual int) int {
	if n, err := strconv.Atoi(os.Getenv("RUNPROOF_KILLS")); err == nil {
		return n
	}
	return usual
}

// A writer killed at a random point loses nothing that it confirmed, and leaves
// nothing half. The points are spread over a few writes: one takes 10 to 40 ms.
func TestKilledWriterLosesNothing(t *testing.T) {
	onBoth(t, func(t *testing.T, c store.Config) {
		usual := 40
		if store.IsPostgres(c.DB) {
			usual = 15
		}
		l := opened(t, c)
		rng := mrand.New(mrand.NewPCG(6, 6))
		confirmed, rounds := 0, kills(usual)
		for k := range rounds {
			j := newJob(t, l, fmt.Sprintf("round-%d", k))
			kept := killedWriter(t, c, j.Handle, time.Duration(rng.Int64N(int64(120*time.Millisecond))))
			confirmed += len(kept)
			whole(t, l, j, kept)
			if c.Files == "" {
				integrity(t, c.DB)
			}
		}
		before := dump(t, l)
		write(t, l, func(tx *store.Tx) error { return tx.Refold() })
		if dump(t, l) != before {
			t.Error("what is worked out from the entries is not what was written")
		}
		t.Logf("%d writers killed, %d transactions confirmed, all there", rounds, confirmed)
		if confirmed < rounds/4 {
			t.Errorf("only %d transactions confirmed in %d rounds: the test says little", confirmed, rounds)
		}
	})
}

// killedWriter kills a writer after a while and gives what it had confirmed.
func killedWriter(t *testing.T, c store.Config, job string, after time.Duration) (kept []string) {
	t.Helper()
	cmd, lines := start(t, c, job, "until killed")
	kill := time.AfterFunc(after, func() { cmd.Process.Kill() })
	defer kill.Stop()
	for lines.Scan() {
		if ids, ok := strings.CutPrefix(lines.Text(), "kept "); ok && len(ids) == 2*26+1 {
			kept = append(kept, ids)
		} else if strings.HasPrefix(lines.Text(), "error") {
			t.Error(lines.Text())
		}
	}
	cmd.Wait()
	return kept
}

// whole checks that a job holds what was confirmed, and all of each transaction.
func whole(t *testing.T, l *store.Ledger, j ledger.Job, kept []string) {
	t.Helper()
	es := read(t, l, func(tx *store.Tx) ([]ledger.Entry, error) { return tx.History(j.ID) })
	there := map[ledger.ID]bool{}
	count := map[ledger.Kind]int{}
	for _, e := range es {
		there[e.ID] = true
		count[e.Kind]++
		for _, f := range e.Files {
			if _, err := l.Bytes(ctx, f); err != nil {
				t.Errorf("%s of entry %s: %v", f.Name, e.ID, err)
			}
		}
	}
	for _, ids := range kept {
		for id := range strings.FieldsSeq(ids) {
			if !there[ledger.ID(id)] {
				t.Errorf("job %s: confirmed entry %s is lost", j.Handle, id)
			}
		}
	}
	if count[ledger.Log] != count[ledger.Fit] || count[ledger.Fit] < len(kept) || count[ledger.Fit] > len(kept)+1 {
		t.Errorf("job %s: %d recordings, %d fits, %d transactions confirmed", j.Handle, count[ledger.Log], count[ledger.Fit], len(kept))
	}
	if tips := ledger.Tips(es); len(tips) > 1 {
		t.Errorf("job %s: %d fits stand", j.Handle, len(tips))
	}
}

// integrity asks SQLite itself.
func integrity(t *testing.T, file string) {
	t.Helper()
	if strings.ContainsAny(file, "%?") {
		file = "file:" + strings.NewReplacer("%", "%25", "?", "%3f").Replace(file)
	}
	db, err := sql.Open("sqlite", file)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	var said string
	if err := db.QueryRowContext(context.Background(), `PRAGMA integrity_check`).Scan(&said); err != nil || said != "ok" {
		t.Errorf("integrity: %s %v", said, err)
	}
}

// Two processes that write fits onto what stands, at once: each that was confirmed
// is there, and each follows the one before.
func TestTwoProcessesLoseNoUpdate(t *testing.T) {
	onBoth(t, func(t *testing.T, c store.Config) {
		l := opened(t, c)
		j := newJob(t, l, "both")
		const each = 25
		a, fromA := start(t, c, j.Handle, strconv.Itoa(each))
		b, fromB := start(t, c, j.Handle, strconv.Itoa(each))
		var kept []string
		for _, lines := range []*bufio.Scanner{fromA, fromB} {
			for lines.Scan() {
				kept = append(kept, strings.TrimPrefix(lines.Text(), "kept "))
			}
		}
		a.Wait()
		b.Wait()
		if len(kept) != 2*each {
			t.Fatalf("%d of %d confirmed: %v", len(kept), 2*each, kept)
		}
		whole(t, l, j, kept)
		chain(t, l, j, 2*each)
	})
}

// chain checks that the fits of a job follow each other one by one.
func chain(t *testing.T, l *store.Ledger, j ledger.Job, n int) {
	t.Helper()
	fits := ledger.Fits(read(t, l, func(tx *store.Tx) ([]ledger.Entry, error) { return tx.History(j.ID) }))
	followers := map[string]int{}
	for _, e := range fits {
		for _, h := range e.Revision.Follows {
			followers[h]++
		}
	}
	for h, k := range followers {
		if k != 1 {
			t.Errorf("%d fits follow %s", k, h[:8])
		}
	}
	if len(fits) != n || len(followers) != n-1 {
		t.Errorf("%d fits, %d of them followed; want %d in a row", len(fits), len(followers), n)
	}
}
