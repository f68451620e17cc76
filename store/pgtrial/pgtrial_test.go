package pgtrial

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// TestMain lets this program be the one that starts a server and ends at once.
func TestMain(m *testing.M) {
	if os.Getenv("RUNPROOF_TEST_START") != "" {
		start()
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// A server is gone with the process that wanted it, and so is its folder.
func TestServerEndsWithItsProcess(t *testing.T) {
	if _, err := programs(); err != nil {
		t.Skipf("NOT TESTED ON POSTGRESQL: %v", err)
	}
	dir := t.TempDir()
	if err := os.Chmod(dir, 0o777|os.ModeSticky); err != nil { // like the system's own: the server may run as another user
		t.Fatal(err)
	}
	if err := os.Chmod(filepath.Dir(dir), 0o755); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), "RUNPROOF_TEST_START=1", "TMPDIR="+dir)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	for range 100 {
		if left, err := os.ReadDir(dir); err == nil && len(left) == 0 {
			return
		}
		time.Sleep(100 * time.Millisecond)
	}
	left, _ := os.ReadDir(dir)
	t.Errorf("%v is left", left)
}
