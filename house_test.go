// Package runproof has no code at its root: this file holds the house rules as
// tests.
package runproof

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// rooms in reading order: an import may only point to a room named earlier. A
// sub-package belongs to its room unless it is listed itself.
var rooms = []string{
	"input", "measure", "counts", "check",
	"drill", "parts", "fit",
	"flowlog", "flowlog/mapping", "flowlog/csv", "flowlog/parquet", "flowlog/taskdata", "flowlog/can", "flowlog/nmea", "flowlog/gpx", "flowlog/formats",
	"track", "align", "ground",
	"allocate", "harness", "power", "bus", "radio", "workstate", "airflow", "practice", "plan",
	"walk", "evenness", "alarm", "review", "cost", "replay", "season", "simulate",
	"drawing/font", "drawing", "drawing/svg", "drawing/pdf", "views", "dossier", "yard", "spreadsheet", "offer", "export", "schema",
	"ledger",
	// shells
	"demo", "store", "cli", "cmd/runproof",
}

const firstShell = "demo"

// forbidden in rooms before the shells: they touch the world outside.
var forbidden = []string{"os", "os/exec", "os/signal", "net", "net/http", "database/sql", "log", "log/slog", "flag", "syscall"}

func TestImportsPointBackwards(t *testing.T) {
	eachFile(t, func(name string, f *ast.File) {
		at := roomOf(path.Dir(name))
		if at < 0 {
			t.Errorf("%s: package %s is in no room; add it to the list in house_test.go where its reader expects it", name, path.Dir(name))
			return
		}
		for _, imp := range f.Imports {
			p, _ := strconv.Unquote(imp.Path.Value)
			if own, ok := strings.CutPrefix(p, "runproof/"); ok {
				if to := roomOf(own); to > at {
					t.Errorf("%s imports %s, which comes later in the house; move the shared part to a room before both", name, own)
				}
			} else if at < slices.Index(rooms, firstShell) && slices.Contains(forbidden, p) {
				t.Errorf("%s imports %s; a domain package takes io.Reader and io.Writer, the shell opens files", name, p)
			}
		}
	})
}

// TestDomainHasNoClockNorGlobalChance keeps results the same for the same
// input: time and chance are arguments.
func TestDomainHasNoClockNorGlobalChance(t *testing.T) {
	banned := map[string][]string{
		"time": {"Now", "Since", "Until", "Sleep"},
		"rand": {"Float64", "NormFloat64", "ExpFloat64", "Int", "IntN", "N", "Uint64", "Perm", "Shuffle"},
	}
	eachFile(t, func(name string, f *ast.File) {
		if at := roomOf(path.Dir(name)); at < 0 || at >= slices.Index(rooms, firstShell) {
			return
		}
		imported := map[string]bool{}
		for _, imp := range f.Imports {
			p, _ := strconv.Unquote(imp.Path.Value)
			imported[strings.TrimSuffix(path.Base(p), "v2")] = true
			if p == "math/rand/v2" {
				imported["rand"] = true
			}
		}
		ast.Inspect(f, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if id, ok := sel.X.(*ast.Ident); ok && id.Obj == nil && imported[id.Name] && slices.Contains(banned[id.Name], sel.Sel.Name) {
				t.Errorf("%s calls %s.%s; take the time or a *rand.Rand made from a seed as an argument", name, id.Name, sel.Sel.Name)
			}
			return true
		})
	})
}

// TestEveryPackageSaysWhatItIs wants a package comment of some length.
func TestEveryPackageSaysWhatItIs(t *testing.T) {
	said := map[string]int{}
	eachFile(t, func(name string, f *ast.File) {
		dir := path.Dir(name)
		said[dir] = max(said[dir], len(f.Doc.Text()))
	})
	for dir, n := range said {
		if n < 60 {
			t.Errorf("package %s says too little of itself: write a doc.go", dir)
		}
	}
}

// roomOf is the index of the room that holds the package, -1 where none does.
func roomOf(dir string) int {
	for d := dir; d != "."; d = path.Dir(d) {
		if i := slices.Index(rooms, d); i >= 0 {
			return i
		}
	}
	return -1
}

// eachFile parses every non-test Go file of the house.
func eachFile(t *testing.T, fn func(name string, f *ast.File)) {
	t.Helper()
	err := filepath.WalkDir(".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && name != "." && (strings.HasPrefix(d.Name(), ".") || strings.HasPrefix(d.Name(), "_") || d.Name() == "testdata") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return nil
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments)
		if err == nil {
			fn(filepath.ToSlash(name), f)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}
