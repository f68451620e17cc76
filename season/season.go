package season

import (
	"fmt"

	"runproof/counts"
	"runproof/drill"
	"runproof/fit"
	"runproof/input"
	"runproof/measure"
	"runproof/review"
)

// level of confidence of every interval.
const confidence = 0.95

// Of makes the account of a season from its days, in any order, and the
// repairs. It changes nothing of what it is given. An error is an input.Fault:
// no day can stand in a season.
func Of(f *fit.Fit, days []Day, repairs []Repair) (*Document, error) {
	kept, refused := sortDays(days)
	if len(kept) == 0 {
		why := input.Fault{What: "no recording is left to make a season of", Remedy: "name the logs of some days"}
		if len(refused) > 0 {
			why.What += "; " + refused[0].Why
		}
		return nil, why
	}
	s := newBook(f, kept)
	doc := s.document()
	doc.Unread = append(doc.Unread, refused...)
	whole, products, heads, runs, nodes := places(f)
	doc.Whole, doc.Products, doc.Heads = s.lines(whole), s.lines(products), s.lines(heads)
	doc.Runs, doc.Nodes = s.lines(runs), s.lines(nodes)
	adjustTrends(doc)
	doc.Offenders, doc.Tested = offenders(doc)
	doc.Repairs = s.aftermath(doc, repairs)
	doc.Methods, doc.Notes = methods(), s.notes(doc)
	return doc, nil
}

// book is a season being counted.
type book struct {
	fit   *fit.Fit
	days  []Day
	nodes map[drill.RunID]string // that listens to each run
	runs  []Place
	hours []map[drill.RunID]float64 // by day: that each run was watched
	again [][]bool                  // by day and event: goes on from the one before
	place []int                     // by day: middle of its work in the season's work, thousandths
	work  float64                   // hours of all days
}

func newBook(f *fit.Fit, days []Day) *book {
	s := &book{fit: f, days: days, nodes: map[drill.RunID]string{}}
	_, _, _, s.runs, _ = places(f)
	for _, r := range s.runs {
		s.nodes[r.Run] = r.Node
	}
	for _, d := range days {
		h := map[drill.RunID]float64{}
		for _, w := range d.Watched {
			h[w.Run] = w.Hours
		}
		s.hours = append(s.hours, h)
		s.work += d.WorkHours
	}
	before := 0.0
	for _, d := range days {
		s.place = append(s.place, int((before+d.WorkHours/2)/s.work*1000+0.5))
		before += d.WorkHours
	}
	s.join()
	return s
}

// joinNS is how soon after the one before it an event of the same place and
// trouble is still that trouble: an opener that is not cleared plugs again, and
// a loose tube comes and goes.
const joinNS = 300e9

// origin is whose trouble an event is.
type origin struct {
	trouble Trouble
	run     drill.RunID
	head    drill.HeadID
	node    string
	product drill.ProductID
}

func originOf(ev *review.Event) origin {
	o := origin{trouble: TroubleOf(ev.Kind)}
	switch {
	case ev.Run != "":
		o.run = ev.Run
	case ev.Kind == review.NoData:
		o.node = ev.Node
	case ev.Head != "":
		o.head = ev.Head
	default:
		o.product = ev.Product
	}
	return o
}

// join finds the events that go on from one before them.
func (s *book) join() {
	type end struct {
		day  int
		ns   int64
		open bool
	}
	last := map[origin]end{}
	for d := range s.days {
		day := &s.days[d]
		again := make([]bool, len(day.Events))
		for i := range day.Events {
			ev := &day.Events[i]
			o := originOf(ev)
			if l, ok := last[o]; ok {
				soon := l.day == d && ev.StartNS-l.ns <= joinNS
				overNight := l.day == d-1 && l.open && ev.StartNS-day.startNS <= joinNS
				again[i] = soon || overNight
			}
			l := last[o]
			if l.day != d || ev.EndNS >= l.ns {
				last[o] = end{d, ev.EndNS, ev.Open}
			}
		}
		s.again = append(s.again, again)
	}
}

func (s *book) document() *Document {
	d := &s.fit.Drill
	doc := &Document{
		Runproof: Version, Drill: d.Name, FitRevision: s.fit.Revision, Start: s.days[0].Start, End: s.days[len(s.days)-1].End,
		WorkHours: measure.Round(s.work, 4), Days: []DayFigures{}, Unread: []Unread{}, Offenders: []Offender{}, Repairs: []Aftermath{},
	}
	for i := range s.days {
		day := &s.days[i]
		fig := DayFigures{Recording: day.Recording, Start: day.Start, End: day.End, WorkHours: day.WorkHours, WorkMetres: day.WorkMetres, WorkHa: day.WorkHa, Events: []Event{}, Watched: s.littleWatched(i)}
		for k := range day.Events {
			ev := s.event(day, i, k)
			fig.Events = append(fig.Events, ev)
			doc.SkipAreaM2 += ev.AreaM2
		}
		doc.WorkMetres, doc.WorkHa = doc.WorkMetres+day.WorkMetres, doc.WorkHa+day.WorkHa
		doc.Days = append(doc.Days, fig)
	}
	doc.WorkMetres, doc.WorkHa, doc.SkipAreaM2 = measure.Round(doc.WorkMetres, 1), measure.Round(doc.WorkHa, 3), measure.Round(doc.SkipAreaM2, 1)
	return doc
}

