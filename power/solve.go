package power

import (
	"fmt"
	"math"
)

// Tree is a harness for direct current. Point 0 is the supply; section i ends
// at point i+1.
type Tree struct {
	SupplyV  float64 // at point 0, V
	Sections []Section
}

// Section is go and return between two points, and what is drawn at its far
// end.
type Section struct {
	From  int     // its near end: 0, or the end of an earlier section
	Ohm   float64 // go and return together, ohm
	Amps  float64 // drawn at the far end whatever the voltage, A
	Watts float64 // drawn at the far end whatever the voltage, W
}

// Solution is the operating point of a Tree.
type Solution struct {
	Volts []float64 // between go and return at each point, the supply first
	Amps  []float64 // in each section
}

// SupplyA is the current drawn from the supply, A.
func (s Solution) SupplyA(t Tree) float64 {
	sum := 0.0
	for i, sec := range t.Sections {
		if sec.From == 0 {
			sum += s.Amps[i]
		}
	}
	return sum
}

// NoOperatingPoint is the error of a tree whose loads want more than its
// wires can bring: as the voltage falls, constant-power loads draw more, and
// it collapses. At is the point that the sweep saw fall first.
type NoOperatingPoint struct{ At int }

// Error says so.
func (e NoOperatingPoint) Error() string {
	return fmt.Sprintf("no operating point: the voltage at point %d collapses under the load", e.At)
}

// The sweep ends when what is still to come is under settledV. Nearer to
// collapse than maxSweeps can settle there is no margin to speak of: one part
// in 1e7 of the load.
const (
	settledV  = 1e-10
	maxSweeps = 40_000
)

// Solve returns voltages and currents of a tree, within 1e-9 V. Each sweep
// adds the currents of the loads up towards the supply and takes the drops
// off again outwards (backward-forward sweep):
//
//	I_i = A_i + P_i/V_i + sum of I_k beyond,   V_i = V_from(i) - R_i I_i
//
// The sweeps start from the supply's voltage everywhere and can only fall, so
// where they settle is the highest of the operating points, the one that a
// harness takes when it is switched on. Without constant power the first is
// exact. The error is NoOperatingPoint when a voltage falls to nothing or
// never settles; one load of P watts behind R ohm has an operating point for
// P <= Vs2/(4R) only.
//
// It panics when a section starts at a later point than its own.
func Solve(t Tree) (Solution, error) {
	s := Solution{Volts: make([]float64, len(t.Sections)+1), Amps: make([]float64, len(t.Sections))}
	for i := range s.Volts {
		s.Volts[i] = t.SupplyV
	}
	before := math.Inf(1)
	for range maxSweeps {
		fell, low := s.sweep(t)
		if low > 0 {
			return s, NoOperatingPoint{At: low}
		}
		// Steps shrink by a ratio that only grows towards its limit: what is
		// to come is a geometric series of at most about this sum.
		ratio := fell / before
		if fell == 0 || ratio < 1 && fell*ratio/(1-ratio) < settledV && fell < settledV*1e3 {
			return s, nil
		}
		before = fell
	}
	return s, NoOperatingPoint{At: s.lowest()}
}

// sweep does one sweep and returns the greatest change, and the first point
// whose voltage is nothing, or 0.
func (s Solution) sweep(t Tree) (fell float64, low int) {
	for i, sec := range t.Sections {
		s.Amps[i] = sec.Amps
		if sec.Watts > 0 {
			s.Amps[i] += sec.Watts / s.Volts[i+1]
		}
	}
	for i := len(t.Sections) - 1; i >= 0; i-- {
		if from := t.Sections[i].From; from > 0 {
			s.Amps[from-1] += s.Amps[i]
		}
	}
	for i, sec := range t.Sections {
		v := s.Volts[sec.From] - sec.Ohm*s.Amps[i]
		fell = math.Max(fell, math.Abs(s.Volts[i+1]-v))
		s.Volts[i+1] = v
		if !(v > 0) && low == 0 {
			low = i + 1
		}
	}
	return fell, low
}

func (s Solution) lowest() int {
	at := 0
	for i, v := range s.Volts {
		if v < s.Volts[at] {
			at = i
		}
	}
	return at
}

// Settle solves a tree in which a box that gets less than its least voltage
// [V] switches off and draws nothing. volts has one entry for each section; 0
// is a box that never does. Off are the sections whose boxes are off,
// ascending.
//
// The box furthest under its least voltage goes off first, the later of two
// alike; then all is solved anew. A box that is off never comes on again, so
// the answer is consistent and the same each time, though a box may be off
// that would stay on had another gone first. Without an operating point the
// box behind the most resistance goes. SupplyV must be above zero.
func Settle(t Tree, least []float64) (s Solution, off []int) {
	t.Sections = append([]Section(nil), t.Sections...)
	gone := make([]bool, len(t.Sections))
	for {
		s, err := Solve(t)
		worst := -1
		if err != nil {
			worst = t.farthestLoad()
		} else {
			worst = mostUnder(s, least, gone)
		}
		if worst < 0 {
			for i, g := range gone {
				if g {
					off = append(off, i)
				}
			}
			return s, off
		}
		gone[worst] = true
		t.Sections[worst].Amps, t.Sections[worst].Watts = 0, 0
	}
}

// mostUnder is the section whose box is furthest under its least voltage, -1
// where none is.
func mostUnder(s Solution, least []float64, gone []bool) int {
	worst, most := -1, 0.0
	for i, v := range least {
		if under := v - s.Volts[i+1]; !gone[i] && under > 0 && under >= most {
			worst, most = i, under
		}
	}
	return worst
}

// farthestLoad is the section with a load behind the most resistance, the
// later of two alike; -1 where there is no load.
func (t Tree) farthestLoad() int {
	worst, most := -1, -1.0
	for i, r := range t.PathOhm() {
		if sec := t.Sections[i]; (sec.Amps > 0 || sec.Watts > 0) && r >= most {
			worst, most = i, r
		}
	}
	return worst
}

// PathOhm is the loop resistance from the supply to the end of each section,
// ohm.
func (t Tree) PathOhm() []float64 {
	ohm := make([]float64, len(t.Sections))
	for i, sec := range t.Sections {
		ohm[i] = sec.Ohm
		if sec.From > 0 {
			ohm[i] += ohm[sec.From-1]
		}
	}
	return ohm
}
