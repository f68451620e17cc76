package walk_test

import (
	"fmt"
	"math"
	"os"
	"strings"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/walk"
)

// pinchedInTurn is a recording of four runs on one head, 40 particles/s each,
// at 5 Hz: at 10, 19, 31 and 38 s the hose of ports[0], ports[1], ... is shut
// for four seconds and the others take its product.
func pinchedInTurn(ports ...int) *flowlog.Log {
	starts := []float64{10, 19, 31, 38}
	l := &flowlog.Log{}
	l.Clock = flowlog.Seconds
	for p := 1; p <= 4; p++ {
		l.Columns = append(l.Columns, flowlog.PortColumn(fit.PortRef{Node: "4103", Port: p}))
		l.Values = append(l.Values, nil)
	}
	for i := range 250 {
		t := 0.2 * float64(i+1)
		l.TimeNS = append(l.TimeNS, int64(math.Round(t*1e9)))
		shut := 0
		for k, p := range ports {
			if at := starts[k]; t > at && t <= at+4 {
				shut = p
			}
		}
		for p := 1; p <= 4; p++ {
			n := 8 + float64((i*7+p*3)%5) - 2
			switch shut {
			case 0:
			case p:
				n = 0
			default:
				n *= 4.0 / 3
			}
			l.Values[p-1] = append(l.Values[p-1], n)
		}
	}
	return l
}

func fourRuns() *fit.Fit {
	f := &fit.Fit{Runproof: fit.Version, Revision: 1}
	f.Drill.Heads = []drill.Head{{ID: "A", Product: "seed", Rows: []int{1, 2, 3, 4}}}
	f.Drill.Sensing.Products = []drill.ProductID{"seed"}
	for i := 1; i <= 4; i++ {
		f.Map = append(f.Map, fit.Link{Run: drill.NewRunID("A", i), Node: "4103", Port: i})
	}
	return f
}

// A person pinched A-1 to A-4 and noted it on a phone that is 62 s ahead of the
// recorder. The tubes of A-1 and A-2 are on each other's ports.
func ExampleProve() {
	f := fourRuns()
	marks, err := walk.ReadMarks(strings.NewReader("time,run\n72.3,A-1\n80.6,A-2\n93.2,A-3\n100.1,A-4\n"), "marks.csv", []drill.RunID{"A-1", "A-2", "A-3", "A-4"})
	if err != nil {
		fmt.Println(err)
		return
	}
	proof, err := walk.Prove(f, pinchedInTurn(2, 1, 3, 4), walk.Options{Marks: marks})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("recorder minus phone: %.0f s\n", *proof.ClockOffsetS)
	for _, r := range proof.Runs {
		fmt.Println(r.Run, r.Verdict, r.Found)
	}
	for _, m := range proof.Moves {
		fmt.Println(m.Words)
	}
	// Output:
	// recorder minus phone: -62 s
	// A-1 moved 4103:2
	// A-2 moved 4103:1
	// A-3 as_planned 4103:3
	// A-4 as_planned 4103:4
	// Take the tube of A-1 off 4103 port 2 and leave it loose. Move the tube of A-2 from 4103 port 1 to port 2.
	// Put the loose tube of A-1 on 4103 port 1.
}

func ExampleReadMarks() {
	_, err := walk.ReadMarks(strings.NewReader("time,run\n41.2,A-7\n49.0,A-8\n"), "marks.csv", []drill.RunID{"A-7", "A-9"})
	fmt.Fprintln(os.Stdout, err)
	// Output: marks.csv:3:6: the fit senses no run "A-8"; did you mean A-7?
}
