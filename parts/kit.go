package parts

import (
	"cmp"
	"fmt"
	"slices"
)

// Line is one line of a kit.
type Line struct {
	Part  string `json:"part"` // id in the catalogue
	Kind  Kind   `json:"kind"`
	Name  string `json:"name"`
	Count int    `json:"count"`           // to fit, in pieces
	Spare int    `json:"spare,omitempty"` // on top of Count
	Why   string `json:"why,omitempty"`   // what the count rests on

	Price    float64 `json:"price,omitempty"`     // of one piece; 0 = not said
	WeightKg float64 `json:"weight_kg,omitempty"` // of one piece, kg; 0 = not said

	Shelf     int    `json:"shelf,omitempty"`      // pieces that are on the shelf; where no shelf was given, 0
	Order     int    `json:"order,omitempty"`      // pieces that must be ordered; where no shelf was given, 0
	InsteadOf string `json:"instead_of,omitempty"` // id of the part that was planned and is short
}

// Pieces is how many pieces to pick: those to fit and the spares.
func (l Line) Pieces() int { return l.Count + l.Spare }

// Kit is what a fit needs, in the order of the kinds.
type Kit struct {
	Lines []Line    `json:"lines"`
	Notes []string  `json:"notes,omitempty"` // rules that were used, and what is not counted
	Shelf ShelfPlan `json:"shelf,omitzero"`  // how it is met from a shelf, where one was given
}

// Cost is the sum over all pieces, in the currency of the prices, and how many
// lines have no price and are not in it.
func (k Kit) Cost() (sum float64, unpriced int) {
	return k.sum(func(l Line) float64 { return l.Price })
}

// WeightKg is the sum over all pieces, kg, and how many lines have no weight
// and are not in it.
func (k Kit) WeightKg() (sum float64, unweighed int) {
	return k.sum(func(l Line) float64 { return l.WeightKg })
}

// sum adds up a figure of one piece over all pieces, and counts the lines that
// lack it.
func (k Kit) sum(of func(Line) float64) (sum float64, lacking int) {
	for _, l := range k.Lines {
		if of(l) == 0 {
			lacking++
		}
		sum += of(l) * float64(l.Pieces())
	}
	return sum, lacking
}

// Count is how many pieces of a kind are to be fitted, spares apart.
func (k Kit) Count(kind Kind) int {
	n := 0
	for _, l := range k.Lines {
		if l.Kind == kind {
			n += l.Count
		}
	}
	return n
}

// Kit counts what a fit needs. What the catalogue has no part for is in the
// notes.
func (c Catalogue) Kit(n Need) Kit {
	b := kitBuilder{cat: c}
	b.nodes(n.Nodes)
	b.hoses(n.Hoses)
	b.tubes(n.TubesM, n.Rolls)
	b.first(Cap, n.FreePorts, "one for each port that listens to no run")
	b.first(Terminator, 2, "one at each end of the bus")
	b.harness(n)
	b.chosen(Gateway, n.Gateway, "")
	b.first(Switch, 1, "")
	b.first(Label, labels(n), labelsWhy(n))
	b.chosen(Antenna, n.Antenna, "")
	b.first(Mount, 1, "for the tablet in the cab")
	b.first(Charger, 1, "for the tablet in the cab")
	b.first(Fixing, total(n.Nodes)+otherBoxes, "one for each node, for gateway, antenna and switch")
	b.ties(n)
	b.note("%s", sparesNote())
	b.note("not counted: the tablet, tools, a marker, bags over open connectors for the way")
	b.inOrder()
	return b.kit
}

type kitBuilder struct {
	cat Catalogue
	kit Kit
}

func (b *kitBuilder) note(format string, args ...any) {
	b.kit.Notes = append(b.kit.Notes, fmt.Sprintf(format, args...))
}

// line adds pieces of a part, with the spares of the policy.
func (b *kitBuilder) line(p Part, count int, why string) {
	b.lineSpared(p, count, spares(p, count), why)
}

func (b *kitBuilder) lineSpared(p Part, count, spare int, why string) {
	if count+spare > 0 {
		b.kit.Lines = append(b.kit.Lines, Line{
			Part: p.ID, Kind: p.Kind, Name: p.String(), Count: count, Spare: spare, Why: why, Price: p.Price, WeightKg: p.WeightKg,
		})
	}
}

// first adds the catalogue's first part of a kind.
func (b *kitBuilder) first(k Kind, count int, why string) {
	if count <= 0 {
		return
	}
	ps := b.cat.Of(k)
	if len(ps) == 0 {
		b.note("the catalogue has no %s: %d needed", k, count)
		return
	}
	b.line(ps[0], count, why)
}

// chosen adds one piece of the part that the fit names, or else the
// catalogue's first of its kind.
func (b *kitBuilder) chosen(k Kind, id, why string) {
	if id == "" {
		b.first(k, 1, why)
		return
	}
	b.named(id, 1, why)
}

// named adds pieces of the part with that id.
func (b *kitBuilder) named(id string, count int, why string) {
	p, ok := b.cat.Part(id)
	if !ok {
		b.note("the catalogue has no part %s: %d needed", id, count)
		return
	}
	b.line(p, count, why)
}

func (b *kitBuilder) nodes(nodes []Some) {
	for _, n := range nodes {
		b.named(n.Part, n.Pieces, "")
	}
}

// byKind orders lines as a kit lists them.
func byKind(a, b Line) int { return cmp.Compare(a.Kind, b.Kind) }

// inOrder puts the lines in the order of the kinds and joins those of one
// part.
func (b *kitBuilder) inOrder() {
	slices.SortStableFunc(b.kit.Lines, byKind)
	var out []Line
	for _, l := range b.kit.Lines {
		i := slices.IndexFunc(out, func(o Line) bool { return o.Part == l.Part })
		if i < 0 {
			out = append(out, l)
			continue
		}
		p, _ := b.cat.Part(l.Part)
		out[i].Count += l.Count
		out[i].Spare = spares(p, out[i].Count)
		if l.Why != "" && out[i].Why != l.Why {
			out[i].Why += "; " + l.Why
		}
	}
	b.kit.Lines = out
}
