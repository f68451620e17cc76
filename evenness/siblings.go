package evenness

import (
	"fmt"

	"runproof/drill"
	"runproof/input"
	"runproof/measure"
)

// Safety is how a rate stands to published advice. The zero value is NotJudged.
type Safety int

// The words.
const (
	NotJudged  Safety = iota // nothing published fits, or something needed is not said
	Within                   // at or under the lesser published figure
	InTheRange               // between the two published figures
	Past                     // over the greater published figure
)

var safetyWords = []string{"not judged", "within", "in the range", "past"}

// String is the word used in documents.
func (s Safety) String() string {
	if s < 0 || int(s) >= len(safetyWords) {
		return fmt.Sprintf("safety %d", int(s))
	}
	return safetyWords[s]
}

// MarshalText is String.
func (s Safety) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads one of the words.
func (s *Safety) UnmarshalText(b []byte) error {
	return input.Word(s, b, safetyWords, "%q says nothing of a rate")
}

// SiblingRise is what blocked runs of a fertiliser head do to the others: what
// they do not take goes to those.
type SiblingRise struct {
	Product  drill.ProductID `json:"product"`           // id of the fertiliser
	Head     drill.HeadID    `json:"head"`              // id of the head
	Outlets  int             `json:"outlets"`           // its open ones
	Blocked  []drill.RunID   `json:"blocked,omitempty"` // runs that lost flow at the same time; absent = any one, wholly
	Since    string          `json:"since,omitempty"`   // from when on, in the log's form of time
	Rise     *float64        `json:"rise"`              // of each of the others: n/(n-1) where one is blocked; null where there are none
	RateKgHa *float64        `json:"rate_kg_ha"`        // rate as set, kg/ha; null = not said
	RestKgHa *float64        `json:"rest_kg_ha"`        // rate of the others while one is blocked, kg/ha
	SBU      *float64        `json:"sbu"`               // seedbed utilisation: spread over row spacing; null = spread not said
	Nutrient string          `json:"nutrient"`          // the nutrient judged; empty where nothing was
	Set      Safety          `json:"set"`               // the rate as set, against published advice
	Rest     Safety          `json:"rest"`              // the rate of the others, against published advice
	LowKgHa  *float64        `json:"low_kg_ha"`         // lesser published figure, kg/ha of the nutrient
	HighKgHa *float64        `json:"high_kg_ha"`        // greater published figure, kg/ha of the nutrient
	SetNutKg *float64        `json:"set_nut_kg"`        // nutrient at the rate as set, kg/ha
	RestNut  *float64        `json:"rest_nut_kg"`       // nutrient of the others while one is blocked, kg/ha
	Words    string          `json:"words"`             // the same in a sentence
	Source   string          `json:"source"`            // of the published figures
	Mark     *Mark           `json:"mark,omitempty"`    // how sure they are
}

// SBU is the seedbed utilisation: the width over which seed and fertiliser lie
// in the row over the row spacing (Manitoba Agriculture, Guidelines for Safely
// Applying Fertilizer with Seed). It is at most 1.
func SBU(spreadM, rowM float64) float64 { return min(1, spreadM/rowM) }

// Siblings says for every head of every fertiliser what one blocked run would do
// to the others, and whether that passes a published rate for the seed row.
// openerSpreadM is the width over which the opener spreads seed and fertiliser
// together, m; 0 = not said, and nothing is judged.
func Siblings(d *drill.Drill, rates SafeRates, openerSpreadM float64) []SiblingRise {
	out := []SiblingRise{}
	for _, h := range d.Heads {
		p, _ := d.Product(h.Product)
		content, known, is := rates.fertiliser(p)
		if !is {
			continue
		}
		s := SiblingRise{Product: p.ID, Head: h.ID, Outlets: openOutlets(d, h.ID)}
		lead := ""
		if s.Outlets > 1 {
			rise := Rise(s.Outlets)
			s.Rise = finite(rise)
			lead = fmt.Sprintf("One blocked run of head %s gives each of the other %d %.1f %% more", s.Head, s.Outlets-1, 100*(rise-1))
		}
		s.judge(d, p, rates, judged{content, known, openerSpreadM, lead})
		out = append(out, s)
	}
	return out
}

