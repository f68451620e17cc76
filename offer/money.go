package offer

import (
	"fmt"
	"math"
	"strings"

	"runproof/parts"
)

// cents is an amount in hundredths of the currency.
type cents int64

// String writes an amount with thousands apart: 12 345.60.
func (c cents) String() string {
	sign := ""
	if c < 0 {
		sign, c = "-", -c
	}
	whole := fmt.Sprint(int64(c) / 100)
	var groups []string
	for len(whole) > 3 {
		groups = append([]string{whole[len(whole)-3:]}, groups...)
		whole = whole[:len(whole)-3]
	}
	groups = append([]string{whole}, groups...)
	return fmt.Sprintf("%s%s.%02d", sign, strings.Join(groups, "\u202f"), int64(c)%100)
}

// centsOf rounds half away from zero; a half that binary digits fall short of is
// still a half.
func centsOf(amount float64) cents { return cents(math.Round(amount * 100 * (1 + 1e-12))) }

// position is one line of an offer.
type position struct {
	group    string
	part     string
	name     string
	pieces   float64
	unit     string
	each     cents
	sum      cents
	unpriced bool
}

// groups are the headings of an offer and the kinds under each, in order.
var groups = []struct {
	name  string
	kinds []parts.Kind
}{
	{"Sensing", []parts.Kind{parts.Node, parts.Sensor, parts.Gateway, parts.Antenna, parts.Switch, parts.Fixing}},
	{"Tubes and hoses", []parts.Kind{parts.Tube, parts.Cap, parts.Clamp, parts.Adapter}},
	{"Harness", []parts.Kind{parts.Leg, parts.Tee, parts.Terminator, parts.Fuse, parts.SupplyEnd, parts.Plug, parts.Tie, parts.Label}},
	{"Cab", []parts.Kind{parts.Mount, parts.Charger}},
}

const labourGroup = "Labour"

// groupOf is the heading of a kind.
func groupOf(k parts.Kind) string {
	for _, g := range groups {
		for _, kind := range g.kinds {
			if kind == k {
				return g.name
			}
		}
	}
	return "Other"
}

// Totals are what an offer comes to, in hundredths of the currency.
type Totals struct {
	Parts    int64 `json:"parts"`
	Labour   int64 `json:"labour"`
	Tax      int64 `json:"tax"`
	Total    int64 `json:"total"`
	Unpriced int   `json:"unpriced"` // lines without a price, which are not in the sums
}

// positions are the lines of an offer, by heading, and their totals.
func positions(kit parts.Kit, s Settings, nodes, sensors int) ([]position, Totals) {
	var all []position
	var t Totals
	var sum cents
	for _, g := range append(groupNames(), "Other") {
		for _, l := range kit.Lines {
			if groupOf(l.Kind) != g {
				continue
			}
			p := position{group: g, part: l.Part, name: l.Name, pieces: float64(l.Pieces()), unit: "pcs", unpriced: l.Price == 0}
			p.each = centsOf(l.Price * (1 + s.Markup/100))
			p.sum = cents(l.Pieces()) * p.each
			if p.unpriced {
				t.Unpriced++
			}
			sum += p.sum
			all = append(all, p)
		}
	}
	t.Parts = int64(sum)
	if hours := s.Labour.Hours + s.Labour.HoursPerNode*float64(nodes) + s.Labour.HoursPerSensor*float64(sensors); hours > 0 {
		hours = math.Round(hours*4) / 4 // quarters of an hour
		p := position{group: labourGroup, name: "fitting, proving by a yard walk, set-up and hand-over", pieces: hours, unit: "h", each: centsOf(s.Labour.Rate), unpriced: s.Labour.Rate == 0}
		p.sum = centsOf(hours * s.Labour.Rate)
		t.Labour = int64(p.sum)
		sum += p.sum
		if p.unpriced {
			t.Unpriced++
		}
		all = append(all, p)
	}
	t.Tax = int64(centsOf(float64(sum) / 100 * s.Tax.Percent / 100))
	t.Total = int64(sum) + t.Tax
	return all, t
}

func groupNames() []string {
	names := make([]string, len(groups))
	for i, g := range groups {
		names[i] = g.name
	}
	return names
}
