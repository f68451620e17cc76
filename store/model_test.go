package store_test

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"runproof/drill"
	"runproof/ledger"
	"runproof/store"
)

// happening is what the naive model knows of an entry: it keeps everything in one
// list in the order of writing, and looks through all of it for every question.
type happening struct {
	job   int
	at    time.Time
	text  string // its canonical bytes
	id    ledger.ID
	fit   string // hash
	after []string
	off   []string // serials taken off, before those put on
	on    map[string]string
	late  bool // those off were merely missing from a fit
	fate  ledger.Fate
}

type model struct {
	l       *store.Ledger
	t       *rapid.T
	jobs    []ledger.Job
	all     []happening
	serials []string
}

// inOrder are the happenings sorted by insertion, the slow way.
func (m *model) inOrder() []happening {
	var out []happening
	for _, h := range m.all {
		k := 0
		for k < len(out) && (out[k].at.Before(h.at) || out[k].at.Equal(h.at) && out[k].id < h.id) {
			k++
		}
		out = slices.Insert(out, k, h)
	}
	return out
}

// whereabouts is one line for each place a serial has been, and the entries that
// do not go with the place before.
func (m *model) whereabouts(serial string, extra ...happening) (lines []string, doubtful map[ledger.ID]bool) {
	doubtful = map[ledger.ID]bool{}
	was, onJob := "", -1 // where it is, and on which job
	scrapped, offJob, offFate := false, -1, ledger.Unknown
	with := model{all: append(slices.Clone(m.all), extra...)}
	say := func(h happening, where string, doubt bool) {
		lines = append(lines, h.at.Format(time.RFC3339)+" "+where)
		if doubt {
			doubtful[h.id] = true
		}
		was = where
	}
	for _, h := range with.inOrder() {
		if slices.Contains(h.off, serial) {
			where := fmt.Sprintf("off %d %s", h.job, h.fate)
			switch {
			case h.late && onJob != h.job || was == where:
			default:
				elsewhere := onJob >= 0 && onJob != h.job
				contradicts := onJob < 0 && was != "" && !h.late && offFate != ledger.Unknown && offFate != h.fate && offJob != h.job
				say(h, where, elsewhere || contradicts)
				onJob, scrapped, offJob, offFate = -1, h.fate == ledger.Scrapped, h.job, h.fate
			}
		}
		if head, ok := h.on[serial]; ok {
			where := fmt.Sprintf("on %d %s", h.job, head)
			if was != where {
				say(h, where, onJob >= 0 && onJob != h.job || onJob < 0 && scrapped)
				onJob, scrapped = h.job, false
			}
		}
	}
	return lines, doubtful
}

// tips are the hashes of a job's fits that none follows, in order.
func (m *model) tips(job int) (out []string) {
	for _, h := range m.inOrder() {
		if h.job != job || h.fit == "" {
			continue
		}
		followed := false
		for _, o := range m.all {
			followed = followed || o.job == job && slices.Contains(o.after, h.fit)
		}
		if !followed {
			out = append(out, h.fit)
		}
	}
	return out
}

// welcome says whether the entry adds no doubt.
func (m *model) welcome(h happening) bool {
	for _, s := range m.serials {
		_, before := m.whereabouts(s)
		_, after := m.whereabouts(s, h)
		for id := range after {
			if !before[id] {
				return false
			}
		}
	}
	return true
}

// overtaken says whether anything later speaks of one of its serials.
func (m *model) overtaken(h happening) bool {
	for _, o := range m.all {
		later := o.at.After(h.at) || o.at.Equal(h.at) && o.id > h.id
		for _, s := range m.serials {
			_, oOn := o.on[s]
			_, hOn := h.on[s]
			if later && (oOn || slices.Contains(o.off, s)) && (hOn || slices.Contains(h.off, s)) {
				return true
			}
		}
	}
	return false
}

