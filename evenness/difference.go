package evenness

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// meanSquare is an estimate of a variance that is distributed as chi-square
// over its degrees of freedom. Infinite degrees stand for a known variance.
type meanSquare struct{ value, df float64 }

// difference is a variance that shows only with another on top: between + error,
// less error. Value may be negative; the interval is the modified large-sample
// one of two independent mean squares (Ting, Burdick, Graybill, Jeyaratnam and
// Lu 1990, J. Statist. Comput. Simul. 35:135; Burdick and Graybill 1992,
// section 3.3), for whole - part with the given tail left out on either side.
func difference(whole, part meanSquare, tail float64) (value, low, high float64) {
	a, b := whole.value, part.value
	value = a - b
	if part.value == 0 || math.IsInf(part.df, 1) { // the part is known
		l, h := sdFactors(whole.df, tail)
		return value, a*l*l - b, a*h*h - b
	}
	g1, h1 := spread(whole.df, tail)
	g2, h2 := spread(part.df, tail)
	f := distuv.F{D1: whole.df, D2: part.df}
	top, bottom := f.Quantile(1-tail), f.Quantile(tail)
	g12 := (sq(top-1) - sq(g1*top) - sq(h2)) / top
	h12 := (sq(1-bottom) - sq(h1*bottom) - sq(g2)) / bottom
	low = value - root(sq(g1*a)+sq(h2*b)+g12*a*b)
	high = value + root(sq(h1*a)+sq(g2*b)+h12*a*b)
	return value, low, high
}

// spread are the G and H of one mean square: how far its variance may lie below
// and above it, as a part of it, when it stands alone.
func spread(df, tail float64) (g, h float64) {
	low, high := sdFactors(df, tail)
	return 1 - low*low, high*high - 1
}

func sq(x float64) float64 { return x * x }

func root(v float64) float64 { return math.Sqrt(math.Max(0, v)) }

// asCV turns a difference of variances into an estimate of a CV; what chance
// made negative is 0.
func asCV(value, low, high, mean float64) Estimate {
	return Estimate{Value: root(value) / mean, Low: finite(root(low) / mean), High: finite(root(high) / mean)}
}
