package tasks

import (
	"fmt"
	"math"
	"slices"

	"runproof/drill"
	"runproof/export"
)

// wholeFrom is the part of the flow lost from which ground counts as bare: that
// of a blocked run in events.json.
const wholeFrom = 0.9

// zone is ground that gets one rate.
type zone struct {
	code   int
	tenths int // of the product's rate
	ground export.Ground
}

// zonesOf are the zones of a product, the highest rate first. Ground that two
// events left short gets the higher rate alone.
func zonesOf(day *export.Day, p drill.ProductID, fullRate bool) []zone {
	by := map[int][]export.Ground{}
	for _, s := range day.Short {
		if s.Event.Product == p {
			n := tenths(s.Event.Lost, fullRate)
			by[n] = append(by[n], s.Ground)
		}
	}
	var zones []zone
	var sown export.Ground
	for n := 10; n >= 1; n-- {
		if len(by[n]) == 0 {
			continue
		}
		g := export.Without(export.Union(by[n]...), sown)
		if len(g) == 0 {
			continue
		}
		sown = append(slices.Clone(sown), g...)
		zones = append(zones, zone{len(zones) + 1, n, g})
	}
	return zones
}

func tenths(lost float64, fullRate bool) int {
	if fullRate || lost >= wholeFrom {
		return 10
	}
	return max(1, int(math.Round(lost*10)))
}

func (z zone) name() string {
	if z.tenths == 10 {
		return "Sow again, whole rate"
	}
	return fmt.Sprintf("Sow again, %d %% of the rate", z.tenths*10)
}

// rate is the zone's in mg/m2.
func (z zone) rate(kgHa float64) int { return int(math.Round(kgHa * 100 * float64(z.tenths) / 10)) }

// polygons are the zone's ground as PLN.
func (z zone) polygons() []*element {
	var out []*element
	for _, p := range z.ground {
		pln := el("PLN").num("A", treatmentZone).num("C", int(math.Round(export.Ground{p}.AreaM2())))
		for i, r := range p {
			line := el("LSG").num("A", exterior)
			if i > 0 {
				line.attr[0].value = "2" // interior
			}
			for _, at := range r {
				line.add(el("PNT").num("A", otherPoint).with("C", string(export.Degrees(nil, at[1]))).with("D", string(export.Degrees(nil, at[0]))))
			}
			pln.add(line)
		}
		out = append(out, pln)
	}
	return out
}

// Types of polygon, line and point (schema V4.3).
const (
	treatmentZone = 2
	exterior      = 1
	otherPoint    = 2
)
