package cost

import "math"

// LostWidthM is the width whose harvest is lost where rows side by side got no
// seed: rows (at least 1) at spacingM between neighbours, m; neighbours use
// ground up to reachM beside them, m, with efficiency (0 to 1) of a full
// stand's yield there:
//
//	k s - 2 e min(k s/2, r)
//
// It lies between 0 and rows x spacingM, and by the row it never falls with the
// rows.
func LostWidthM(rows int, spacingM, reachM, efficiency float64) float64 {
	w := float64(rows) * spacingM
	return w - 2*efficiency*min(w/2, reachM)
}

// LostPart is LostWidthM as a part of the width missed, 0 to 1.
func LostPart(rows int, spacingM, reachM, efficiency float64) float64 {
	return LostWidthM(rows, spacingM, reachM, efficiency) / (float64(rows) * spacingM)
}

// ThinPart is the part of the yield that a stand lacks that kept a part left (0
// to 1) of the plants wanted a square metre, when halfM2 plants/m2 give half of
// what the crop can reach:
//
//	y = d/(a + b d), halfM2 = a/b: 1 - left (halfM2 + plants)/(halfM2 + left plants)
//
// The reciprocal equation is Willey and Heath's (Advances in Agronomy 21, 1969).
// It is 1 for left 0 and 0 for left 1; halfM2 0 is a crop that makes up
// everything as long as one plant stands.
func ThinPart(left, plantsM2, halfM2 float64) float64 {
	if left <= 0 {
		return 1
	}
	return 1 - left*(halfM2+plantsM2)/(halfM2+left*plantsM2)
}

// Plants are what one draw assumes of a crop.
type Plants struct {
	ReachM     float64 // ground that a border row uses beside it, m
	Efficiency float64 // yield there as a part of a full stand's, 0 to 1
	PlantsM2   float64 // wanted
	HalfM2     float64 // plants/m2 that give half of what the crop can reach
	Help       float64 // part of the help to a bare row that a thin one gets, 0 to 1
}

// LostPart is the part of the yield lost on ground where rows side by side kept
// a part left of their seed. A thin row is short by ThinPart, of which its
// neighbours take Help times what they would of a bare one; it never costs more
// than a bare row.
func (p Plants) LostPart(rows int, spacingM, left float64) float64 {
	bare := LostPart(rows, spacingM, p.ReachM, p.Efficiency)
	thin := ThinPart(left, p.PlantsM2, p.HalfM2)
	return math.Min(bare, thin*(1-p.Help*(1-bare)))
}
