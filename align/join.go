package align

import (
	"errors"
	"io"
	"math"
	"slices"

	"runproof/flowlog"
)

// The quantities that a position log lends, by kind of column.
var lent = [...]flowlog.Kind{flowlog.Lat, flowlog.Lon, flowlog.Speed, flowlog.Course, flowlog.Work}

// places in lent.
const (
	aLat = iota
	aLon
	aSpeed
	aCourse
	aWork
	aCount
)

// JoinOptions say how two logs become one.
type JoinOptions struct {
	OffsetNS int64   // position log's clock minus flow log's
	HoleS    float64 // nothing is drawn across a longer gap between fixes; 0 = 3 s
	Replace  bool    // the flow log's own position, speed, course and work give way
}

// Joined is a flow log with the position log's columns. It implements
// flowlog.Reader and flowlog.Remarker.
//
// Position and speed are drawn straight between the fixes before and after, the
// course by the shorter way round; the work state is that of the next sample.
// Time stays the flow log's own, unless that has no dates and the position log
// has: then it is the position log's.
type Joined struct {
	flow, pos flowlog.Reader
	o         JoinOptions
	holeNS    int64
	schema    flowlog.Schema
	moveNS    int64
	from      []int       // for each column of the schema: the flow log's column, or -1-quantity
	source    [aCount]int // the position log's columns

	window          []fix // fixes about the row at hand
	batch           flowlog.Batch
	at              int // in batch
	ended           bool
	own             flowlog.Batch
	err             error // of the position log
	firstNS, lastNS int64
	any             bool

	Rows    int // of the flow log
	Placed  int // that got a position
	Outside int // before the first fix or behind the last
}

type fix struct {
	ns int64
	v  [aCount]float64
}

// Join lends the flow log the position log's lat, lon, speed, course and work,
// as far as it has them and the flow log has not (or with Replace gives way).
// Neither log is held in memory.
func Join(flow, position flowlog.Reader, o JoinOptions) *Joined {
	j := &Joined{flow: flow, pos: position, o: o, holeNS: secondsNS(holeS)}
	if o.HoleS > 0 {
		j.holeNS = secondsNS(o.HoleS)
	}
	fs, ps := flow.Schema(), position.Schema()
	j.schema.Clock = fs.Clock
	if fs.Clock == flowlog.Seconds && ps.Clock == flowlog.UTC {
		j.schema.Clock, j.moveNS = ps.Clock, o.OffsetNS
	}
	lends := func(k flowlog.Kind) bool { return ps.Find(k) >= 0 && (o.Replace || fs.Find(k) < 0) }
	pair := lends(flowlog.Lat) && lends(flowlog.Lon)
	var taken [aCount]bool
	for q, k := range lent {
		j.source[q] = ps.Find(k)
		taken[q] = lends(k) && (pair || k != flowlog.Lat && k != flowlog.Lon)
	}
	for c, col := range fs.Columns {
		q := slices.Index(lent[:], col.Kind)
		if q >= 0 && taken[q] {
			continue
		}
		j.schema.Columns = append(j.schema.Columns, col)
		j.from = append(j.from, c)
	}
	for q := range lent {
		if taken[q] {
			j.schema.Columns = append(j.schema.Columns, ps.Columns[j.source[q]])
			j.from = append(j.from, -1-q)
		}
	}
	return j
}

// Schema is the flow log's columns and what is lent.
func (j *Joined) Schema() flowlog.Schema { return j.schema }

// Remarks are those of both logs.
func (j *Joined) Remarks() []flowlog.Remark {
	return append(slices.Clone(flowlog.RemarksOf(j.flow)), flowlog.RemarksOf(j.pos)...)
}

