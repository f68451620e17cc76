package ground

import (
	"math"
	"math/rand/v2"
	"testing"

	"runproof/drill"
	"runproof/track"
)

// bigDay drives a 12 m drill up and down for so many fixes, every so many
// seconds, at 2.2 m/s with 1 cm of noise, and lifts it in each turn.
func bigDay(fixes int, everyS float64) (*Trail, *drill.Drill) {
	d := &drill.Drill{Rows: drill.Rows{Count: 48, SpacingM: 0.25, RanksM: []float64{0, -0.6, -1.2}}}
	d.GNSS.At.Forward = 11
	t := NewTrail(RigOf(d))
	p := track.At(52, -106.5)
	rng := rand.New(rand.NewPCG(1, 2))
	const passM, radius = 800.0, 5.95
	const lap = passM + math.Pi*radius + 20
	for i := range fixes {
		s := 2.2 * everyS * float64(i)
		k := math.Floor(s / lap)
		s -= k * lap
		north, east := s, 0.0
		if over := s - passM - 20; over > 0 {
			north, east = passM+20+radius*math.Sin(over/radius), radius*(1-math.Cos(over/radius))
		}
		if int(k)%2 == 1 {
			north = passM + 20 - north
		}
		lat, lon := p.ToDegrees(north+0.01*rng.NormFloat64(), east+11.9*k+0.01*rng.NormFloat64())
		ns := int64(everyS * 1e9 * float64(i))
		t.Add(Fix{FromNS: ns - int64(everyS*1e9), NS: ns, LatDeg: lat, LonDeg: lon, Work: s > 20 && s < passM+20})
	}
	t.Close()
	return t, d
}

func allRows(d *drill.Drill) (rows []int) {
	for r := range d.Rows.Count {
		rows = append(rows, r+1)
	}
	return rows
}

// spells are n events spread over the day, of one row for up to ten minutes.
func spells(n int, dayNS int64) (out []Spell) {
	rng := rand.New(rand.NewPCG(3, 4))
	for i := range n {
		from := rng.Int64N(dayNS)
		out = append(out, Spell{Event: i + 1, Rows: []int{1 + rng.IntN(48)}, FromNS: from, ToNS: from + int64(20e9+580e9*rng.Float64())})
	}
	return out
}

// BenchmarkTrailOf12Hours follows the fixes of a review's frames, two a second.
func BenchmarkTrailOf12Hours(b *testing.B) {
	for b.Loop() {
		t, _ := bigDay(86400, 0.5)
		if len(t.Passes()) < 100 {
			b.Fatal(len(t.Passes()))
		}
	}
}

// BenchmarkSurveyOf12Hours measures 114 ha with 40 events.
func BenchmarkSurveyOf12Hours(b *testing.B) {
	t, d := bigDay(86400, 0.5)
	p := Product{Rows: allRows(d), Spells: spells(40, 43200e9)}
	b.ResetTimer()
	for b.Loop() {
		if s := NewField(t, d).Survey(p); s.SownM2 < 1e6 {
			b.Fatal(s)
		}
	}
}

// BenchmarkSurveyOf3000Events measures a day of trouble: 300 000 fixes, 3000
// events.
func BenchmarkSurveyOf3000Events(b *testing.B) {
	t, d := bigDay(300000, 0.2)
	p := Product{Rows: allRows(d), Spells: spells(3000, 60000e9)}
	b.ResetTimer()
	for b.Loop() {
		if s := NewField(t, d).Survey(p); s.SownM2 < 1e6 {
			b.Fatal(s)
		}
	}
}
