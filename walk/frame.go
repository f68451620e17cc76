package walk

import "math"

const (
	frameMost = 0.15 // a tap adds at most this part of its own counts at another sensor
	frameS    = 0.3  // half width over which a burst is averaged for that, s
)

// throughFrame is, for each port and bin, what it may count of a tap on
// another sensor that travels through the frame: a part of the strongest burst
// elsewhere.
func throughFrame(g *grid, ex []expected) [][]float32 {
	burst := make([][]float32, len(ex))
	parallel(len(ex), func(p int) { burst[p] = bursts(g, ex[p].mean, p) })
	first, second := make([]float32, g.n), make([]float32, g.n)
	who := make([]int, g.n)
	for p, b := range burst {
		for i, v := range b {
			if v > first[i] {
				first[i], second[i], who[i] = v, first[i], p
			} else if v > second[i] {
				second[i] = v
			}
		}
	}
	for p, b := range burst {
		for i := range b {
			most := first[i]
			if who[i] == p {
				most = second[i]
			}
			b[i] = frameMost * most * g.e[p][i]
		}
	}
	return burst
}

// bursts is by how much the port counts above its usual, counts/s.
func bursts(g *grid, mean []float32, p int) []float32 {
	out := make([]float32, g.n)
	h := int(math.Round(frameS / g.binS))
	for i := range out {
		var x, m, e float32
		for j := max(0, i-h); j <= min(g.n-1, i+h); j++ {
			x, m, e = x+g.x[p][j], m+mean[j], e+g.e[p][j]
		}
		if e > 0 {
			out[i] = max(0, (x-m)/e)
		}
	}
	return out
}
