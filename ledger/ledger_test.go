package ledger

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"runproof/drill"
)

func at(day int) time.Time { return time.Date(2026, 4, day, 8, 0, 0, 0, time.UTC) }

// The example of the ULID specification (github.com/ulid/spec, from memory): 1469918176385 ms is 01ARYZ6S41.
func TestIDPublished(t *testing.T) {
	id := NewID(time.UnixMilli(1469918176385), Chance{})
	if id != "01ARYZ6S410000000000000000" {
		t.Error(id)
	}
	if last := NewID(time.UnixMilli(1<<48-1), Chance{255, 255, 255, 255, 255, 255, 255, 255, 255, 255}); last != "7ZZZZZZZZZZZZZZZZZZZZZZZZZ" {
		t.Error(last) // the largest, by the same source
	}
}

func TestIDLaws(t *testing.T) {
	draw := func(t *rapid.T, name string) (time.Time, Chance) {
		var c Chance
		copy(c[:], rapid.SliceOfN(rapid.Byte(), 10, 10).Draw(t, name+" chance"))
		return time.UnixMilli(rapid.Int64Range(0, 1<<48-1).Draw(t, name)).UTC(), c
	}
	rapid.Check(t, func(t *rapid.T) {
		ta, ca := draw(t, "a")
		tb, cb := draw(t, "b")
		a, b := NewID(ta, ca), NewID(tb, cb)
		if a.Check() != nil || !a.Made().Equal(ta) {
			t.Fatalf("%s was made %v", a, a.Made())
		}
		if ta.Before(tb) != (a[:10] < b[:10]) || (a == b) != (ta.Equal(tb) && ca == cb) {
			t.Fatalf("%s and %s", a, b)
		}
		if n := a.After(b); n <= b && b != "7ZZZZZZZZZZZZZZZZZZZZZZZZZ" || n.Check() != nil && b < "7ZZZZZZZZZZZZZZZZZZZZZZZZZ" {
			t.Fatalf("%s after %s is %s", a, b, n)
		}
	})
	for _, bad := range []ID{"", "8ZZZZZZZZZZZZZZZZZZZZZZZZZ", "01ARYZ6S41000000000000000I", "01aryz6s410000000000000000", "01ARYZ6S4100000000000000000"} {
		if bad.Check() == nil {
			t.Errorf("%q passes for an id", bad)
		}
	}
}

func id(n int) ID { return NewID(at(1), Chance{9: byte(n)}) }

// swap and placed are moves of one serial, by entry n of job j.
func off(n, job, day int, fate Fate) Move {
	return Move{Serial: "4103", Entry: id(n), At: at(day), Job: id(100 + job), Fate: fate}
}

func put(n, job, day int, head string) Move {
	return Move{Serial: "4103", Entry: id(n), At: at(day), Job: id(100 + job), On: true, Place: drill.HeadID(head)}
}

func TestStays(t *testing.T) {
	late := off(2, 1, 3, Unknown)
	late.Late = true
	for name, c := range map[string]struct {
		moves []Move
		want  string
	}{
		"nothing":                    {nil, ""},
		"put on":                     {[]Move{put(1, 1, 2, "A")}, "2:A"},
		"told twice":                 {[]Move{put(1, 1, 2, "A"), put(2, 1, 3, "A")}, "2:A"},
		"from head to head":          {[]Move{put(1, 1, 2, "A"), put(2, 1, 3, "B")}, "2:A 3:B"},
		"to the shelf and on again":  {[]Move{put(1, 1, 2, "A"), off(2, 1, 3, Shelf), put(3, 2, 4, "C")}, "2:A 3:shelf 4:C"},
		"told in another order":      {[]Move{put(3, 2, 4, "C"), off(2, 1, 3, Shelf), put(1, 1, 2, "A")}, "2:A 3:shelf 4:C"},
		"on two drills":              {[]Move{put(1, 1, 2, "A"), put(2, 2, 3, "B")}, "2:A 3:B?"},
		"scrapped and back":          {[]Move{off(1, 1, 2, Scrapped), put(2, 1, 3, "A")}, "2:scrapped 3:A?"},
		"off a drill it was not on":  {[]Move{put(1, 1, 2, "A"), off(2, 2, 3, Shelf)}, "2:A 3:shelf?"},
		"a fit lacks what was on it": {[]Move{put(1, 1, 2, "A"), late}, "2:A 3:unknown"},
		"a fit lacks what had left":  {[]Move{put(1, 1, 1, "A"), off(3, 1, 2, Returned), late}, "1:A 2:returned"},
		"a fit lacks what never was": {[]Move{late}, ""},
	} {
		var got []string
		for _, s := range Stays(c.moves) {
			where := string(s.Place)
			if !s.On {
				where = s.Fate.String()
			}
			if s.Doubt != "" {
				where += "?"
			}
			got = append(got, fmt.Sprintf("%d:%s", s.Since.Day(), where))
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s: %v, want %s", name, got, c.want)
		}
	}
}

