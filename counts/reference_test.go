package counts

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/big"
	"os"
	"strings"
	"testing"
)

// checkItem is one check value of testdata/reference.json: a copy of sections 1 to
// 5 of the project's collection of published and independently computed
// values (R 4.2.2 with spc 0.6.7, MASS and surveillance 1.20.3; Python with
// scipy 1.10.1 and mpmath; published tables as named). Each item carries its
// own source and tolerance.
type checkItem struct {
	ID        string
	What      string
	Inputs    map[string]any
	Expected  any
	Tolerance map[string]any
	Source    string
}

// references returns the items whose id starts with prefix; none is a failure.
func references(t testing.TB, prefix string) []checkItem {
	t.Helper()
	raw, err := os.ReadFile("testdata/reference.json")
	if err != nil {
		t.Fatal(err)
	}
	var all, out []checkItem
	if err := json.NewDecoder(bytes.NewReader(raw)).Decode(&all); err != nil {
		t.Fatal(err)
	}
	for _, it := range all {
		if strings.HasPrefix(it.ID, prefix) {
			out = append(out, it)
		}
	}
	if len(out) == 0 {
		t.Fatalf("no check values named %q", prefix)
	}
	return out
}

// number reads a JSON number or a fraction like "1/12".
func number(v any) float64 {
	switch v := v.(type) {
	case float64:
		return v
	case string:
		r, ok := new(big.Rat).SetString(v)
		if !ok {
			panic(fmt.Sprintf("not a number: %q", v))
		}
		f, _ := r.Float64()
		return f
	}
	panic(fmt.Sprintf("not a number: %v", v))
}

func numbers(v any) []float64 {
	list := v.([]any)
	out := make([]float64, len(list))
	for i := range list {
		out[i] = number(list[i])
	}
	return out
}

func ints(v any) []int {
	list := v.([]any)
	out := make([]int, len(list))
	for i := range list {
		out[i] = int(number(list[i]))
	}
	return out
}

func (c checkItem) in(key string) float64 { return number(c.Inputs[key]) }

func (c checkItem) inInt(key string) int { return int(number(c.Inputs[key])) }

func (c checkItem) want(key string) float64 { return number(c.Expected.(map[string]any)[key]) }

// check compares with the item's own tolerance.
func (c checkItem) check(t *testing.T, name string, got, want float64) {
	t.Helper()
	tol, ok := c.Tolerance["rel"]
	if !ok {
		tol = c.Tolerance["computed_rel"]
	}
	near(t, c.ID+" "+name, got, want, number(tol))
}

func near(t *testing.T, name string, got, want, rel float64) {
	t.Helper()
	if got == want {
		return
	}
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s: got %.15g, want %.15g (off by %.2g, allowed %.2g)", name, got, want, math.Abs(got/want-1), rel)
	}
}
