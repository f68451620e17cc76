package nmea

import (
	"math"
	"time"
)

// fix is what one sentence, or all of one moment, say. Numbers that nobody gave
// are NaN; day counts from 1970-01-01.
type fix struct {
	timed, dated bool
	tod          int64 // nanoseconds since midnight, where timed
	day          int64 // where dated
	values       [quantities]float64
}

// The quantities of a fix, in the order of columns.
const (
	lat = iota
	lon
	speed
	course
	quality
	satellites
	hdop
	upM
	quantities
)

var names = [quantities]string{"lat", "lon", "speed", "course", "gnss.quality", "gnss.satellites", "gnss.hdop", "gnss.up_m"}

func noFix() (f fix) {
	for i := range f.values {
		f.values[i] = nan
	}
	return f
}

// slowMPS is the speed below which a course over ground is noise.
const slowMPS = 0.3

// read gives what a sentence says; ok is false where it says what cannot be.
func (s *sentence) read() (f fix, ok bool) {
	f = noFix()
	switch s.kind() {
	case "RMC":
		ok = s.rmc(&f)
	case "GGA":
		ok = s.gga(&f)
	case "VTG":
		ok = s.vtg(&f)
	case "ZDA":
		ok = s.zda(&f)
	}
	return f, ok
}

func (s *sentence) time(f *fix) bool {
	f.tod, f.timed = timeOfDay(s.field(1))
	return f.timed || len(s.field(1)) == 0 // a receiver that just woke up has no time
}

func (s *sentence) rmc(f *fix) bool {
	if !s.time(f) || !s.date(f, s.field(9)) {
		return false
	}
	if is(s.field(2), 'A') && !is(s.field(12), 'N') {
		return s.position(f, 3) && s.motion(f, value(s.field(7))*knotMPS, s.field(8))
	}
	return true
}

func (s *sentence) gga(f *fix) bool {
	if !s.time(f) {
		return false
	}
	f.values[quality] = value(s.field(6))
	f.values[satellites] = value(s.field(7))
	f.values[hdop] = value(s.field(8))
	if f.values[quality] > 0 {
		if is(s.field(10), 'M') {
			f.values[upM] = value(s.field(9))
		}
		return s.position(f, 2)
	}
	return true
}

func (s *sentence) vtg(f *fix) bool {
	if is(s.field(9), 'N') {
		return true
	}
	v := value(s.field(5)) * knotMPS
	if v != v {
		v = value(s.field(7)) / 3.6
	}
	return s.motion(f, v, s.field(1))
}

func (s *sentence) zda(f *fix) bool {
	if !s.time(f) {
		return false
	}
	d, m, y := value(s.field(2)), value(s.field(3)), value(s.field(4))
	if d == d && m == m && y >= 1980 && y < 2200 {
		return f.dateOf(int(y), int(m), int(d))
	}
	return true
}

// knotMPS is a knot, exactly (BIPM, The SI Brochure, 8th ed., table 8).
const knotMPS = 1852. / 3600

func is(b []byte, c byte) bool { return len(b) == 1 && b[0] == c }

// position reads the four fields from i on. Where they are empty the position
// is missing; so is 0, 0, which receivers send for no fix.
func (s *sentence) position(f *fix, i int) bool {
	if len(s.field(i)) == 0 || len(s.field(i+2)) == 0 {
		return true
	}
	la := angle(s.field(i), s.field(i+1), 'N', 'S', 90)
	lo := angle(s.field(i+2), s.field(i+3), 'E', 'W', 180)
	if la != la || lo != lo {
		return false
	}
	if la != 0 || lo != 0 {
		f.values[lat], f.values[lon] = la, lo
	}
	return true
}

// motion takes in a speed, m/s, and the course unless that is noise.
func (s *sentence) motion(f *fix, mps float64, track []byte) bool {
	const most = 100
	c := value(track)
	if mps > most || math.Abs(c) > 360 {
		return false
	}
	f.values[speed] = mps
	if mps >= slowMPS {
		f.values[course] = c
	}
	return true
}

// pivot is the first year of the century that two digits are taken for.
const pivot = 80

// date reads ddmmyy.
func (s *sentence) date(f *fix, b []byte) bool {
	n, decimals, ok := digits(b)
	if !ok || decimals > 0 || len(b) != 6 {
		return len(b) == 0
	}
	year := 2000 + int(n%100)
	if n%100 >= pivot {
		year -= 100
	}
	return f.dateOf(year, int(n/100%100), int(n/10000))
}

func (f *fix) dateOf(year, month, day int) bool {
	t := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	if t.Day() != day || int(t.Month()) != month {
		return false
	}
	f.day, f.dated = t.Unix()/86400, true
	return true
}