func openOutlets(d *drill.Drill, head drill.HeadID) int {
	n := 0
	for _, r := range d.Runs() {
		if r.Head == head && !r.Closed {
			n++
		}
	}
	return n
}

// judged is what a rate is judged by.
type judged struct {
	content Fertiliser
	known   bool // what it holds
	spreadM float64
	lead    string // what the others get, in words; "" = there are none
}

func (s *SiblingRise) judge(d *drill.Drill, p drill.Product, rates SafeRates, j judged) {
	if j.spreadM > 0 {
		s.SBU = finite(SBU(j.spreadM, d.Rows.SpacingM))
	}
	if p.RateKgHa > 0 {
		s.RateKgHa = finite(p.RateKgHa)
		if s.Rise != nil {
			s.RestKgHa = finite(*s.Rise * p.RateKgHa)
			j.lead += fmt.Sprintf(": %s in place of %s of %s", d.Display.Format(measure.Rate, *s.RestKgHa), d.Display.Format(measure.Rate, *s.RateKgHa), s.Product)
		}
	}
	j.lead += "."
	switch seed := seedWith(d, s.Head, rates); {
	case s.Rise == nil:
		s.Words = fmt.Sprintf("Head %s has one open outlet: there are no others to rise.", s.Head)
	case s.RateKgHa == nil:
		s.Words = j.lead + " Not judged: the drill's description has no rate."
	case j.spreadM == 0:
		s.Words = j.lead + " Not judged: whether and how wide it is placed with the seed is not said (--opener-spread)."
	case !j.known:
		s.Words = j.lead + " Not judged: what the fertiliser holds is not known; write its grade into the material, like 11-52-0."
	case seed == "":
		s.Words = j.lead + " Not judged: no seed goes to the rows of this head, or its material is not said."
	default:
		s.against(d, p, seed, rates, j)
	}
}

// against holds the rates to the first published entry that fits.
func (s *SiblingRise) against(d *drill.Drill, p drill.Product, seed string, rates SafeRates, j judged) {
	show := func(v float64) string { return d.Display.Unit(measure.Rate).Fixed(v, 1) }
	placed := fmt.Sprintf("a spread of %s on rows of %s (seedbed utilisation %.0f %%)", d.Display.Format(measure.ShortLength, j.spreadM), d.Display.Format(measure.ShortLength, d.Rows.SpacingM), 100**s.SBU)
	for _, r := range rates.Rates {
		part := j.content.Of(r.Nutrient)
		if part == 0 || !mentions(seed, r.Crops) || !r.Spread.holds(j.spreadM) || !r.Row.holds(d.Rows.SpacingM) {
			continue
		}
		set, rest := part*p.RateKgHa, part**s.RestKgHa
		s.Nutrient, s.Source, s.Mark = r.Nutrient, r.Source, &r.Mark
		s.LowKgHa, s.HighKgHa, s.SetNutKg, s.RestNut = finite(r.Safe.From), finite(r.Safe.To), finite(set), finite(rest)
		s.Set, s.Rest = r.judge(set), r.judge(rest)
		s.Words = fmt.Sprintf("%s In %s: %s as set, %s while blocked; published as safe with %s at %s: %s to %s (%s). As set: %s; while blocked: %s.",
			j.lead, r.Nutrient, show(set), show(rest), seed, placed, show(r.Safe.From), show(r.Safe.To), r.Source, s.Set, s.Rest)
		return
	}
	s.Words = fmt.Sprintf("%s Not judged: no published rate fits %s with %s at %s; ask for local advice, or add it to the table (--safe-rates).", j.lead, p.Material, seed, placed)
}

func (r SafeRate) judge(kgHa float64) Safety {
	switch {
	case kgHa <= r.Safe.From:
		return Within
	case kgHa <= r.Safe.To:
		return InTheRange
	}
	return Past
}

// seedWith is the material of the seed on the rows of a head, "" where there is
// none or it has no name.
func seedWith(d *drill.Drill, head drill.HeadID, rates SafeRates) string {
	h, _ := d.Head(head)
	rows := map[int]bool{}
	for _, row := range h.Rows {
		rows[row] = true
	}
	for _, r := range d.Runs() {
		p, _ := d.Product(r.Product)
		if _, _, is := rates.fertiliser(p); !is && rows[r.Row] && p.Material != "" {
			return p.Material
		}
	}
	return ""
}
