package tasks

import (
	"fmt"
	"math"
	"strconv"

	"runproof/export"
	"runproof/input"
	"runproof/track"
)

// maxCells is the most cells of one grid: what a terminal can be expected to hold.
const maxCells = 16 << 20

// grid is cells of zone codes, row by row from the south-west corner to the
// east (GRD type 1).
type grid struct {
	south, west float64 // degrees
	high, wide  float64 // of a cell, degrees
	rows, cols  int
	codes       []byte
}

// gridOf lays cells of so many metres over the zones. A cell that any ground
// touches gets that ground's code, the higher rate where two touch it: seed is
// laid over a little too much rather than too little.
func gridOf(zones []zone, cellM float64) (*grid, error) {
	var all []export.Feature
	for _, z := range zones {
		all = append(all, export.Feature{Ground: z.ground})
	}
	low, high, _ := export.Layer{Features: all}.Bounds()
	if half := 180.0; high[0]-low[0] > half {
		return nil, input.Fault{
			What:   "the ground lies on both sides of the 180th meridian, and a grid between them would go round the Earth",
			Remedy: "take polygons: leave out --grid",
		}
	}
	m, n := track.Radii((low[1] + high[1]) / 2)
	g := &grid{south: low[1], west: low[0]}
	g.high = roundTo(cellM/m*180/math.Pi, 1e-9)
	g.wide = roundTo(cellM/(n*math.Cos((low[1]+high[1])/2*math.Pi/180))*180/math.Pi, 1e-9)
	g.south, g.west = math.Floor(low[1]*1e7)/1e7, math.Floor(low[0]*1e7)/1e7
	rows, cols := math.Floor((high[1]-g.south)/g.high)+1, math.Floor((high[0]-g.west)/g.wide)+1
	if !(cellM > 0) || rows*cols > maxCells {
		return nil, input.Fault{
			What:   fmt.Sprintf("a grid of %g m cells over this ground has %.0f cells, more than %d", cellM, rows*cols, maxCells),
			Remedy: fmt.Sprintf("take cells of %.2g m or more, or polygons", math.Ceil(10*cellM*math.Sqrt(rows*cols/maxCells))/10),
		}
	}
	g.rows, g.cols = int(rows), int(cols)
	g.codes = make([]byte, g.rows*g.cols)
	for i := len(zones) - 1; i >= 0; i-- {
		for _, p := range zones[i].ground {
			g.fill(p, byte(zones[i].code))
			for _, r := range p {
				g.trace(r, byte(zones[i].code))
			}
		}
	}
	return g, nil
}

func roundTo(v, step float64) float64 { return math.Round(v/step) * step }

// at is a place in cells from the corner.
func (g *grid) at(p export.Position) (x, y float64) {
	return (p[0] - g.west) / g.wide, (p[1] - g.south) / g.high
}

func (g *grid) mark(row int, x0, x1 float64, code byte) {
	if row < 0 || row >= g.rows {
		return
	}
	from, to := max(0, int(math.Floor(min(x0, x1)))), min(g.cols-1, int(math.Floor(max(x0, x1))))
	for c := from; c <= to; c++ {
		g.codes[row*g.cols+c] = code
	}
}

// trace marks the cells that the ring's line goes through.
func (g *grid) trace(r export.Ring, code byte) {
	for i := 0; i+1 < len(r); i++ {
		x0, y0 := g.at(r[i])
		x1, y1 := g.at(r[i+1])
		if y0 > y1 {
			x0, y0, x1, y1 = x1, y1, x0, y0
		}
		for row := int(math.Floor(y0)); row <= int(math.Floor(y1)); row++ {
			a, b := max(y0, float64(row)), min(y1, float64(row+1))
			if y1 > y0 {
				g.mark(row, x0+(a-y0)/(y1-y0)*(x1-x0), x0+(b-y0)/(y1-y0)*(x1-x0), code)
			} else {
				g.mark(row, x0, x1, code)
			}
		}
	}
}

// fill marks the cells whose middles lie in the polygon: between an odd crossing
// of a row's middle line and the next.
func (g *grid) fill(p export.Polygon, code byte) {
	low, high, _ := export.Layer{Features: []export.Feature{{Ground: export.Ground{p}}}}.Bounds()
	_, y0 := g.at(low)
	_, y1 := g.at(high)
	for row := max(0, int(math.Floor(y0))); row <= min(g.rows-1, int(math.Floor(y1))); row++ {
		xs := g.crossings(p, float64(row)+0.5)
		for k := 0; k+1 < len(xs); k += 2 {
			if from, to := math.Ceil(xs[k]-0.5), math.Floor(xs[k+1]-0.5); from <= to {
				g.mark(row, from+0.5, to+0.5, code)
			}
		}
	}
}

// element is the grid as a GRD; name is its file's, without the end.
func (g *grid) element(name string) *element {
	return el("GRD").with("A", decimal(g.south)).with("B", decimal(g.west)).with("C", decimal(g.high)).with("D", decimal(g.wide)).
		num("E", g.cols).num("F", g.rows).with("G", name).num("H", len(g.codes)).num("I", 1)
}

// decimal has the nine digits that the schema allows.
func decimal(v float64) string { return strconv.FormatFloat(v, 'f', 9, 64) }
