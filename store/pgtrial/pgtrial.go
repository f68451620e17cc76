// Package pgtrial gives tests a PostgreSQL server of their own: it is made in a
// temporary folder, listens on loopback only, wants a password, and is gone when
// the test's process ends, however that ends. Each test gets an empty schema.
//
// Where there is no PostgreSQL the tests that want one are skipped, and say so;
// make test installs it.
package pgtrial

import (
	"bytes"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"net"
	"net/url"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"runtime"
	"strconv"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	_ "github.com/jackc/pgx/v5/stdlib" // driver "pgx"
)

var (
	once    sync.Once
	failure error
	schemas atomic.Int64

	server struct {
		at       string    // its address, without a schema
		lifeline io.Closer // the guard's standard input: never written to, it ends with this process, and not before
	}
)

// URL is the address of an empty schema that no other test uses.
func URL(t testing.TB) string {
	t.Helper()
	once.Do(func() { server.at, failure = start() })
	if failure != nil {
		t.Skipf("NOT TESTED ON POSTGRESQL: %v; make test installs it where it can", failure)
	}
	db, err := sql.Open("pgx", server.at)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	name := fmt.Sprintf("t%d", schemas.Add(1))
	if _, err := db.Exec("CREATE SCHEMA " + name); err != nil {
		t.Fatal(err)
	}
	return server.at + "?search_path=" + name
}

// guard runs the server until standard input ends, which it does when the test's
// process does, and clears up. Its arguments: folder, program, the program's own.
// A server that has hardly begun does not hear the signal yet: it is told again.
const guard = `dir=$1; shift; "$@" >"$dir/log" 2>&1 & p=$!; cat >/dev/null
for i in 1 2 3 4 5 6 7 8 9 10; do kill -QUIT $p 2>/dev/null; sleep 0.2; done
kill -KILL $p 2>/dev/null; wait $p; rm -rf "$dir"`

func start() (string, error) {
	bin, err := programs()
	if err != nil {
		return "", err
	}
	dir, err := os.MkdirTemp("", "runproof-pg-*")
	if err != nil {
		return "", err
	}
	as, err := unprivileged(dir)
	if err != nil {
		return "", err
	}
	password := rand.Text()
	secret := filepath.Join(dir, "password")
	if err := os.WriteFile(secret, []byte(password), 0o644); err != nil {
		return "", err
	}
	data := filepath.Join(dir, "data")
	if out, err := run(as, filepath.Join(bin, "initdb"), "-D", data, "-U", "trial", "-A", "scram-sha-256", "--pwfile", secret, "--locale=C", "-E", "UTF8", "--no-sync").CombinedOutput(); err != nil {
		return "", fmt.Errorf("initdb: %w: %s", err, bytes.TrimSpace(out))
	}
	port, err := freePort()
	if err != nil {
		return "", err
	}
	cmd := run(as, "sh", "-c", guard, "sh", dir, filepath.Join(bin, "postgres"), "-D", data,
		"-c", "listen_addresses=127.0.0.1", "-c", "port="+strconv.Itoa(port), "-c", "unix_socket_directories=", "-c", "shared_buffers=32MB")
	if server.lifeline, err = cmd.StdinPipe(); err != nil {
		return "", err
	}
	if err := cmd.Start(); err != nil {
		return "", err
	}
	u := url.URL{Scheme: "postgres", User: url.UserPassword("trial", password), Host: net.JoinHostPort("127.0.0.1", strconv.Itoa(port)), Path: "/postgres"}
	return u.String(), await(u.String(), filepath.Join(dir, "log"))
}

// programs is the folder of initdb and postgres.
func programs() (string, error) {
	if runtime.GOOS == "windows" {
		return "", errors.New("the tests do not start PostgreSQL on Windows")
	}
	if at, err := exec.LookPath("initdb"); err == nil {
		if _, err := exec.LookPath(filepath.Join(filepath.Dir(at), "postgres")); err == nil {
			return filepath.Dir(at), nil
		}
	}
	found, _ := filepath.Glob("/usr/lib/postgresql/*/bin/initdb")
	if len(found) == 0 {
		return "", errors.New("initdb is not to be found")
	}
	return filepath.Dir(found[len(found)-1]), nil
}

// unprivileged gives the folder to a user who may run the server, which root may
// not, and says the words before a command that run it as that user.
func unprivileged(dir string) ([]string, error) {
	if os.Getuid() != 0 {
		return nil, nil
	}
	for _, name := range []string{"postgres", "nobody"} {
		u, err := user.Lookup(name)
		if err != nil {
			continue
		}
		uid, _ := strconv.Atoi(u.Uid)
		gid, _ := strconv.Atoi(u.Gid)
		if err := os.Chown(dir, uid, gid); err != nil {
			return nil, err
		}
		return []string{"runuser", "-u", name, "--"}, nil
	}
	return nil, errors.New("there is no user whom the server could run as")
}

func run(as []string, words ...string) *exec.Cmd {
	words = append(append([]string{}, as...), words...)
	cmd := exec.Command(words[0], words[1:]...)
	cmd.Dir = os.TempDir()
	return cmd
}

func freePort() (int, error) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return 0, err
	}
	defer l.Close()
	return l.Addr().(*net.TCPAddr).Port, nil
}

// await waits until the server answers.
func await(at, log string) error {
	db, err := sql.Open("pgx", at)
	if err != nil {
		return err
	}
	defer db.Close()
	for range 300 {
		if err = db.Ping(); err == nil {
			return nil
		}
		time.Sleep(100 * time.Millisecond)
	}
	said, _ := os.ReadFile(log)
	return fmt.Errorf("the server does not answer: %w: %s", err, said)
}
