package drill

import (
	"fmt"
	"math"
	"strings"

	"runproof/check"
	"runproof/measure"
)

// Plausibility limits of a description: common practice, no source.
const (
	hoseSlack  = 0.05 // a hose wants this much over the straight distance, to hang without kinks
	besideRowM = 2.0  // how far a head may stand beside the rows it feeds
)

// Check judges a valid description: what is in order for the reader but can
// hardly be so on the drill. Results come head by head, then for the whole.
func Check(d *Drill) check.Results {
	var rs check.Results
	for _, h := range d.Heads {
		rs = append(rs, checkReach(d, h), checkBeside(d, h), checkSensorOnHose(d, h))
	}
	return append(rs, checkFed(d), checkIDs(d), checkSectionsOverlap(d), checkFramePieces(d))
}

// orUnknown is NaN for a figure that is not said.
func orUnknown(v float64) float64 {
	if v == 0 {
		return math.NaN()
	}
	return v
}

func checkReach(d *Drill, h Head) check.Result {
	row, reach := d.FarthestRow(h)
	return check.Result{
		Rule: "hose reach", Of: fmt.Sprintf("head %s to row %d", h.ID, row), Quantity: measure.Length,
		Value: reach, Bound: check.AtMost, Limit: orUnknown(h.HoseM), Reserve: hoseSlack * reach,
		Source: "straight distance; " + check.CommonPractice + " for the slack",
		Advice: fmt.Sprintf("measure the hose, and the place of head %s", h.ID),
	}
}

// checkBeside finds the slip of a sign: a head that stands far outside the
// span of its rows.
func checkBeside(d *Drill, h Head) check.Result {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, row := range h.Rows {
		right := d.RowAt(row).Right
		lo, hi = math.Min(lo, right), math.Max(hi, right)
	}
	return check.Result{
		Rule: "head beside its rows", Of: fmt.Sprintf("head %s", h.ID), Quantity: measure.Length,
		Value: max(0, lo-h.At.Right, h.At.Right-hi), Bound: check.AtMost, Limit: besideRowM,
		Source: check.CommonPractice, Advice: "left of the middle is minus in at_m.right; check the rows it feeds too",
	}
}

func checkSensorOnHose(d *Drill, h Head) check.Result {
	return check.Result{
		Rule: "sensor on its hose", Of: fmt.Sprintf("head %s", h.ID), Quantity: measure.Length,
		Value: d.Sensing.SensorFromHeadM, Bound: check.AtMost, Limit: orUnknown(h.HoseM),
		Source: "geometry", Advice: "sensor_from_head_m is longer than the hose",
	}
}

func checkFed(d *Drill) check.Result {
	unfed := d.UnfedRows()
	r := check.Result{
		Rule: "rows that get nothing", Value: float64(len(unfed)), Bound: check.AtMost,
		Source: "completeness", Advice: "a row without a run is a gap in the crop: add its run, or take its opener out of rows.count",
	}
	if len(unfed) > 0 {
		r.Of = "rows " + unfed.String()
	}
	return r
}

// checkIDs finds ids that differ in letter case only: they are told apart here
// but not by ear, nor in the names of files.
func checkIDs(d *Drill) check.Result {
	seen := make(map[string]string)
	var alike []string
	for _, h := range d.Heads {
		id := string(h.ID)
		if other, ok := seen[strings.ToLower(id)]; ok {
			alike = append(alike, other+" and "+id)
		}
		seen[strings.ToLower(id)] = id
	}
	return check.Result{
		Rule: "heads called alike", Of: strings.Join(alike, ", "), Value: float64(len(alike)), Bound: check.AtMost,
		Source: check.CommonPractice, Advice: "give them ids that differ in more than letter case",
	}
}

// checkSectionsOverlap finds runs in more than one section: shut by either, and
// open only when all are.
func checkSectionsOverlap(d *Drill) check.Result {
	times := make(map[RunID]int)
	for _, s := range d.Sections {
		for _, r := range d.SectionRuns(s) {
			times[r]++
		}
	}
	var twice []string
	for _, r := range d.Runs() {
		if times[r.ID] > 1 {
			twice = append(twice, string(r.ID))
		}
	}
	return check.Result{
		Rule: "runs in several sections", Of: strings.Join(twice, ", "), Value: float64(len(twice)), Bound: check.AtMost,
		Source: "a run is shut by one section", Advice: "name each run in one section",
	}
}

// checkFramePieces judges that a harness can reach every part of the frame, and
// names the pieces that no link joins. Nobody else asks: where there are several
// no harness is laid.
func checkFramePieces(d *Drill) check.Result {
	pieces := d.FrameOrDefault().Pieces()
	r := check.Result{
		Rule: "frame in one piece", Value: float64(max(1, len(pieces))), Bound: check.AtMost, Limit: 1,
		Source: "a harness cannot cross a gap", Advice: "join the pieces with links",
	}
	if len(pieces) > 1 {
		named := make([]string, len(pieces))
		for i, p := range pieces {
			named[i] = strings.Join(p, " ")
		}
		r.Of = strings.Join(named, " | ")
	}
	return r
}

// framePieces groups the points of the frame that links join.
func framePieces(f Frame) [][]string {
	next := make(map[string][]string)
	for _, l := range f.Links {
		next[l.From] = append(next[l.From], l.To)
		next[l.To] = append(next[l.To], l.From)
	}
	var pieces [][]string
	seen := make(map[string]bool)
	for _, p := range f.Points {
		if seen[p.ID] {
			continue
		}
		seen[p.ID] = true
		piece := []string{p.ID}
		for i := 0; i < len(piece); i++ {
			for _, q := range next[piece[i]] {
				if !seen[q] {
					seen[q] = true
					piece = append(piece, q)
				}
			}
		}
		pieces = append(pieces, piece)
	}
	return pieces
}