// What is known is a function of the set of entries: their order of coming does
// not count.
func TestOrderOfComingDoesNotCount(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var moves []Move
		var es []Entry
		for n := range rapid.IntRange(1, 10).Draw(t, "n") {
			job, day := rapid.IntRange(1, 2).Draw(t, "job"), rapid.IntRange(1, 5).Draw(t, "day")
			if rapid.Bool().Draw(t, "on") {
				moves = append(moves, put(n, job, day, rapid.SampledFrom([]string{"A", "B"}).Draw(t, "head")))
			} else {
				moves = append(moves, off(n, job, day, Fate(rapid.IntRange(0, 3).Draw(t, "fate"))))
			}
			r := &Revision{Hash: fmt.Sprintf("%064d", n), Drill: "D"}
			if k := rapid.IntRange(-1, n-1).Draw(t, "follows"); k >= 0 {
				r.Follows = []string{fmt.Sprintf("%064d", k)}
			}
			es = append(es, Entry{ID: id(n), Job: id(99), Kind: Fit, At: at(day), Revision: r})
		}
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		moves2, es2 := slices.Clone(moves), slices.Clone(es)
		rng.Shuffle(len(moves), func(i, j int) { moves2[i], moves2[j] = moves2[j], moves2[i] })
		rng.Shuffle(len(es), func(i, j int) { es2[i], es2[j] = es2[j], es2[i] })
		if !slices.Equal(Stays(moves), Stays(moves2)) {
			t.Fatalf("%v\n%v", Stays(moves), Stays(moves2))
		}
		if a, b := fmt.Sprint(hashes(Tips(es))), fmt.Sprint(hashes(Tips(es2))); a != b || len(Tips(es)) == 0 {
			t.Fatalf("%s\n%s", a, b)
		}
		if SearchText(es, Customer{}) != SearchText(es2, Customer{}) {
			t.Fatal("the search text differs")
		}
	})
}

func hashes(es []Entry) (out []string) {
	for _, e := range es {
		out = append(out, e.Revision.Hash)
	}
	return out
}

func sound() Entry {
	return Entry{ID: id(1), Job: id(2), Kind: Note, At: at(1), Noted: at(2), By: "Ana", Text: "line 1\nline <2> & \"ä\""}
}

func TestCheck(t *testing.T) {
	if err := sound().Check(); err != nil {
		t.Fatal(err)
	}
	file := File{Name: "a/b.txt", SHA256: strings.Repeat("a", 64), Media: "text/plain"}
	for what, change := range map[string]func(*Entry){
		"id":              func(e *Entry) { e.ID = "x" },
		"cannot be kept":  func(e *Entry) { e.At = e.At.Add(time.Microsecond) },
		"time":            func(e *Entry) { e.Noted = e.Noted.In(time.FixedZone("", 3600)) },
		"who wrote it":    func(e *Entry) { e.By = " " },
		"no text":         func(e *Entry) { e.By = "A\x00" },
		"the reason":      func(e *Entry) { e.Why = "\xff" },
		"has over":        func(e *Entry) { e.Text = strings.Repeat("ä", maxText+1) },
		"no kind":         func(e *Entry) { e.Kind = 0 },
		"says nothing":    func(e *Entry) { e.Text = "" },
		"do not go with":  func(e *Entry) { e.Revision = &Revision{} },
		"two files":       func(e *Entry) { e.Files = []File{file, file} },
		"cannot be calle": func(e *Entry) { f := file; f.Name = "../x"; e.Files = []File{f} },
		"no proper hash":  func(e *Entry) { f := file; f.SHA256 = strings.Repeat("A", 64); e.Files = []File{f} },
		"for itself":      func(e *Entry) { e.Kind, e.Exchange = Swap, &Exchange{Place: "A", Part: "node", Out: "1", In: "1"} },
		"no hash of":      func(e *Entry) { e.Kind, e.Revision = Fit, &Revision{Hash: "1"} },
		"job cannot be":   func(e *Entry) { e.Kind, e.Opening = Opened, &Opening{Handle: "A b", Title: "T"} },
	} {
		e := sound()
		change(&e)
		if err := e.Check(); err == nil || !strings.Contains(err.Error(), what) {
			t.Errorf("%s: %v", what, err)
		}
	}
}

