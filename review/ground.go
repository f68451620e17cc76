package review

import (
	"math"
	"slices"
	"sync"

	"runproof/drill"
	"runproof/ground"
	"runproof/measure"
)

// Strip is ground that one event left short of its product.
type Strip = ground.Strip

// GroundSummary is what became of the ground, where positions were recorded.
type GroundSummary struct {
	Antenna  drill.Mount     `json:"antenna"` // what carries it
	Products []GroundProduct `json:"products"`
	Assumed  []string        `json:"assumed"` // what drill.yaml and fit do not say of the outfit, and what was taken
}

// GroundProduct is the ground of one product: areas in m2, each place once.
// WorkedM2 = SownM2 + ShortM2 + IdleM2.
type GroundProduct struct {
	Product  drill.ProductID `json:"product"`
	WorkedM2 float64         `json:"worked_m2"`  // gone over in the ground by rows that are to get it
	SownM2   float64         `json:"sown_m2"`    // got it in full at least once
	DoubleM2 float64         `json:"double_m2"`  // of that, at least twice
	UnsownM2 float64         `json:"unsown_m2"`  // never got it in full: ShortM2 + IdleM2
	ShortM2  float64         `json:"short_m2"`   // of that, by an event
	IdleM2   float64         `json:"idle_m2"`    // of that, before product had arrived, or with a section shut
	HoseLagS [2]float64      `json:"hose_lag_s"` // from sensor to opener, of the quickest run and the slowest
}

// fix is what a frame says of place and work state.
func (f *frame) fix() ground.Fix {
	return ground.Fix{FromNS: f.fromNS, NS: f.toNS, LatDeg: f.lat, LonDeg: f.lon, Work: f.work, MovedM: f.distM}
}

// lay measures the ground of the events, gives each that left ground short its
// strip and area, and sums up.
func (s *session) lay(events []Event, spells []*spell) (sum *GroundSummary, skips []Strip, shortM2 float64) {
	s.trail.Close()
	placed := map[int]bool{}
	if len(s.trail.Passes()) > 0 {
		field := ground.NewField(s.trail, &s.in.fit.Drill)
		sum = &GroundSummary{Antenna: s.rig.Mount, Assumed: orEmpty(slices.Concat(s.rig.Assumed, s.hoses.Assumed))}
		surveys := make([]ground.Survey, len(s.in.products))
		swept, strips := make([]float64, len(events)), make([]float64, len(events))
		var all sync.WaitGroup
		for p := range s.in.products {
			account := s.sowing.product(p, s.lastNS)
			shut := newShutness(s.in.fit.Drill.Rows.Count, s.sowing.shut(p, s.lastNS))
			for i, ev := range events {
				if ev.Kind.LosesSeed() && spells[i].product == p {
					short := s.short(ev, spells[i])
					swept[i] = field.SweptM2(short)
					account.Spells = append(account.Spells, shut.without(short)...)
				}
			}
			all.Go(func() { surveys[p] = field.Survey(account) })
		}
		all.Wait()
		for p, pr := range s.in.products {
			survey := surveys[p]
			shortM2 += survey.ShortM2
			for _, strip := range survey.Strips {
				if len(strip.Polygons) > 0 {
					placed[strip.Event], skips = true, append(skips, strip)
				}
				strips[strip.Event-1] = strip.AreaM2
			}
			sum.Products = append(sum.Products, s.groundOf(pr.id, survey))
		}
		for i := range events {
			area(&events[i], swept[i], strips[i])
		}
	}
	slices.SortFunc(skips, func(a, b Strip) int { return a.Event - b.Event })
	for _, ev := range events {
		if ev.Kind.LosesSeed() && !placed[ev.ID] {
			shortM2 += ev.AreaM2
		}
	}
	return sum, skips, shortM2
}

// short is when and where the event left ground short. What starves a head or a
// product shows at the sensors before it shows at the openers. A hose plugs
// below its sensor, as a rule at the opener: the seed under way to the plug stays
// there, so that the ground goes short when the sensor shows it; but what passes
// the sensor once the hose is clear has its way still to go.
func (s *session) short(ev Event, sp *spell) []ground.Spell {
	lagS, n := 0.0, 0
	for i, r := range s.in.runs {
		if s.in.concerns(sp, i) {
			lagS, n = lagS+s.hoses.S[r.ID], n+1
		}
	}
	lag := int64(lagS / float64(max(n, 1)) * 1e9)
	var out []ground.Spell
	rows := s.rows(sp)
	for _, p := range sp.stretches() {
		g := ground.Spell{Event: ev.ID, Rows: rows, FromNS: p.fromNS, ToNS: p.toNS + lag}
		if sp.run < 0 {
			g.FromNS += lag
		}
		g.ToNS = s.sowing.lastSeen(sp, g.FromNS, g.ToNS)
		out = append(out, g)
	}
	return out
}

// area puts the event's area: stripM2 of the ground that it went over, sweptM2
// on the map. Where positions lack for a good part of the event, what is known of
// it stands for the whole.
func area(ev *Event, sweptM2, stripM2 float64) {
	if sweptM2 <= 0 {
		return
	}
	if sweptM2 > 0.8*ev.AreaM2 {
		ev.AreaM2 = measure.Round(stripM2, 2)
		return
	}
	ev.AreaM2 = measure.Round(ev.AreaM2*stripM2/sweptM2, 2)
}

func (s *session) groundOf(id drill.ProductID, v ground.Survey) GroundProduct {
	g := GroundProduct{
		Product: id, WorkedM2: measure.Round(v.WorkedM2, 1), SownM2: measure.Round(v.SownM2, 1), DoubleM2: measure.Round(v.DoubleM2, 1),
		UnsownM2: measure.Round(v.UnsownM2(), 1), ShortM2: measure.Round(v.ShortM2, 1), IdleM2: measure.Round(v.IdleM2, 1),
	}
	low, high := math.Inf(1), 0.0
	for _, r := range s.in.runs {
		if r.Product == id {
			low, high = min(low, s.hoses.S[r.ID]), max(high, s.hoses.S[r.ID])
		}
	}
	g.HoseLagS = [2]float64{measure.Round(low, 2), measure.Round(high, 2)}
	return g
}

// driven are the passes as lines for a map: the drill's reference point.
func (s *session) driven() [][][2]float64 {
	var out [][][2]float64
	for _, pass := range s.trail.Passes() {
		line := make([][2]float64, len(pass))
		for i, p := range pass {
			line[i] = [2]float64{p.East, p.North}
		}
		out = append(out, line)
	}
	return out
}
