package align

import (
	"errors"
	"io"
	"math"

	"runproof/flowlog"
)

var nan = math.NaN()

func secondsNS(s float64) int64 {
	whole := math.Floor(s)
	return int64(whole)*1e9 + int64(math.Round((s-whole)*1e9))
}

// series is a log in a handful of numbers a sample, whatever its columns.
type series struct {
	clock  flowlog.Clock
	ns     []int64   // when each sample ends
	thin   int       // how many of the log's samples make one, a power of two
	flow   []float64 // particles in it, all ports; NaN where not known
	speed  []float64 // m/s
	course []float64 // degrees
	work   []float64
	lat    []float64
	lon    []float64
	medNS  int64 // median time from one sample to the next
	ports  int
}

// maxSamples is how many samples a series holds; beyond it, neighbours are
// joined. It is 29 h at 10 Hz.
const maxSamples = 1 << 20

// intake fills a series from a reader.
type intake struct {
	series
	ports  []int
	at     [5]int    // columns of speed, course, work, lat, lon
	mean   []float64 // of each port, so far
	seen   []float64
	steps  flowlog.Intervals
	inHand int
}

// gather reads r to its end.
func gather(r flowlog.Reader) (*series, error) {
	s := r.Schema()
	in := &intake{series: series{clock: s.Clock, thin: 1}}
	for c, col := range s.Columns {
		if col.Kind == flowlog.Port {
			in.ports = append(in.ports, c)
		}
	}
	for i, k := range []flowlog.Kind{flowlog.Speed, flowlog.Course, flowlog.Work, flowlog.Lat, flowlog.Lon} {
		in.at[i] = s.Find(k)
	}
	in.mean, in.seen = make([]float64, len(in.ports)), make([]float64, len(in.ports))
	in.series.ports = len(in.ports)
	var b flowlog.Batch
	for {
		err := r.Read(&b)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		for i := range b.TimeNS {
			in.add(&b, i)
		}
	}
	in.medNS = in.steps.QuantileNS(0.5) * int64(in.thin)
	out := in.series
	return &out, nil
}

func (in *intake) add(b *flowlog.Batch, i int) {
	ns := b.TimeNS[i]
	if n := len(in.ns); n > 0 && in.inHand == 0 {
		in.steps.Add(in.ns[n-1], ns-in.ns[n-1])
	}
	total := in.total(b, i)
	var v [5]float64
	for k, c := range in.at {
		v[k] = nan
		if c >= 0 {
			v[k] = b.Values[c][i]
		}
	}
	if in.inHand > 0 { // joins the sample before
		n := len(in.ns) - 1
		in.ns[n] = ns
		in.flow[n] += total
		in.speed[n], in.course[n], in.work[n], in.lat[n], in.lon[n] = v[0], v[1], v[2], v[3], v[4]
		in.inHand--
		return
	}
	if len(in.ns) >= maxSamples {
		in.halve()
	}
	in.ns = append(in.ns, ns)
	in.flow = append(in.flow, total)
	in.speed = append(in.speed, v[0])
	in.course = append(in.course, v[1])
	in.work = append(in.work, v[2])
	in.lat = append(in.lat, v[3])
	in.lon = append(in.lon, v[4])
	in.inHand = in.thin - 1
}

// halve joins neighbours.
func (in *intake) halve() {
	n := len(in.ns) / 2
	for i := range n {
		in.ns[i] = in.ns[2*i+1]
		in.flow[i] = in.flow[2*i] + in.flow[2*i+1]
	}
	for _, v := range [][]float64{in.speed, in.course, in.work, in.lat, in.lon} {
		for i := range n {
			v[i] = v[2*i+1]
		}
	}
	in.ns, in.flow, in.speed, in.course, in.work, in.lat, in.lon = in.ns[:n], in.flow[:n], in.speed[:n], in.course[:n], in.work[:n], in.lat[:n], in.lon[:n]
	in.thin *= 2
}

// total is what all ports counted in a sample. Where some did not report, the
// others stand for them, by what each counted so far; where those are less than
// half of all, it is missing.
func (in *intake) total(b *flowlog.Batch, i int) float64 {
	sum, missing, expected, all := 0.0, 0, 0.0, 0.0
	for p, c := range in.ports {
		v := b.Values[c][i]
		all += in.mean[p]
		if v != v {
			missing++
			continue
		}
		sum += v
		expected += in.mean[p]
		if in.seen[p]++; v > 0 || in.mean[p] > 0 {
			in.mean[p] += (v - in.mean[p]) / in.seen[p]
		}
	}
	switch {
	case missing == 0:
		return sum
	case missing == len(in.ports) || expected <= all/2:
		return nan
	}
	return sum * all / expected
}

// intervalS is the usual time from one sample to the next.
func (s *series) intervalS() float64 { return float64(s.medNS) / 1e9 }

// knownS is the usual time from one known value of a quantity to the next.
func (s *series) knownS(v []float64) float64 {
	known := 0
	for _, x := range v {
		if x == x {
			known++
		}
	}
	return s.intervalS() * float64(len(v)) / float64(max(1, known))
}

// motion gives the series a speed and a course from its positions, where it has
// positions and lacks the one or the other altogether.
func (s *series) motion() {
	needSpeed, needCourse := !anyKnown(s.speed), !anyKnown(s.course)
	var at []int // samples that have a position
	for i, v := range s.lat {
		if v == v && s.lon[i] == s.lon[i] {
			at = append(at, i)
		}
	}
	const (
		halfNS  = 500e6 // of the stretch over which the way is taken, at least
		limitNS = 6e9
		slowMPS = 0.3
	)
	back, ahead := 0, 0
	for k := 1; k+1 < len(at); k++ {
		t := s.ns[at[k]]
		for s.ns[at[back+1]] <= t-halfNS {
			back++
		}
		ahead = max(ahead, k+1)
		for ahead+1 < len(at) && s.ns[at[ahead]] < t+halfNS {
			ahead++
		}
		a, b := at[min(back, k-1)], at[ahead]
		dt := s.ns[b] - s.ns[a]
		if dt > limitNS {
			continue
		}
		v, c := way(s.lat[a], s.lon[a], s.lat[b], s.lon[b])
		v /= float64(dt) / 1e9
		if needSpeed {
			s.speed[at[k]] = v
		}
		if needCourse && v > slowMPS {
			s.course[at[k]] = c
		}
	}
}

func anyKnown(v []float64) bool {
	for _, x := range v {
		if x == x {
			return true
		}
	}
	return false
}
