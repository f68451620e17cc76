package allocate

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"runproof/drill"
)

// place is a head of a test problem: forward, right, up in metres, and its
// sensed runs.
type place [4]float64

// problemOf states a problem as NewProblem does, without a drill around it.
func problemOf(heads []place, capacity int, reachM float64) Problem {
	p := Problem{Cap: capacity}
	var hs []drill.Head
	for _, h := range heads {
		p.Demand = append(p.Demand, int(h[3]))
		p.At = append(p.At, drill.Point{Forward: h[0], Right: h[1], Up: h[2]})
		hs = append(hs, drill.Head{At: p.At[len(p.At)-1]})
	}
	p.DistM = distances(hs, reachM+reachSlackM)
	return p
}

// solved is a problem of testdata/optimal.json with its optimum.
type solved struct {
	Name            string  `json:"name"`
	Ports           int     `json:"ports"`
	SparePorts      int     `json:"spare_ports"`
	TubeMaxM        float64 `json:"tube_max_m"`
	SensorFromHeadM float64 `json:"sensor_from_head_m"`
	Heads           []place `json:"heads"`
	Nodes           int     `json:"nodes"`
	Pairs           int     `json:"pairs"`
	DistM           float64 `json:"dist_m"`
}

func (s solved) problem() Problem {
	return problemOf(s.Heads, s.Ports-s.SparePorts, s.TubeMaxM-s.SensorFromHeadM)
}

func solvedProblems(t testing.TB) []solved {
	t.Helper()
	text, err := os.ReadFile("testdata/optimal.json")
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Problems []solved `json:"problems"`
	}
	if err := json.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	return doc.Problems
}

// grid is heads in ranks across a drill, with about so many runs in all.
func grid(heads, ranks int, widthM float64, runs int, rng *rand.Rand) []place {
	columns := (heads + ranks - 1) / ranks
	out := make([]place, heads)
	for i := range out {
		c, k := i/ranks, i%ranks
		out[i] = place{-0.4 - 0.9*float64(k), math.Round(1000*widthM*((float64(c)+0.5)/float64(columns)-0.5)) / 1000, 1.5, 1}
	}
	for range runs - heads {
		out[rng.IntN(heads)][3]++
	}
	return out
}

// judge says what is wrong with a solution: runs not served or served twice,
// nodes too full or out of reach, sums that are not so, bounds above the
// answer. It is the contract's rule, written down once more.
func judge(t interface{ Errorf(string, ...any) }, p Problem, s Solution) {
	left := append([]int(nil), p.Demand...)
	pairs, m := 0, 0.0
	for i, n := range s.Nodes {
		used := 0
		for k, l := range n.Load {
			if k > 0 && n.Load[k-1].Head >= l.Head || l.Runs < 1 {
				t.Errorf("node %d: load %v", i, n.Load)
			}
			d := p.DistM[n.At][l.Head]
			if math.IsInf(d, 1) {
				t.Errorf("node %d at head %d does not reach head %d", i, n.At, l.Head)
			}
			used += l.Runs
			left[l.Head] -= l.Runs
			pairs++
			m += float64(l.Runs) * d
		}
		if used < 1 || used > p.Cap {
			t.Errorf("node %d serves %d runs; it may serve 1 to %d", i, used, p.Cap)
		}
	}
	for g, n := range left {
		if n != 0 {
			t.Errorf("head %d: %d runs not served", g, n)
		}
	}
	if pairs != s.Pairs || math.Abs(m-s.DistM) > 1e-9 {
		t.Errorf("says %d pairs and %g m, has %d and %g", s.Pairs, s.DistM, pairs, m)
	}
	if f := s.Proof; f.MinNodes > len(s.Nodes) || f.MinNodes == len(s.Nodes) && (f.MinPairs > pairs || f.MinPairs == pairs && f.MinDistM > m+1e-6) {
		t.Errorf("bounds %+v above the answer %d, %d, %g", f, len(s.Nodes), pairs, m)
	}
}
