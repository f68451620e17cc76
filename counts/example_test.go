package counts_test

import (
	"fmt"
	"math/rand/v2"

	"runproof/counts"
)

// How long until a sound run gives a false alarm, and a blocked one a true one?
// 20 particles a sample of 0.2 s, low below 8, two in a row.
func ExampleMeanRunLength() {
	low := counts.LargestBelow(0.4 * 20)
	sound, blocked := counts.Poisson{Mu: 20}, counts.Poisson{Mu: 0.6}
	fmt.Printf("false after %.1f days of 10 h\n", counts.MeanRunLength(sound.CDF(low), 2)*0.2/36000)
	fmt.Printf("true after %.2f s\n", counts.MeanRunLength(blocked.CDF(low), 2)*0.2)
	// Output:
	// false after 9.2 days of 10 h
	// true after 0.40 s
}

// Lows that cling together ring the alarm far more often than independent ones.
func ExampleLows() {
	clinging := counts.Lows{AfterGood: 0.01, AfterLow: 0.5}
	independent := counts.Independent(clinging.Stationary())
	fmt.Printf("%.0f samples, not %.1e\n", clinging.RunLength(5).Mean(), independent.RunLength(5).Mean())
	// Output: 1630 samples, not 3.5e+08
}

// A run's share of its head, from counts and totals.
func ExampleFitShare() {
	rng := rand.New(rand.NewPCG(1, 2))
	var xs, totals []int
	for range 5000 {
		n := counts.Poisson{Mu: 240}.Rand(rng)
		totals = append(totals, n)
		xs = append(xs, counts.BetaBinomial{N: n, Alpha: 40, Beta: 440}.Rand(rng))
	}
	fit, err := counts.FitShare(xs, totals)
	if err != nil {
		panic(err)
	}
	fmt.Printf("share %.4f (made with %.4f), phi %.4f (%.4f)\n", fit.Share, 40./480, fit.Phi, 1./480)
	// Output: share 0.0836 (made with 0.0833), phi 0.0020 (0.0021)
}

// What the best of all tests would need, against half the flow lost.
func ExampleCUSUM() {
	sound, half := counts.Poisson{Mu: 20}, counts.Poisson{Mu: 10}
	chart, _ := counts.CUSUM{Score: counts.LowerScore(58, 4)}.WithARL(sound, 50000, 500)
	fmt.Printf("limit %d, false after %.0f samples, true after %.2f\n", chart.Limit, chart.ARL(sound, 0), chart.ARL(half, 0))
	// Output: limit 54, false after 56490 samples, true after 3.72
}

// A counter with a dead time of 1 ms makes half the flow look like more.
func ExampleDeadTime() {
	d := counts.DeadTime{TauS: 1e-3}
	fmt.Printf("%.1f of 200 a second counted; half the flow lost looks like %.0f %%\n", d.Recorded(200), 100*d.ApparentLoss(200, 0.5))
	// Output: 166.7 of 200 a second counted; half the flow lost looks like 45 %
}