// append asks the ledger and compares its answer with the model's.
func (m *model) append(job int, d store.Draft, h happening, wellFollowed bool) {
	var e ledger.Entry
	d.By = "Ana"
	err := m.l.Write(ctx, func(tx *store.Tx) (err error) {
		e, err = tx.Append(m.jobs[job], d)
		return err
	})
	h.job, h.at, h.id, h.text = job, e.At, e.ID, string(e.Canonical())
	want := wellFollowed && (d.Moved || m.welcome(h) && !(d.Exchange != nil && m.overtaken(h)))
	if (err == nil) != want {
		m.t.Fatalf("entry %+v: the ledger says %v, the model %v", h, err, want)
	}
	if err == nil {
		m.all = append(m.all, h)
	}
}

func (m *model) when() time.Time {
	return time.Date(2026, 3, rapid.IntRange(1, 6).Draw(m.t, "day"), 0, 0, 0, 0, time.UTC)
}

func (m *model) fitAppended(job int) {
	tips := m.tips(job)
	var follows []string
	how := rapid.SampledFrom([]string{"tips", "tips", "tips", "none", "old"}).Draw(m.t, "follows")
	switch {
	case how == "tips":
		follows = tips
	case how == "old":
		for _, h := range m.all {
			if h.job == job && h.fit != "" {
				follows = []string{h.fit}
				break
			}
		}
	}
	good := len(tips) == 0 && len(follows) == 0 || len(follows) > 0
	for _, f := range follows {
		good = good && slices.Contains(tips, f)
	}
	h := happening{after: follows, on: map[string]string{}, late: true}
	var placed []ledger.Placed
	for _, s := range m.serials {
		if head := rapid.SampledFrom([]string{"", "", "A", "B"}).Draw(m.t, s); head != "" {
			h.on[s] = head
			placed = append(placed, ledger.Placed{Serial: s, Head: drill.HeadID(head)})
		} else if rapid.Bool().Draw(m.t, "left "+s) {
			h.off = append(h.off, s)
		}
	}
	f, err := m.l.Keep(ctx, "fit.json", strings.NewReader(fmt.Sprint("fit of ", m.jobs[job].ID, len(m.all), rapid.Uint64().Draw(m.t, "text"))))
	if err != nil {
		m.t.Fatal(err)
	}
	h.fit = f.SHA256
	for _, o := range m.all {
		if o.job == job && o.fit == f.SHA256 {
			return
		}
	}
	d := store.Draft{Kind: ledger.Fit, At: m.when(), Files: []ledger.File{f}, Moved: rapid.IntRange(0, 4).Draw(m.t, "moved") == 0}
	d.Revision = &ledger.Revision{Number: 1, Hash: f.SHA256, Follows: follows, Drill: "D", Placed: placed, Left: h.off}
	m.append(job, d, h, good)
}

func (m *model) swapped(job int) {
	x := &ledger.Exchange{Place: rapid.SampledFrom([]string{"A", "B"}).Draw(m.t, "place"), Part: "node", Fate: ledger.Fate(rapid.IntRange(0, 3).Draw(m.t, "fate"))}
	h := happening{on: map[string]string{}, fate: x.Fate}
	if x.Out = rapid.SampledFrom(append([]string{""}, m.serials...)).Draw(m.t, "out"); x.Out != "" {
		h.off = []string{x.Out}
	}
	x.In = rapid.SampledFrom(append([]string{""}, m.serials...)).Filter(func(s string) bool { return s == "" || s != x.Out }).Draw(m.t, "in")
	if x.In != "" {
		h.on[x.In] = x.Place
	}
	m.append(job, store.Draft{Kind: ledger.Swap, At: m.when(), Exchange: x, Moved: rapid.IntRange(0, 4).Draw(m.t, "moved") == 0}, h, true)
}

