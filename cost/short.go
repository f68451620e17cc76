package cost

import (
	"cmp"
	"math"
	"slices"

	"runproof/drill"
	"runproof/flowlog"
	"runproof/measure"
	"runproof/review"
)

// Piece is ground of one event that went short alike.
type Piece struct {
	Rows   int     `json:"rows"`    // rows short of seed side by side at the place
	Left   float64 `json:"left"`    // part of the row's seed that it kept, 0 to 1
	AreaM2 float64 `json:"area_m2"` // m2
}

// spell is an event that left rows short of a product that carries seed.
type spell struct {
	day    int
	event  *review.Event
	rows   []int
	weight float64 // part of the rows' seed that the product is
	skip   *Skip
	fromNS int64
	toNS   int64
}

// shortGround cuts the ground of all spells into pieces. The rows of a stand
// lie pitchM apart, where the drill's rows lie spacingM apart.
type shortGround struct {
	spells   []spell
	spacingM float64
	pitchM   float64
	widthM   float64
	pieces   []map[pieceKey]float64
}

type pieceKey struct {
	rows int
	left float64
}

// cut gives each spell's pieces. Where a strip is known, its place tells what
// lies beside it, of whatever pass; else time and row do.
func (s *shortGround) cut() [][]Piece {
	s.pieces = make([]map[pieceKey]float64, len(s.spells))
	strips := make([]*Skip, len(s.spells))
	for i := range s.spells {
		s.pieces[i] = map[pieceKey]float64{}
		strips[i] = s.spells[i].skip
	}
	g := layGround(strips)
	for i := range g.polygons {
		s.walk(g, i)
	}
	s.byTime()
	out := make([][]Piece, len(s.spells))
	for i := range s.spells {
		out[i] = s.scaled(i, g)
	}
	return out
}

// scaled brings the pieces of a spell to the ground that the review counts, as
// wide as the rows of the stand are apart.
func (s *shortGround) scaled(i int, g *ground) []Piece {
	all := 0.0
	for _, p := range g.polygons {
		if p.strip == i {
			all += p.area
		}
	}
	if s.spells[i].skip == nil || all == 0 {
		all = 1 // shares of time
	}
	want := s.spells[i].event.AreaM2 * s.pitchM / s.spacingM
	var out []Piece
	for k, a := range s.pieces[i] {
		out = append(out, Piece{k.rows, k.left, a / all * want})
	}
	slices.SortFunc(out, func(a, b Piece) int { return cmp.Or(a.Rows-b.Rows, cmp.Compare(a.Left, b.Left)) })
	return out
}

// walk goes along the sides of a polygon and looks across. Both sides count
// half; an end, beyond which the strip is longer than it is wide, does not.
func (s *shortGround) walk(g *ground, at int) {
	p := &g.polygons[at]
	lengths, total := make([]float64, len(p.edges)), 0.0
	for i, e := range p.edges {
		d := e[1].plus(e[0], -1)
		lengths[i] = math.Hypot(d.north, d.east)
		total += lengths[i]
	}
	step := max(1, total/4000)
	got := map[pieceKey]float64{}
	sum := 0.0
	for i, e := range p.edges {
		along := place{(e[1].north - e[0].north) / lengths[i], (e[1].east - e[0].east) / lengths[i]}
		aside := place{-along.east, along.north}
		n := int(lengths[i]/step) + 1
		for k := range n {
			mid := e[0].plus(along, lengths[i]*(float64(k)+0.5)/float64(n))
			sum += s.station(g, at, mid, along, aside, lengths[i]/float64(n), got)
		}
	}
	if sum <= 0 { // a sliver that nothing can be seen across
		sum, got = 1, map[pieceKey]float64{{1, s.left([]int{p.strip})}: 1}
	}
	for k, a := range got {
		s.pieces[p.strip][k] += a / sum * p.area
	}
}

// station looks across from one side of the polygon and adds what it sees to
// got. It returns the area that it stands for.
func (s *shortGround) station(g *ground, at int, mid, along, aside place, stepM float64, got map[pieceKey]float64) float64 {
	half := s.widthM + 5
	seen := g.across(mid, aside, half)
	own, ok := touching(seen, at)
	if !ok {
		return 0
	}
	inside := mid.plus(aside, (own.from+own.to)/4)
	if lengthways, ok := over(g.across(inside, along, half), at); ok && lengthways.to-lengthways.from < own.to-own.from {
		return 0
	}
	rows := s.rowsOver(seen, own)
	for _, part := range splits(seen, own) {
		strips := stripsOver(g, seen, (part[0]+part[1])/2)
		got[pieceKey{rows, s.left(strips)}] += (part[1] - part[0]) * stepM / float64(len(strips))
	}
	return (own.to - own.from) * stepM
}

// touching is the stretch of the polygon that begins or ends at the line's
// middle, and over the one that the middle lies in.
func touching(seen []stretch, polygon int) (stretch, bool) {
	for _, s := range seen {
		if s.polygon == polygon && min(math.Abs(s.from), math.Abs(s.to)) < 1e-6 && s.to-s.from > 1e-6 {
			return s, true
		}
	}
	return stretch{}, false
}

func over(seen []stretch, polygon int) (stretch, bool) {
	for _, s := range seen {
		if s.polygon == polygon && s.from <= 0 && s.to >= 0 {
			return s, true
		}
	}
	return stretch{}, false
}