// littleWatched are the runs that were watched less than nine tenths of a day's
// work.
func (s *book) littleWatched(day int) []Watched {
	out := []Watched{}
	for _, r := range s.runs {
		if h := s.hours[day][r.Run]; h < 0.9*s.days[day].WorkHours {
			out = append(out, Watched{r.Run, h})
		}
	}
	return out
}

func (s *book) event(day *Day, d, k int) Event {
	ev := &day.Events[k]
	out := Event{
		Run: ev.Run, Head: ev.Head, Product: ev.Product, Node: ev.Node, Kind: ev.Kind, Start: ev.Start, End: ev.End,
		LastedS: measure.Round(float64(ev.EndNS-ev.StartNS)/1e9, 1), Metres: ev.Metres, Again: s.again[d][k],
	}
	if ev.Kind.LosesSeed() {
		out.AreaM2 = ev.AreaM2
	}
	return out
}

// lines counts for each place each of its troubles.
func (s *book) lines(ps []Place) []Line {
	out := []Line{}
	for _, p := range ps {
		hours, runs := s.watched(p)
		for _, t := range p.troubles() {
			out = append(out, s.line(p, t, hours, runs))
		}
	}
	return out
}

// watched are the hours that the place's runs were watched, by day, and how
// many runs it has.
func (s *book) watched(p Place) (hours []float64, runs int) {
	hours = make([]float64, len(s.days))
	for _, r := range s.runs {
		if !p.holds(r) {
			continue
		}
		runs++
		for d := range hours {
			hours[d] += s.hours[d][r.Run]
		}
	}
	return hours, runs
}

// exposure is the time in which a trouble of the place could be seen, by day. A
// silent node is seen whatever its runs tell, a run that is watched no more is
// not.
func (s *book) exposure(p Place, hours []float64) []float64 {
	if p.Of != OfNode {
		return hours
	}
	out := make([]float64, len(s.days))
	for d := range out {
		out[d] = s.days[d].WorkHours
	}
	return out
}

func (s *book) line(p Place, t Trouble, hours []float64, runs int) Line {
	l := Line{Place: p, Trouble: t, ByDay: make([]int, len(s.days)), runHours: s.exposure(p, hours), runs: max(1, runs)}
	if p.Of == OfNode {
		l.runs = 1
	}
	for d := range s.days {
		day := &s.days[d]
		there := false
		for k := range day.Events {
			ev := &day.Events[k]
			if TroubleOf(ev.Kind) != t || !p.own(ev, s.nodes) {
				continue
			}
			there = true
			l.Events++
			if !s.again[d][k] {
				l.Count++
				l.ByDay[d]++
			}
			e := s.event(day, d, k)
			l.LastedS, l.Metres, l.AreaM2 = l.LastedS+e.LastedS, l.Metres+e.Metres, l.AreaM2+e.AreaM2
		}
		if there {
			l.Days++
		}
		mean := l.watched(d)
		l.Hours += mean
		l.Ha += day.WorkHa * min(1, mean/day.WorkHours)
	}
	l.LastedS, l.Metres, l.AreaM2 = measure.Round(l.LastedS, 1), measure.Round(l.Metres, 1), measure.Round(l.AreaM2, 1)
	l.PerHour, l.PerHa = rate(l.Count, l.Hours), rate(l.Count, l.Ha)
	l.Hours, l.Ha = measure.Round(l.Hours, 4), measure.Round(l.Ha, 3)
	l.Trend = s.trend(&l)
	return l
}

// watched is how long the place was watched on a day, of several runs their
// mean.
func (l *Line) watched(day int) float64 { return l.runHours[day] / float64(l.runs) }

// rate is a count over an exposure; without any exposure nothing is known, and
// all stays 0.
func rate(n int, exposure float64) Rate {
	if !(exposure > 0) {
		return Rate{}
	}
	low, high := counts.PoissonInterval(n, confidence)
	return Rate{significant(float64(n) / exposure), significant(low / exposure), significant(high / exposure)}
}

func methods() []string {
	return []string{
		"Events of one place and trouble that begin within five minutes of the one before, or at the start of the day after a recording that ended in it, are one trouble.",
		"Rates: troubles over the hours in which the place was watched in settled work, and over the hectares that the drill worked in them; exact 95 % intervals of a Poisson count (Garwood 1936).",
		"Standing out: chance of so many or more troubles if all places of its kind had one rate, given the sum (binomial), at 5 % after Holm's correction for all places and troubles that were looked at, and troubles on two recordings at least; a head and a node are counted without their runs that stand out themselves.",
		fmt.Sprintf("Trend: score test of a rate that changes by the same factor with each hour of work (Cox and Lewis 1966), two-sided, exact given the count up to %d troubles; the ratio is that of the second half of the work to the first, with its exact interval.", mostExact),
		"Before and after a repair: ratio of the two rates with its exact 95 % interval (Przyborowski and Wilenski 1940); recordings of the day of the repair are left out.",
	}
}

// notes say what a reader should know.
func (s *book) notes(doc *Document) []string {
	out := []string{}
	if len(s.days) < 4 {
		out = append(out, many(len(s.days), "recording")+": too few to tell trends")
	}
	if len(doc.Repairs) > 0 {
		out = append(out, "a repair often follows a bad spell, after which chance alone brings better days: hold the ratio against that of the others")
	}
	for i := range s.days {
		if n := len(doc.Days[i].Watched); 2*n > len(s.runs) {
			out = append(out, fmt.Sprintf("%s: %d of %d runs were watched less than nine tenths of the work", s.days[i].Recording, n, len(s.runs)))
		}
	}
	return out
}
