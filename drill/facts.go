package drill

import (
	"fmt"

	"runproof/input"
)

// Shoot is how the products come into the ground. The zero value is Single.
type Shoot int

// The ways.
const (
	Single Shoot = iota // all products in one air stream: one hose a row
	Double              // each product in hoses of its own to every row
	MidRow              // the first product to every row, the others in a band between each pair of rows
)

var shootWords = []string{"single", "double", "mid-row"}

// String is "single", "double" or "mid-row".
func (s Shoot) String() string {
	if s < 0 || int(s) >= len(shootWords) {
		return fmt.Sprintf("shoot %d", int(s))
	}
	return shootWords[s]
}

// MarshalText is String.
func (s Shoot) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (s *Shoot) UnmarshalText(b []byte) error {
	return input.Word(s, b, shootWords, "%q is no way of seeding")
}

// Facts are what one learns of a drill on the phone. Rows and SpacingM must be
// said; the zero value of the rest means "not said", and New puts in what is
// usual and remarks on it.
type Facts struct {
	Name     string
	Display  Display
	Rows     int
	SpacingM float64
	Ranks    int     // ranks of openers; 0 = 3, or fewer on a drill of fewer rows
	RankGapM float64 // from rank to rank; 0 = 0.6
	Products []ProductFacts
	Shoot    Shoot
	Wings    int // folding sections beside the middle one: 0, 2, 4, ...
	Sections int // sections that can be shut off, equal parts of the width
	Cart     CartPosition
	GNSS     *Point  // nil = not said
	SpeedMPS float64 // 0 = 2.2
	Volts    float64 // 0 = 12
	Node     string
	HoseMM   float64
}

// ProductFacts are what one learns of one product and its heads.
type ProductFacts struct {
	Product
	Heads   int   // rows split evenly over so many; 0 = as many as heads of about 12 outlets need
	Outlets []int // or outlets of each head from left to right
}

// usualOutlets is how many outlets a head is taken to have when nobody said.
const usualOutlets = 12

// outlets is how many outlets each head of the product has, for so many rows
// to feed.
func (p ProductFacts) outlets(rows int) ([]int, error) {
	if len(p.Outlets) > 0 {
		return p.Outlets, p.outletsFit(rows)
	}
	heads := p.Heads
	if heads == 0 {
		heads = (rows + usualOutlets - 1) / usualOutlets
	}
	if heads < 1 || heads > rows {
		return nil, input.Fault{
			What:   fmt.Sprintf("%d heads for %s cannot share %d rows", heads, p.ID, rows),
			Remedy: fmt.Sprintf("say 1 to %d heads", rows),
		}
	}
	split := make([]int, heads)
	for i := range split {
		split[i] = rows / heads
		if i < rows%heads {
			split[i]++
		}
	}
	return split, nil
}

func (p ProductFacts) outletsFit(rows int) error {
	sum := 0
	for _, n := range p.Outlets {
		if n < 1 {
			return input.Fault{What: fmt.Sprintf("a head of %s with %d outlets", p.ID, n), Remedy: "say at least 1 outlet for each head"}
		}
		sum += n
	}
	if sum != rows {
		return input.Fault{
			What:   fmt.Sprintf("the heads of %s have %d outlets together, but there are %d rows to feed", p.ID, sum, rows),
			Remedy: "say the outlets in use; blind ones do not count",
		}
	}
	return nil
}
