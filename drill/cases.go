package drill

import "fmt"

// Case is one drill that every function on drills must survive.
type Case struct {
	Name  string
	Drill *Drill
}

// Cases returns the battery: the smallest and the widest drill, and each shape
// that has broken code which took drills to be regular. All are valid and
// fictional. Every call builds them anew, so that a test may alter its own.
func Cases() []Case {
	return []Case{
		{"one row", oneRow()},
		{"400 rows, 60 heads", evenDrill("wide", 400, 0.15, 60)},
		{"gaps in rows", gaps()},
		{"two products on the same rows", doubleShoot()},
		{"closed runs", closedRuns()},
		{"mid-row banding at half the rows", midRow()},
		{"sections", sections()},
		{"uneven heads", unevenHeads()},
		{"cart behind", cartBehind()},
		{"two ranks of heads, folding frame", twoHeadRanks()},
	}
}

// evenDrill is a seed-only drill whose rows are split evenly over its heads,
// the first heads taking one more where the split leaves a rest.
func evenDrill(name string, rows int, spacingM float64, heads int) *Drill {
	d := &Drill{
		Runproof: Version, Name: name,
		Rows:     Rows{Count: rows, SpacingM: spacingM, RanksM: []float64{0, -0.6, -1.2}},
		Products: []Product{{ID: "seed", Material: "wheat", RateKgHa: 110, TKWG: 38}},
		GNSS:     GNSS{At: Point{Forward: 4}},
		Work:     Work{SpeedMPS: 2.2},
		Sensing:  Sensing{Node: "node-12", Products: []ProductID{"seed"}, SensorFromHeadM: 0.4},
		Supply:   Supply{Volts: 12},
	}
	d.Heads = headsOver(d, "seed", allRows(rows), heads, 0)
	return d
}

// headsOver splits the rows over n heads named A, B, ..., Z, AA, ..., skipping
// the first used letters, each mid-way over the rows it feeds.
func headsOver(d *Drill, p ProductID, rows []int, n, used int) []Head {
	var hs []Head
	total := len(rows)
	for i := range n {
		size := total / n
		if i < total%n {
			size++
		}
		mine := rows[:size]
		rows = rows[size:]
		mid := (d.RowAt(mine[0]).Right + d.RowAt(mine[size-1]).Right) / 2
		hs = append(hs, Head{
			ID: letterID(used + i), Product: p, Rows: mine,
			At: Point{Forward: -0.4, Right: roundM(mid), Up: 1.5}, HoseM: 3.5, HoseMM: 25,
		})
	}
	return hs
}

func allRows(n int) []int {
	rows := make([]int, n)
	for i := range rows {
		rows[i] = i + 1
	}
	return rows
}

// letterID counts A to Z, then AA, AB, ...
func letterID(i int) HeadID {
	if i < 26 {
		return HeadID(rune('A' + i))
	}
	return letterID(i/26-1) + letterID(i%26)
}

func oneRow() *Drill {
	d := evenDrill("one row", 1, 0.25, 1)
	d.Rows.RanksM = []float64{0}
	return d
}

func gaps() *Drill {
	d := evenDrill("gaps", 24, 0.25, 2)
	d.Heads[0].Rows = RowList{1, 2, 3, 5, 7, 8, 12}
	d.Heads[1].Rows = RowList{24, 23, 20, 14, 13}
	return d
}

// doubleShoot feeds every row with seed and with fertiliser.
func doubleShoot() *Drill {
	d := evenDrill("double shoot", 48, 0.25, 4)
	d.Products = append(d.Products, Product{ID: "fert", Material: "urea", RateKgHa: 80, TKWG: 14.9})
	d.Sensing.Products = []ProductID{"seed", "fert"}
	fert := headsOver(d, "fert", allRows(48), 4, 4)
	for i := range fert {
		fert[i].At.Forward = -0.6
	}
	d.Heads = append(d.Heads, fert...)
	return d
}

func closedRuns() *Drill {
	d := evenDrill("closed runs", 36, 0.25, 3)
	d.Closed = []RunID{"A-5", "A-6", "C-7", "C-8", "B-12"}
	return d
}

// midRow bands fertiliser between rows 1 and 2, 3 and 4, ...: a band goes by
// the left row of its pair.
func midRow() *Drill {
	d := evenDrill("mid-row banding", 40, 0.25, 4)
	d.Products = append(d.Products, Product{ID: "fert", Material: "urea", RateKgHa: 120})
	var bands []int
	for row := 1; row <= 40; row += 2 {
		bands = append(bands, row)
	}
	d.Heads = append(d.Heads, headsOver(d, "fert", bands, 2, 4)...)
	return d
}

func sections() *Drill {
	d := evenDrill("sections", 48, 0.25, 4)
	d.Sections = []Section{
		{ID: "S1", Heads: []HeadID{"A"}},
		{ID: "S2", Heads: []HeadID{"B", "C"}},
		{ID: "S3"},
	}
	for outlet := 1; outlet <= 6; outlet++ {
		d.Sections[2].Runs = append(d.Sections[2].Runs, NewRunID("D", outlet))
	}
	return d
}

func unevenHeads() *Drill {
	d := evenDrill("uneven heads", 40, 0.19, 4)
	rows := allRows(40)
	for i, size := range []int{2, 19, 7, 12} {
		d.Heads[i].Rows, rows = rows[:size], rows[size:]
		mid := (d.RowAt(d.Heads[i].Rows[0]).Right + d.RowAt(d.Heads[i].Rows[size-1]).Right) / 2
		d.Heads[i].At.Right = roundM(mid)
	}
	return d
}

func cartBehind() *Drill {
	d := evenDrill("cart behind", 60, 0.25, 5)
	d.Cart.Position = CartBehind
	d.GNSS.At = Point{Forward: 6.2, Right: -0.3, Up: 3.1}
	return d
}

// twoHeadRanks has heads in two ranks over one another, US display, and a
// frame with a hinge at each wing.
func twoHeadRanks() *Drill {
	d := evenDrill("two ranks of heads", 72, 0.254, 6)
	d.Display = US
	for i := range d.Heads {
		if i%2 == 1 {
			d.Heads[i].At.Forward = -2.1
		}
	}
	for i, right := range []float64{-9, -3, 3, 9} {
		d.Frame.Points = append(d.Frame.Points, FramePoint{ID: fmt.Sprintf("F%d", i+1), At: Point{Forward: -1, Right: right, Up: 1}})
	}
	d.Frame.Links = []FrameLink{{"F1", "F2", 0.6}, {"F2", "F3", 0}, {"F3", "F4", 0.6}}
	return d
}