func TestCanonicalComesBack(t *testing.T) {
	e := sound()
	e.Kind, e.Exchange, e.Files = Swap, &Exchange{Place: "C-7", Part: "sensor", Out: "1", Fate: Scrapped}, []File{{Name: "x.jpg", SHA256: strings.Repeat("0", 64), Bytes: 3, Media: "image/jpeg"}}
	var back Entry
	if err := json.Unmarshal(e.Canonical(), &back); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(back.Canonical(), e.Canonical()) || back.Check() != nil || bytes.Contains(e.Canonical(), []byte("\n")) {
		t.Errorf("%s\n%s", e.Canonical(), back.Canonical())
	}
}

// Whatever a file was called, what the ledger calls it is a name on every machine.
func TestFileName(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.OneOf(rapid.String(), rapid.StringOf(rapid.RuneFrom([]rune("a./\\: \x00..")))).Draw(t, "name")
		if got := FileName(s); !fileName(got) {
			t.Fatalf("%q becomes %q", s, got)
		} else if fileName(s) && got != s {
			t.Fatalf("%q was sound, and becomes %q", s, got)
		}
	})
}

func TestRedact(t *testing.T) {
	c := Customer{ID: id(3), Name: "Ölund  Farms", Reach: "+1 555 0142"}
	tr := TracesOf(c)
	e := sound()
	e.Kind, e.Opening = Opened, &Opening{Handle: "oelund-60", Title: "ÖLUND farms, the 60", Customer: c.ID}
	e.Why, e.Text = "ölund\nfarms rang from +1 555 0142.", "Mr Ölund was out; Ölundfarms is another, and 5+1 555 01423 no number"
	got, changed := tr.Redact(e)
	if !changed || got.Opening.Title != "[forgotten], the 60" || got.Why != "[forgotten] rang from [forgotten]." || got.Text != e.Text {
		t.Errorf("%+v %+v", got, got.Opening)
	}
	if !tr.Perhaps(got.Text) || tr.In(got.Text) || e.Opening.Title[0:2] != "Ö" {
		t.Error("a word of the name is for a person to see, and the entry itself stays")
	}
	if again, changed := tr.Redact(got); changed || !bytes.Equal(again.Canonical(), got.Canonical()) {
		t.Error("redacted twice differs from once")
	}
	if _, changed := TracesOf(Customer{}).Redact(e); changed {
		t.Error("nobody was found")
	}
}

func TestHandle(t *testing.T) {
	for title, want := range map[string]string{"North farm, 48 rows": "north-farm-48-rows", "  Ä--b ": "b", "§": "", strings.Repeat("a", 80): strings.Repeat("a", 60)} {
		if got := Handle(title); got != want {
			t.Errorf("%q: %q", title, got)
		}
	}
}

func TestWordsOfKinds(t *testing.T) {
	for k := Opened; k <= Paper; k++ {
		var back Kind
		if err := back.UnmarshalText([]byte(k.String())); err != nil || back != k {
			t.Errorf("%v: %v %v", k, back, err)
		}
	}
	var k Kind
	if err := k.UnmarshalText([]byte("vist")); err == nil || !strings.Contains(err.Error(), "did you mean visit?") {
		t.Error(err)
	}
	var f Fate
	if err := f.UnmarshalText([]byte("scraped")); err == nil || !strings.Contains(err.Error(), "scrapped") {
		t.Error(err)
	}
}

func ExampleStays() {
	moves := []Move{put(1, 1, 2, "A"), off(2, 1, 20, Shelf), put(3, 2, 25, "C")}
	for _, s := range Stays(moves) {
		fmt.Println(s.Since.Format(time.DateOnly), s.On, s.Place, s.Fate)
	}
	// Output:
	// 2026-04-02 true A unknown
	// 2026-04-20 false  shelf
	// 2026-04-25 true C unknown
}