// Read fills b with the next rows. An error of the position log comes up like one
// of the flow log.
func (j *Joined) Read(b *flowlog.Batch) error {
	err := j.flow.Read(&j.own)
	if err != nil {
		b.Reset(len(j.from))
		return err
	}
	n := j.own.Len()
	b.Grow(len(j.from), n)
	for c, from := range j.from {
		if from >= 0 {
			copy(b.Values[c], j.own.Values[from])
		}
	}
	for i, ns := range j.own.TimeNS {
		b.TimeNS[i] = ns + j.moveNS
		v := j.lend(ns + j.o.OffsetNS)
		if j.err != nil {
			b.Truncate(i)
			if i == 0 {
				return j.err
			}
			return nil
		}
		for c, from := range j.from {
			if from < 0 {
				b.Values[c][i] = v[-1-from]
			}
		}
		j.count(ns+j.o.OffsetNS, v[aLat])
	}
	return nil
}

func (j *Joined) count(ns int64, latDeg float64) {
	j.Rows++
	switch {
	case latDeg == latDeg:
		j.Placed++
	case !j.any || ns < j.firstNS || j.ended && ns > j.lastNS:
		j.Outside++
	}
}

// lend is what the position log says of a moment of its clock.
func (j *Joined) lend(ns int64) (v [aCount]float64) {
	j.fill(ns)
	// the first fix not before the moment
	next, _ := slices.BinarySearchFunc(j.window, ns, func(f fix, t int64) int {
		switch {
		case f.ns < t:
			return -1
		case f.ns > t:
			return 1
		}
		return 0
	})
	for q := range v {
		v[q] = j.between(q, next, ns)
	}
	if v[aLat] != v[aLat] || v[aLon] != v[aLon] {
		v[aLat], v[aLon] = nan, nan
	}
	return v
}

// between draws a quantity from the last known value before the fix next to the
// first one from it on.
func (j *Joined) between(q, next int, ns int64) float64 {
	if j.source[q] < 0 {
		return nan
	}
	a, b := next-1, next
	for b < len(j.window) && j.window[b].v[q] != j.window[b].v[q] {
		b++
	}
	if b == len(j.window) || j.window[b].ns-ns > j.holeNS {
		return nan
	}
	to := j.window[b]
	if to.ns == ns {
		return to.v[q]
	}
	for a >= 0 && j.window[a].v[q] != j.window[a].v[q] {
		a--
	}
	if a < 0 || to.ns-j.window[a].ns > j.holeNS {
		return nan
	}
	from := j.window[a]
	part := float64(ns-from.ns) / float64(to.ns-from.ns)
	x, y := from.v[q], to.v[q]
	switch q {
	case aWork:
		return y
	case aCourse:
		return math.Mod(x+part*math.Remainder(y-x, 360)+720, 360)
	case aLon:
		return math.Remainder(x+part*math.Remainder(y-x, 360), 360)
	}
	return x + part*(y-x)
}

// fill brings the window about a moment: a hole's length before to a hole's
// length behind.
func (j *Joined) fill(ns int64) {
	drop := 0
	for drop < len(j.window) && j.window[drop].ns < ns-j.holeNS {
		drop++
	}
	j.window = append(j.window[:0], j.window[drop:]...)
	for !j.ended && j.err == nil && (len(j.window) == 0 || j.window[len(j.window)-1].ns < ns+j.holeNS) {
		f, ok := j.nextFix()
		if ok && f.ns >= ns-j.holeNS {
			j.window = append(j.window, f)
		}
	}
}

func (j *Joined) nextFix() (f fix, ok bool) {
	for j.at >= j.batch.Len() {
		err := j.pos.Read(&j.batch)
		if errors.Is(err, io.EOF) {
			j.ended = true
			return f, false
		}
		if err != nil {
			j.err = err
			return f, false
		}
		j.at = 0
	}
	f.ns = j.batch.TimeNS[j.at]
	for q, c := range j.source {
		f.v[q] = nan
		if c >= 0 {
			f.v[q] = j.batch.Values[c][j.at]
		}
	}
	j.at++
	if !j.any {
		j.any, j.firstNS = true, f.ns
	}
	j.lastNS = f.ns
	return f, true
}

// HoleS is how long a gap between fixes may be for a value to be drawn across
// it: 3 s, or 2.5 intervals of the position log.
func HoleS(intervalS float64) float64 { return max(holeS, 2.5*intervalS) }