// agree compares all that the ledger says with the model.
func (m *model) agree(t *rapid.T) {
	order := m.inOrder()
	err := m.l.Read(ctx, func(tx *store.Tx) error {
		for k, j := range m.jobs {
			es, err := tx.History(j.ID)
			if err != nil {
				return err
			}
			var got, want []string
			for _, e := range es[1:] { // the first opens the job
				got = append(got, string(e.Canonical()))
			}
			for _, h := range order {
				if h.job == k {
					want = append(want, h.text)
				}
			}
			if !slices.Equal(got, want) {
				t.Fatalf("history of %s:\n%s\nwant\n%s", j.Handle, strings.Join(got, "\n"), strings.Join(want, "\n"))
			}
			var tips []string
			for _, e := range ledger.Tips(es) {
				tips = append(tips, e.Revision.Hash)
			}
			if !slices.Equal(tips, m.tips(k)) {
				t.Fatalf("fits that stand: %v, want %v", tips, m.tips(k))
			}
		}
		return m.agreeOnSerials(t, tx)
	})
	if err != nil {
		t.Fatal(err)
	}
}

func (m *model) agreeOnSerials(t *rapid.T, tx *store.Tx) error {
	for _, s := range m.serials {
		moves, err := tx.Moves(s)
		if err != nil {
			return err
		}
		var got []string
		doubts := map[ledger.ID]bool{}
		stays := ledger.Stays(moves)
		for i, st := range stays {
			k := slices.IndexFunc(m.jobs, func(j ledger.Job) bool { return j.ID == st.Job })
			where := fmt.Sprintf("on %d %s", k, st.Place)
			if !st.On {
				where = fmt.Sprintf("off %d %s", k, st.Fate)
			}
			got = append(got, st.Since.Format(time.RFC3339)+" "+where)
			if st.Doubt != "" {
				doubts[st.Entry] = true
			}
			if i+1 < len(stays) && st.Until != stays[i+1].Since || i+1 == len(stays) && !st.Until.IsZero() {
				t.Fatalf("serial %s: stay %d ends %v", s, i, st.Until)
			}
		}
		want, wantDoubts := m.whereabouts(s)
		if !slices.Equal(got, want) || fmt.Sprint(doubts) != fmt.Sprint(wantDoubts) {
			t.Fatalf("serial %s: %v %v\nwant %v %v", s, got, doubts, want, wantDoubts)
		}
	}
	return nil
}

// Under random work the ledger and the naive model agree on every history, on
// which fit stands, and on where each serial has been; also on what is refused.
func TestLedgerAgreesWithNaiveModel(t *testing.T) {
	onBoth(t, func(t *testing.T, c store.Config) {
		l := opened(t, c)
		round := 0
		rapid.Check(t, func(t *rapid.T) {
			round++
			m := &model{l: l, t: t}
			for k := range 2 {
				if err := l.Write(ctx, func(tx *store.Tx) error {
					j, err := tx.NewJob(ledger.Opening{Handle: fmt.Sprintf("r%d-%d", round, k), Title: "T"}, "Ana", "", time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC))
					m.jobs = append(m.jobs, j)
					return err
				}); err != nil {
					t.Fatal(err)
				}
			}
			for k := range 3 {
				m.serials = append(m.serials, fmt.Sprintf("%d-%d", round, k))
			}
			for range rapid.IntRange(1, 12).Draw(t, "steps") {
				job := rapid.IntRange(0, 1).Draw(t, "job")
				switch rapid.IntRange(0, 4).Draw(t, "what") {
				case 0, 1:
					m.fitAppended(job)
				case 2, 3:
					m.swapped(job)
				default:
					m.append(job, store.Draft{Kind: ledger.Note, At: m.when(), Text: "said"}, happening{}, true)
				}
				if rapid.IntRange(0, 3).Draw(t, "look") == 0 {
					m.agree(t)
				}
			}
			m.agree(t)
		})
	})
}

// Writers in one process that all put a fit onto what stands: none is lost.
func TestManyGoroutinesLoseNoUpdate(t *testing.T) {
	onBoth(t, func(t *testing.T, c store.Config) {
		l := opened(t, c)
		j := newJob(t, l, "many")
		const writers, each = 6, 6
		var wg sync.WaitGroup
		errs := make(chan error, writers)
		for w := range writers {
			wg.Go(func() {
				for n := range each {
					if _, err := writeRevision(l, j, w*each+n); err != nil {
						errs <- err
						return
					}
				}
			})
		}
		wg.Wait()
		close(errs)
		for err := range errs {
			t.Error(err)
		}
		chain(t, l, j, writers*each)
	})
}
