package evenness

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Test is a test of significance: the statistic, its degrees of freedom, and
// the chance of one as large where there is nothing. The zero Test was not made.
type Test struct {
	Statistic float64 `json:"statistic"` // F
	DF1       int     `json:"df1"`       // degrees of freedom of what is tested
	DF2       int     `json:"df2"`       // degrees of freedom of the scatter it is held against
	P         float64 `json:"p"`         // chance of so large an F where there is nothing
}

// fTest holds a mean square against another; false where there is none.
func fTest(square float64, df1 int, error float64, df2 int) (Test, bool) {
	if df1 < 1 || df2 < 1 || !(error > 0) {
		return Test{}, false
	}
	f := square / error
	return Test{Statistic: digits(f), DF1: df1, DF2: df2, P: digits(upperF(f, df1, df2))}, true
}

func upperF(f float64, df1, df2 int) float64 {
	return distuv.F{D1: float64(df1), D2: float64(df2)}.Survival(f)
}

// twoSided is the chance of a Student t as far from 0 as this.
func twoSided(t float64, df int) float64 {
	return 2 * distuv.StudentsT{Nu: float64(df), Sigma: 1}.Survival(math.Abs(t))
}

// significant is the level at which something is called certain. Four kinds of
// pattern are looked for, heads, tilt, outlet places and length, so each has a
// quarter of it.
const (
	significant  = 0.05
	patternLevel = significant / 4
)
