package drill

import (
	"bytes"
	"errors"
	"fmt"
	"math"

	"runproof/input"
)

// Where things usually are, metres: common practice, no source. New remarks on
// each that it puts in.
const (
	usualRankGapM = 0.6
	usualHeadUpM  = 1.5
	usualBarUpM   = 1.0
	usualGNSSM    = 4.0 // ahead of the front rank
	usualHingeM   = 0.5 // slack of a harness over a hinge
	headOffHingeM = 0.3 // least distance of a head from a hinge
	productStepM  = 0.5 // heads of the next product stand so far behind
	hingeHalfGapM = 0.1 // from a hinge to the frame points on either side
	hitchAheadM   = 2.0 // of the front rank
)

// New makes a description from the few facts that one gets on the phone, and
// remarks on what it had to guess. The drill passes Read; places are rounded
// to millimetres. The error is input.Faults without places.
func New(f Facts) (*Drill, Remarks, error) {
	if err := f.faults(); err != nil {
		return nil, nil, err
	}
	d := &Drill{
		Runproof: Version, Name: f.Name, Display: f.Display,
		Rows:    Rows{f.Rows, f.SpacingM, f.ranks()},
		Cart:    Cart{Position: f.Cart},
		GNSS:    GNSS{Point{Forward: usualGNSSM}},
		Work:    Work{orUsual(f.SpeedMPS, defaultSpeedMPS)},
		Sensing: Sensing{Node: f.Node, SensorFromHeadM: defaultSensorFromHeadM},
		Supply:  Supply{Volts: orUsual(f.Volts, defaultVolts)},
	}
	if f.GNSS != nil {
		d.GNSS.At = *f.GNSS
	}
	if err := f.addHeads(d); err != nil {
		return nil, nil, input.Faults{asFault(err)}
	}
	f.addSections(d)
	f.addFrame(d)
	if err := d.Validate(); err != nil {
		return nil, nil, err
	}
	return d, f.remarks(), nil
}

// Validate checks a drill that did not come from Read: what Read would say of
// it, without places.
func (d *Drill) Validate() error {
	var b bytes.Buffer
	if err := d.Write(&b); err != nil {
		return err
	}
	_, err := Read(&b, "")
	var faults input.Faults
	if !errors.As(err, &faults) {
		return err
	}
	for i := range faults {
		faults[i].Place = input.Place{}
	}
	return faults
}

func asFault(err error) input.Fault {
	var f input.Fault
	if errors.As(err, &f) {
		return f
	}
	return input.Fault{What: err.Error()}
}

func orUsual(v, usual float64) float64 {
	if v == 0 {
		return usual
	}
	return v
}

// faults are those facts from which no drill can be made.
func (f Facts) faults() error {
	var faults input.Faults
	if f.Rows < 1 || f.Rows > MaxRows {
		faults.Add(input.Place{}, "count the openers", "%d rows; a drill has 1 to %d", f.Rows, MaxRows)
	}
	if !(f.SpacingM > 0) || math.IsInf(f.SpacingM, 0) {
		faults.Add(input.Place{}, "measure from one opener to the next across the drill", "the row spacing is not known")
	}
	if f.Wings < 0 || f.Wings%2 != 0 || f.Wings > 12 {
		faults.Add(input.Place{}, "say 0, 2, 4, ... wings", "%d wings: they come in pairs, left and right of the middle", f.Wings)
	}
	if f.Ranks < 0 || f.Ranks > max(1, f.Rows) {
		faults.Add(input.Place{}, "count the lines of openers across the frame", "%d ranks for %d rows", f.Ranks, f.Rows)
	}
	if f.Sections < 0 || f.Sections > max(1, f.Rows) {
		faults.Add(input.Place{}, "say how many parts of the width can be shut off", "%d sections for %d rows", f.Sections, f.Rows)
	}
	if f.Shoot != Single && len(f.Products) < 2 {
		faults.Add(input.Place{}, "name two, such as seed and fert", "%s seeding needs a second product", f.Shoot)
	}
	if f.Shoot == MidRow && f.Rows < 2 {
		faults.Add(input.Place{}, "count the openers again", "a band lies between two rows, but there is %d", f.Rows)
	}
	return faults.Err()
}

func (f Facts) ranks() []float64 {
	n := f.Ranks
	if n == 0 {
		n = min(3, f.Rows)
	}
	ranks := make([]float64, n)
	for i := range ranks {
		if i > 0 {
			ranks[i] = roundM(-float64(i) * orUsual(f.RankGapM, usualRankGapM))
		}
	}
	return ranks
}

// addHeads adds the products that have hoses of their own, and their heads.
func (f Facts) addHeads(d *Drill) error {
	products := f.Products
	if len(products) == 0 {
		products = []ProductFacts{{Product: Product{ID: "seed"}}}
	}
	if f.Shoot == Single {
		products = products[:1]
	}
	for i, p := range products {
		rows := allRows(f.Rows)
		if i > 0 && f.Shoot == MidRow {
			rows = bandRows(f.Rows)
		}
		outlets, err := p.outlets(len(rows))
		if err != nil {
			return err
		}
		d.Products = append(d.Products, p.Product)
		d.Sensing.Products = append(d.Sensing.Products, p.ID)
		for k, n := range outlets {
			d.Heads = append(d.Heads, f.head(d, i, k, rows[:n]))
			rows = rows[n:]
		}
	}
	return nil
}

// bandRows names the bands between rows 1 and 2, 3 and 4, ... after the left
// row of each pair.
func bandRows(rows int) []int {
	var bands []int
	for row := 1; row < rows; row += 2 {
		bands = append(bands, row)
	}
	return bands
}

// head is head k (from the left) of product i, over the middle of its rows but
// off the hinges.
func (f Facts) head(d *Drill, i, k int, rows []int) Head {
	middle := (d.RowAt(rows[0]).Right + d.RowAt(rows[len(rows)-1]).Right) / 2
	back := d.Rows.RanksM[len(d.Rows.RanksM)-1] / 2
	return Head{
		ID: headID(d.Products, i, k), Product: d.Products[i].ID, Rows: rows, HoseMM: f.HoseMM,
		At: Point{
			Forward: roundM(back - float64(i)*productStepM),
			Right:   roundM(f.offHinges(d, middle)),
			Up:      usualHeadUpM,
		},
	}
}

// headID calls the heads of the first product A, B, C, ... and those of the
// others by initial and number, F1, F2, ...; by id and number where the
// initial is taken.
func headID(products []Product, i, k int) HeadID {
	if i == 0 {
		return letterID(k)
	}
	prefix := initial(products[i].ID)
	for _, p := range products[1:i] {
		if initial(p.ID) == prefix {
			prefix = string(products[i].ID)
		}
	}
	return HeadID(fmt.Sprintf("%s%d", prefix, k+1))
}
