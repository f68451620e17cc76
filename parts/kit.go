package parts

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Need is what a fit asks of the catalogue.
type Need struct {
	Node      string     // id of the node part
	Nodes     int        // how many
	FreePorts int        // ports of all nodes that listen to no run
	Hoses     []HoseNeed // sensors by hose size
	TubesM    []float64  // length of each tube as planned, straight, m
}

// HoseNeed is how many sensors go into hoses of one inside diameter.
type HoseNeed struct {
	MM      float64 // inside diameter, mm; 0 = not said
	Sensors int
}

// Line is one line of a kit.
type Line struct {
	Part  string  `json:"part"` // id in the catalogue
	Kind  Kind    `json:"kind"`
	Name  string  `json:"name"`
	Count int     `json:"count"`           // to fit, in pieces
	Spare int     `json:"spare,omitempty"` // on top of Count
	Why   string  `json:"why,omitempty"`   // what the count rests on
	Price float64 `json:"price,omitempty"` // of one piece; 0 = not said
}

// Pieces is how many pieces to pick: those to fit and the spares.
func (l Line) Pieces() int { return l.Count + l.Spare }

// Kit is what a fit needs, in the order of the kinds.
type Kit struct {
	Lines []Line   `json:"lines"`
	Notes []string `json:"notes,omitempty"` // rules that were used, and what is not counted
}

// Cost is the sum over all pieces, in the currency of the prices, and how many
// lines have no price and are not in it.
func (k Kit) Cost() (sum float64, unpriced int) {
	for _, l := range k.Lines {
		if l.Price == 0 {
			unpriced++
		}
		sum += l.Price * float64(l.Pieces())
	}
	return sum, unpriced
}

// The rules for spares and for the lay of tubes: common practice, no source.
const (
	sensorsPerSpare = 20   // one spare sensor for each 20 begun
	capsPerSpare    = 10   // one spare cap for each 10 begun
	layFactor       = 1.15 // a tube is this much longer than the straight distance
	cutStepM        = 0.05 // tubes are cut to whole steps
)

// Kit counts what a fit needs. What the catalogue has no part for is in the
// notes.
func (c Catalogue) Kit(n Need) Kit {
	b := kitBuilder{cat: c}
	if p, ok := c.Part(n.Node); ok {
		b.line(p, n.Nodes, 0, "")
	}
	b.note("no spare node is counted: keep one of the same kind in the workshop")
	b.hoses(n.Hoses)
	b.tubes(n.TubesM)
	b.first(Cap, n.FreePorts, perSpare(n.FreePorts, capsPerSpare), "one for each port that listens to no run")
	b.first(Terminator, 2, 0, "one at each end of the bus")
	b.first(Gateway, 1, 0, "")
	b.first(Switch, 1, 0, "")
	b.first(Label, 2*len(n.TubesM), 0, "two for each run: at the sensor and at the port")
	b.note("spares: one sensor for each %d begun, one cap for each %d begun", sensorsPerSpare, capsPerSpare)
	b.note("harness legs, junctions and fuses come with the harness plan")
	slices.SortStableFunc(b.kit.Lines, func(a, b Line) int { return cmp.Compare(a.Kind, b.Kind) })
	return b.kit
}

func perSpare(n, each int) int { return (n + each - 1) / each }

type kitBuilder struct {
	cat Catalogue
	kit Kit
}

func (b *kitBuilder) note(format string, args ...any) {
	b.kit.Notes = append(b.kit.Notes, fmt.Sprintf(format, args...))
}

func (b *kitBuilder) line(p Part, count, spare int, why string) {
	if count > 0 {
		b.kit.Lines = append(b.kit.Lines, Line{Part: p.ID, Kind: p.Kind, Name: p.String(), Count: count, Spare: spare, Why: why, Price: p.Price})
	}
}

// first adds the catalogue's first part of a kind.
func (b *kitBuilder) first(k Kind, count, spare int, why string) {
	ps := b.cat.Of(k)
	if len(ps) == 0 {
		b.note("the catalogue has no %s", k)
		return
	}
	b.line(ps[0], count, spare, why)
}

// hoses adds sensors and clamps by hose size.
func (b *kitBuilder) hoses(needs []HoseNeed) {
	for _, n := range needs {
		if n.MM == 0 {
			b.note("%d sensors go into hoses whose size is not said: measure, and write hose_mm at the heads", n.Sensors)
			continue
		}
		why := fmt.Sprintf("one for each sensed run of %g mm", n.MM)
		b.ofHose(Sensor, n.MM, n.Sensors, perSpare(n.Sensors, sensorsPerSpare), why)
		b.ofHose(Clamp, n.MM, 2*n.Sensors, 0, "two for each sensor")
	}
}

// ofHose adds the first part of a kind that fits the hose.
func (b *kitBuilder) ofHose(k Kind, mm float64, count, spare int, why string) {
	for _, p := range b.cat.Of(k) {
		if p.HoseMM == mm {
			b.line(p, count, spare, why)
			return
		}
	}
	b.note("the catalogue has no %s for %g mm hose: %d are needed", k, mm, count)
}

// tubes cuts the tubes from rolls, longest first (first fit decreasing), and
// swaps each roll for the shortest stock that holds what was cut from it.
func (b *kitBuilder) tubes(lengthsM []float64) {
	longest := 0.0
	for _, p := range b.cat.Of(Tube) {
		longest = max(longest, p.LengthM)
	}
	pieces := make([]float64, len(lengthsM))
	total := 0.0
	for i, m := range lengthsM {
		pieces[i] = cutStepM * math.Ceil(m*layFactor/cutStepM-1e-9)
		total += pieces[i]
	}
	rolls, over := packRolls(pieces, longest)
	if over > 0 {
		b.note("no roll in the catalogue is long enough for %d of the tubes", over)
	}
	counts := make(map[string]int)
	for _, used := range rolls {
		if p, ok := b.cat.Stock(Tube, used); ok {
			counts[p.ID]++
		}
	}
	for _, p := range b.cat.Of(Tube) {
		b.line(p, counts[p.ID], 0, fmt.Sprintf("%d tubes, %.1f m with the lay", len(pieces), total))
	}
	b.note("tubes are counted %d %% longer than the straight distance for the lay, cut to whole %.0f cm", int(math.Round(100*(layFactor-1))), 100*cutStepM)
}

// packRolls cuts pieces from rolls of one length and returns how much of each
// roll is used, and how many pieces are longer than a roll.
func packRolls(pieces []float64, rollM float64) (used []float64, over int) {
	pieces = slices.Clone(pieces)
	slices.SortFunc(pieces, func(a, b float64) int { return cmp.Compare(b, a) })
	for _, m := range pieces {
		if m > rollM {
			over++
			continue
		}
		i := slices.IndexFunc(used, func(u float64) bool { return u+m <= rollM+1e-9 })
		if i < 0 {
			used, i = append(used, 0), len(used)
		}
		used[i] += m
	}
	return used, over
}

// Stock is the shortest part of a kind that is at least so long, the first of
// equals.
func (c Catalogue) Stock(k Kind, lengthM float64) (Part, bool) {
	var best Part
	for _, p := range c.Of(k) {
		if p.LengthM+1e-9 >= lengthM && (best.ID == "" || p.LengthM < best.LengthM) {
			best = p
		}
	}
	return best, best.ID != ""
}
