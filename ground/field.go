package ground

import (
	"slices"

	"runproof/drill"
	"runproof/track"
)

// Field is the ground that a day's passes went over, ready to be measured.
type Field struct {
	plane    track.Plane
	passes   []Pass
	rows     int
	spacingM float64
	halfM    float64                   // half the drill's width
	middleM  float64                   // forward, of the ranks
	rankM    func(row int) drill.Point // of a row's opener
}

// NewField is the ground under the trail of a drill.
func NewField(t *Trail, d *drill.Drill) *Field {
	f := &Field{plane: t.Plane(), passes: t.Passes(), rows: d.Rows.Count, spacingM: d.Rows.SpacingM, halfM: d.WidthM() / 2, rankM: d.RowAt}
	if r := d.Rows.RanksM; len(r) > 0 {
		f.middleM = (slices.Min(r) + slices.Max(r)) / 2
	}
	return f
}

// strip appends the ground that the rows of a span went over from pose a to b,
// their openers standing forwardM ahead of the front rank.
func (f *Field) strip(to []shape, a, b Pose, span [2]int, forwardM float64, owner int) []shape {
	left, right := f.edges(span)
	return shapes(to, at(a, forwardM, left), at(a, forwardM, right), at(b, forwardM, right), at(b, forwardM, left), a.NS, b.NS, owner)
}

// edges are how far right of the drill's middle the outer edges of rows lie.
func (f *Field) edges(span [2]int) (left, right float64) {
	return float64(span[0]-1)*f.spacingM - f.halfM, float64(span[1])*f.spacingM - f.halfM
}

func at(p Pose, forward, right float64) place {
	n, e := p.Point(forward, right)
	return place{n, e}
}

// forwardM is where the openers of a span stand, in the mean.
func (f *Field) forwardM(span [2]int) float64 {
	sum := 0.0
	for r := span[0]; r <= span[1]; r++ {
		sum += f.rankM(r).Forward
	}
	return sum / float64(span[1]-span[0]+1)
}

// apartNS: a pass that goes over a place at least so much later or earlier is
// another one.
const apartNS = 20e9

// Survey is what became of the ground that one product's rows worked: areas on
// the ellipsoid, each place once. Worked = sown + unsown.
type Survey struct {
	WorkedM2 float64 `json:"worked_m2"` // gone over in the ground by rows that get the product
	SownM2   float64 `json:"sown_m2"`   // got it in full at least once
	DoubleM2 float64 `json:"double_m2"` // got it in full at least twice
	ShortM2  float64 `json:"short_m2"`  // went short of it by an event, and was not sown by another pass
	IdleM2   float64 `json:"idle_m2"`   // was gone over before the product had arrived, or with it shut off, and was not sown by another pass
	Strips   []Strip `json:"-"`         // one for each event, in the order of their first spells
}

// UnsownM2 is what was worked and never sown in full.
func (s Survey) UnsownM2() float64 { return s.ShortM2 + s.IdleM2 }

// Survey measures the ground of one product. Several may be measured at once.
func (f *Field) Survey(p Product) Survey {
	l := layer{f: f, spans: p.spans(), spells: slices.Clone(p.Spells)}
	l.lay()
	sown := f.newCells(l.shapes)
	var s Survey
	s.SownM2, s.DoubleM2 = f.sown(sown)
	f.bare(&s, p.Spells, sown)
	s.WorkedM2 = s.SownM2 + s.ShortM2 + s.IdleM2
	return s
}

// sown adds up what each shape covers that no earlier pass had covered, and what
// one had.
func (f *Field) sown(c *cells) (once, twice float64) {
	cover := coverer{stepM: f.stepM()}
	var near, before []*shape
	for i := range c.list {
		s := &c.list[i]
		near, before = c.near(near[:0], s), before[:0]
		for _, o := range near {
			if o.ns1 <= s.ns0-apartNS { // another pass, and before this one
				before = append(before, o)
			}
		}
		a, b := cover.measure(s, before)
		k := f.perPlaneM2(s)
		once, twice = once+k*(s.areaM2()-a), twice+k*(a-b)
	}
	return once, twice
}

func (f *Field) stepM() float64 { return min(coarsestM, max(leastStepM, f.halfM)) }

// perPlaneM2 is the ground on the ellipsoid for a square metre on the plane.
func (f *Field) perPlaneM2(s *shape) float64 {
	k := f.plane.Scale((s.low.east + s.high.east) / 2)
	return 1 / (k * k)
}

// bare measures the ground of the spells: first those of events, then the rest,
// so that what an event left short does not count as idle.
func (f *Field) bare(s *Survey, spells []Spell, sown *cells) {
	b := bareness{f: f, sown: sown, earlier: f.newCells(nil), cover: coverer{stepM: f.stepM()}}
	for _, sp := range spells {
		if sp.Event == 0 {
			continue
		}
		k := slices.IndexFunc(s.Strips, func(t Strip) bool { return t.Event == sp.Event })
		if k < 0 {
			k, s.Strips = len(s.Strips), append(s.Strips, Strip{Event: sp.Event})
		}
		s.ShortM2 += b.strip(&s.Strips[k], sp)
	}
	for i, sp := range spells {
		if sp.Event == 0 {
			s.IdleM2 += b.idle(sp, firstIdle-i)
		}
	}
}
