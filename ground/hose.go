package ground

import (
	"fmt"

	"runproof/drill"
	"runproof/fit"
)

// What is taken of hoses where the fit does not say: common practice, no source.
const (
	usualProductMPS = 12.0 // speed of product in a hose
	usualHoseLay    = 1.2  // hose over straight reach
)

// Hoses tells how long product takes from each run's sensor to its opener,
// seconds: what passes the sensor now reaches the ground so much later.
type Hoses struct {
	S       map[drill.RunID]float64
	Assumed []string // what the fit does not say, and what was taken
}

// HosesOf reckons the times of a fit: from the air that was planned for it, each
// hose by its own length, else from lengths and a usual speed.
func HosesOf(f *fit.Fit) Hoses {
	h := Hoses{S: map[drill.RunID]float64{}}
	air := map[drill.HeadID]fit.HeadAir{}
	for _, a := range f.Air.Heads {
		air[a.Head] = a
	}
	guessed := false
	for _, r := range f.Drill.Runs() {
		head, _ := f.Drill.Head(r.Head)
		lengthM, mps := hose(&f.Drill, air[r.Head], head, r)
		if mps == 0 {
			mps, guessed = usualProductMPS, true
		}
		h.S[r.ID] = max(0, lengthM-f.Drill.Sensing.SensorFromHeadM) / mps
	}
	if guessed {
		h.Assumed = append(h.Assumed, fmt.Sprintf("product goes through hoses at %g m/s: the fit has no air", usualProductMPS))
	}
	return h
}

// hose is the length of a run's hose and the speed of product in it, 0 where
// nothing is known of that.
func hose(d *drill.Drill, a fit.HeadAir, head drill.Head, r drill.Run) (lengthM, mps float64) {
	longest := head.HoseM
	_, farthest := d.FarthestRow(head)
	reach := d.ReachM(head, r.Row)
	if longest == 0 {
		longest = usualHoseLay * farthest
	}
	if lengthM = longest; farthest > 0 {
		lengthM = longest * reach / farthest
	}
	if s := a.ToRow.Seconds.Likely - a.ToHead.Seconds.Likely; s > 0 && a.Hose.LengthM > 0 {
		mps = a.Hose.LengthM / s
	}
	return lengthM, mps
}
