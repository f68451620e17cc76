package allocate

import "fmt"

// Solve returns the best allocation. The problem must be one that NewProblem
// makes: every head with demand reaches itself.
func Solve(p Problem) Solution {
	return greedy(p)
}

// String says how optimality was proved, or the gap.
func (p Proof) String() string {
	if p.Optimal {
		return "proved optimal"
	}
	return fmt.Sprintf("not proved optimal: at least %d nodes", p.MinNodes)
}