// rowsOver is how many rows wide the gap is in which own lies. What lies nearer
// than a third of a row is one gap, however many strips it is of.
func (s *shortGround) rowsOver(seen []stretch, own stretch) int {
	loose := s.pitchM - s.spacingM + s.pitchM/3
	from, to := own.from, own.to
	for grown := true; grown; {
		grown = false
		for _, o := range seen {
			if o.from <= to+loose && o.to >= from-loose && (o.from < from || o.to > to) {
				from, to, grown = min(from, o.from), max(to, o.to), true
			}
		}
	}
	return max(1, int(math.Round((to-from+s.pitchM-s.spacingM)/s.pitchM)))
}

// splits cuts own where other stretches begin and end.
func splits(seen []stretch, own stretch) [][2]float64 {
	at := []float64{own.from, own.to}
	for _, o := range seen {
		for _, t := range []float64{o.from, o.to} {
			if t > own.from && t < own.to {
				at = append(at, t)
			}
		}
	}
	slices.Sort(at)
	var out [][2]float64
	for i := range at[1:] {
		if at[i+1] > at[i] {
			out = append(out, [2]float64{at[i], at[i+1]})
		}
	}
	return out
}

func stripsOver(g *ground, seen []stretch, t float64) []int {
	var out []int
	for _, o := range seen {
		if strip := g.polygons[o.polygon].strip; o.from <= t && t <= o.to && !slices.Contains(out, strip) {
			out = append(out, strip)
		}
	}
	slices.Sort(out)
	return out
}

// left is the part of its seed that a row kept where the spells meet: events of
// one product take each their part of what is left of it; products add up.
func (s *shortGround) left(spells []int) float64 {
	lack := map[drill.ProductID]float64{}
	weight := map[drill.ProductID]float64{}
	for _, i := range spells {
		id := s.spells[i].event.Product
		if _, met := lack[id]; !met {
			lack[id] = 1
		}
		lack[id] *= 1 - lostPart(s.spells[i].event)
		weight[id] = s.spells[i].weight
	}
	ids := make([]drill.ProductID, 0, len(lack))
	for id := range lack {
		ids = append(ids, id)
	}
	slices.Sort(ids) // sums in one order
	left := 1.0
	for _, id := range ids {
		left -= weight[id] * (1 - lack[id])
	}
	return measure.Round(clamp01(left), 4)
}

// lostPart is the part of its seed that a row lost. A plugged run still counts a
// little, from shaking and from neighbours: what lost nine tenths lost all.
func lostPart(ev *review.Event) float64 {
	if ev.Kind == review.Blocked || ev.Lost >= 0.9 {
		return 1
	}
	return clamp01(ev.Lost)
}

func clamp01(v float64) float64 { return min(1, max(0, v)) }

// byTime cuts the spells without a strip by time: rows that were short at the
// same time on the same pass lie side by side.
func (s *shortGround) byTime() {
	var spells []int
	var at []int64
	for i := range s.spells {
		sp := &s.spells[i]
		if sp.skip == nil {
			spells = append(spells, i)
			at = append(at, sp.fromNS, sp.toNS)
		}
	}
	slices.Sort(at)
	at = slices.Compact(at)
	for k := 0; k+1 < len(at); k++ {
		var now []int
		for _, i := range spells {
			if s.spells[i].fromNS <= at[k] && s.spells[i].toNS >= at[k+1] {
				now = append(now, i)
			}
		}
		for _, i := range now {
			s.slice(i, s.sameDay(now, i), float64(at[k+1]-at[k]))
		}
	}
	for _, i := range spells { // an event without length still counts whole
		if len(s.pieces[i]) == 0 {
			s.slice(i, []int{i}, float64(s.spells[i].toNS-s.spells[i].fromNS))
		}
	}
}

func (s *shortGround) sameDay(now []int, i int) []int {
	var out []int
	for _, j := range now {
		if s.spells[j].day == s.spells[i].day {
			out = append(out, j)
		}
	}
	return out
}

// slice adds one time slice of a spell, as a part of the spell.
func (s *shortGround) slice(i int, now []int, ns float64) {
	sp := &s.spells[i]
	part := 1.0
	if whole := float64(sp.toNS - sp.fromNS); whole > 0 {
		part = ns / whole
	}
	by := map[int][]int{} // spells on each row
	for _, j := range now {
		for _, r := range s.spells[j].rows {
			by[r] = append(by[r], j)
		}
	}
	rows := make([]int, 0, len(by))
	for r := range by {
		rows = append(rows, r)
	}
	slices.Sort(rows)
	pitch := max(1, int(math.Round(s.pitchM/s.spacingM)))
	for _, r := range sp.rows {
		key := pieceKey{rowsBeside(rows, r, pitch), s.left(by[r])}
		s.pieces[i][key] += part / float64(len(sp.rows)) / float64(len(by[r]))
	}
}

// rowsBeside is how many rows of the sorted list follow each other, pitch or
// nearer, around row.
func rowsBeside(rows []int, row, pitch int) int {
	at, _ := slices.BinarySearch(rows, row)
	a, b := at, at
	for a > 0 && rows[a]-rows[a-1] <= pitch {
		a--
	}
	for b+1 < len(rows) && rows[b+1]-rows[b] <= pitch {
		b++
	}
	return b - a + 1
}

// span are the event's times, ns.
func span(ev *review.Event) (from, to int64) {
	from, _, errA := flowlog.ParseTime(ev.Start)
	to, _, errB := flowlog.ParseTime(ev.End)
	if errA != nil || errB != nil || to < from {
		return 0, 0
	}
	return from, to
}
