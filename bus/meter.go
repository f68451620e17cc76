package bus

import "runproof/fit"

// Chain is the pair with the power off: taps along the backbone, each with the
// boxes that hang there, and the cable between them.
type Chain struct {
	Boxes   []int     // at each tap
	CableM  []float64 // between tap i and i+1, m; one fewer than taps
	OhmPerM float64   // of one wire of the pair
	BoxOhm  float64   // of one box across the pair
	EndsOhm [2]float64
}

// Reading is what an ohmmeter shows across the pair at a tap, ohm: the boxes
// there, and what lies to either side, in parallel. Beyond the last tap of
// a side is its terminator; 0 ohm there means that it is missing.
func (c Chain) Reading(tap int) float64 {
	left, right := conductance(c.EndsOhm[0]), conductance(c.EndsOhm[1])
	for i := range tap {
		left = c.along(left+c.boxes(i), i)
	}
	for i := len(c.Boxes) - 1; i > tap; i-- {
		right = c.along(right+c.boxes(i), i-1)
	}
	return 1 / (left + c.boxes(tap) + right)
}

// along is the conductance seen through a stretch of cable, both wires.
func (c Chain) along(siemens float64, stretch int) float64 {
	if siemens == 0 {
		return 0
	}
	return 1 / (1/siemens + 2*c.OhmPerM*c.CableM[stretch])
}

func (c Chain) boxes(tap int) float64 { return float64(c.Boxes[tap]) / c.BoxOhm }

func conductance(ohm float64) float64 {
	if ohm == 0 {
		return 0
	}
	return 1 / ohm
}

// The spread of what is in parallel across the pair, part of the nominal: a
// terminator of 120 ohm has 100 to 130 (ISO 11898, secondary print).
const (
	endLow, endHigh = 100. / 120, 130. / 120
	shortOhm        = 5.0
	openOhm         = 1000.0
)

// Bands are what readings mean on a bus of terminators of endOhm with so many
// boxes and loopOhm of cable, there and back, between its ends: ascending,
// without a gap. Three readings have a reason of their own (two, one, three
// terminators in the spread above); what lies between is doubtful. For 120 ohm
// and a few boxes they are the usual 50 to 65, 100 to 130 and 35 to 45 ohm.
func Bands(endOhm float64, boxes int, loopOhm float64) []fit.OhmBand {
	low := func(ends float64) float64 { return 1 / (ends/(endLow*endOhm) + float64(boxes)/boxLeastOhm) }
	high := func(ends float64) float64 {
		return 1/(ends/(endHigh*endOhm)+float64(boxes)/boxMostOhm) + loopOhm/2
	}
	open := min(openOhm, 0.8*low(0))
	edges := []struct {
		from, to float64
		means    fit.OhmMeaning
		words    string
	}{
		{0, shortOhm, fit.OhmShort, "the two wires touch: unplug the legs one after another until the reading jumps"},
		{low(3), min(high(3), low(2)), fit.OhmTooMany, "one terminator too many: look for one in a box or on a drop"},
		{low(2), high(2), fit.OhmGood, "two terminators, as it must be"},
		{max(low(1), high(2)), high(1) + loopOhm/2, fit.OhmOneMissing, "one terminator is missing, or the backbone is open between here and one end"},
		{open, 0, fit.OhmOpen, "no terminator is reached: both are missing, or the meter is not on the pair"},
	}
	var bands []fit.OhmBand
	at := 0.0
	for _, e := range edges {
		if e.from > at {
			bands = append(bands, fit.OhmBand{FromOhm: at, ToOhm: e.from, Means: fit.OhmDoubtful, Words: "fits no count of terminators: look for a wet or corroded contact, or a resistor of another size"})
		}
		bands = append(bands, fit.OhmBand{FromOhm: max(at, e.from), ToOhm: e.to, Means: e.means, Words: e.words})
		at = e.to
	}
	return bands
}
