package cost

import (
	"fmt"
	"math"
	"strings"

	"runproof/measure"
	"runproof/review"
)

// thin is a narrow space that does not break (U+202F), between thousands.
const thin = "\u202f"

// Amount writes a figure with two digits that mean something and thousands
// apart: 1 200, 85, 0.4.
func Amount(v float64) string {
	if v == 0 || v-v != 0 {
		return "0"
	}
	sign := ""
	if v < 0 {
		sign, v = "\u2212", -v
	}
	down := int(math.Floor(math.Log10(v))) - 1
	p := math.Pow(10, float64(down))
	v = math.Round(v/p) * p
	text := fmt.Sprintf("%.*f", max(0, -int(math.Floor(math.Log10(v)*(1+1e-12)))+1), v)
	if down > -1 || v >= 10 {
		text = fmt.Sprintf("%.0f", v)
	}
	return sign + grouped(text)
}

// grouped sets thousands apart and takes zeros at the end of decimals away.
func grouped(text string) string {
	whole, frac, _ := strings.Cut(text, ".")
	var groups []string
	for len(whole) > 3 {
		groups = append([]string{whole[len(whole)-3:]}, groups...)
		whole = whole[:len(whole)-3]
	}
	whole = strings.Join(append([]string{whole}, groups...), thin)
	if frac = strings.TrimRight(frac, "0"); frac != "" {
		whole += "." + frac
	}
	return whole
}

// Between writes an interval as a range with its unit behind, never as one
// figure unless both limits read alike: "30 to 110 EUR".
func (i Interval) Between(unit string) string {
	a, b := Amount(i.Low), Amount(i.High)
	text := a + " to " + b
	if a == b {
		text = "about " + a
		if i.Low == 0 && i.High == 0 {
			text = "0"
		}
	}
	if unit != "" {
		text += " " + unit
	}
	return text
}

// Words write amounts as a reader has them.
type Words struct {
	System   measure.System
	Currency string
}

// Area writes a range of ground, m2.
func (w Words) Area(i Interval) string { return i.in(w.square()) }

// Mass writes a range of masses, kg.
func (w Words) Mass(i Interval) string { return i.in(w.System.Unit(measure.Mass)) }

// Money writes a range of amounts.
func (w Words) Money(i Interval) string { return i.Between(w.Currency) }

func (w Words) square() measure.Unit {
	if w.System == measure.US {
		return measure.SquareFoot
	}
	return measure.SquareMetre
}

// Ground writes an area to whole units, m2.
func (w Words) Ground(m2 float64) string {
	u := w.square()
	return grouped(fmt.Sprintf("%.0f", u.Value(m2))) + " " + u.Symbol()
}

// Way writes a length to whole units, m.
func (w Words) Way(m float64) string {
	u := w.System.Unit(measure.Length)
	return grouped(fmt.Sprintf("%.0f", u.Value(m))) + " " + u.Symbol()
}

func (i Interval) in(u measure.Unit) string {
	return Interval{u.Value(i.Low), u.Value(i.Middle), u.Value(i.High)}.Between(u.Symbol())
}

// says is an event's cost in a sentence.
func (w Words) says(c *EventCost) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s of travel, %s short of %s", w.Way(c.Metres), w.Ground(c.AreaM2), c.Product)
	switch {
	case c.HarvestM2 == nil && c.Crop == "" && len(c.Pieces) == 0:
		b.WriteString("; what a missed fertiliser run costs has no general figure")
	case c.HarvestM2 == nil:
		b.WriteString("; the crop is not known")
	default:
		fmt.Fprintf(&b, ", %s; neighbours leave a loss like the harvest of %s", c.SideBySide(), w.Area(*c.HarvestM2))
		if c.LostKg != nil {
			b.WriteString(", " + w.Mass(*c.LostKg))
		}
		if c.Lost != nil {
			b.WriteString(", " + w.Money(*c.Lost))
		}
	}
	b.WriteString(w.saved(c))
	if c.Resow != nil {
		fmt.Fprintf(&b, "; sowing again %s: %s", w.Money(c.Resow.Cost), c.Resow.Verdict()+" than leaving it")
	}
	return b.String() + "."
}

func (w Words) saved(c *EventCost) string {
	switch {
	case c.SavedKg == nil && (c.Kind == review.Blocked || c.Kind == review.Restricted):
		return "; nothing was saved, its siblings got it"
	case c.SavedKg == nil:
		return ""
	case c.Saved == nil:
		return "; " + w.Mass(*c.SavedKg) + " stayed in the tank"
	}
	return "; " + w.Mass(*c.SavedKg) + " stayed in the tank, " + w.Money(*c.Saved)
}

// Verdict says how that stands beside leaving it, and when it is open.
func (r *Resown) Verdict() string {
	switch {
	case r.Cheaper >= 0.9:
		return "cheaper"
	case r.Cheaper <= 0.1:
		return "dearer"
	}
	return "may be cheaper"
}

// SideBySide says how many rows were short side by side on most of the event's
// ground: what is under a tenth of it goes unsaid.
func (c *EventCost) SideBySide() string {
	pieces := c.Pieces
	all := 0.0
	for _, p := range pieces {
		all += p.AreaM2
	}
	if all == 0 {
		return "all sown by another pass"
	}
	by := map[int]float64{}
	least, most := 0, 0
	for _, p := range pieces {
		if by[p.Rows] += p.AreaM2; by[p.Rows] < all/10 {
			continue
		}
		if least == 0 || p.Rows < least {
			least = p.Rows
		}
		most = max(most, p.Rows)
	}
	switch {
	case most == 0:
		return "here many rows side by side, there few"
	case least == most && most == 1:
		return "single rows"
	case least == most:
		return fmt.Sprintf("%d rows side by side", most)
	}
	return fmt.Sprintf("%d to %d rows side by side", least, most)
}
