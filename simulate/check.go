package simulate

import (
	"fmt"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/input"
	"runproof/review"
)

// Check says what in the scenario does not agree with the fit: every fault, or
// nil.
func (s *Scenario) Check(f *fit.Fit, name string) error {
	c := checker{f: f, at: input.Place{File: name}}
	for _, p := range s.Flow {
		c.product(p.Product)
	}
	for _, r := range s.Rates {
		c.product(r.Product)
	}
	for _, sec := range s.Sections {
		c.section(sec.Section)
	}
	for _, fault := range s.Faults {
		c.fault(fault)
	}
	for _, group := range append(append([][]drill.RunID{}, s.Walk.Swaps...), s.Walk.SharedHoses...) {
		c.runs(group)
	}
	for _, pair := range s.Walk.SharedHoses {
		if len(pair) != 2 {
			c.faults.Add(c.at, "name two runs", "shared hoses are pairs, not %d runs", len(pair))
		}
	}
	c.runs(s.Walk.DeadSensors)
	c.runs(s.Walk.Unwalked)
	c.runs(s.Walk.UnmarkedRuns)
	for _, p := range f.Drill.Sensing.Products {
		if s.perRunS(f, p) <= 0 {
			c.faults.Add(c.at, "say flow: [{product: "+string(p)+", per_run_s: 40}]", "the flow of %s is not known: the drill gives no rate and mass of 1000 particles", p)
		}
	}
	return c.faults.Err()
}

// perRunS is the usual particles per second and run of the product.
func (s *Scenario) perRunS(f *fit.Fit, p drill.ProductID) float64 {
	for _, fl := range s.Flow {
		if fl.Product == p {
			return fl.PerRunS
		}
	}
	return f.Drill.RunParticlesPerS(p)
}

type checker struct {
	f      *fit.Fit
	at     input.Place
	faults input.Faults
}

func (c *checker) fault(f Fault) {
	switch f.Kind {
	case review.HeadStarved:
		if _, ok := c.f.Drill.Head(f.Head); !ok {
			c.unknown("head", string(f.Head), headIDs(&c.f.Drill))
		}
	case review.ProductOut:
		c.product(f.Product)
	case review.NoData:
		var serials []string
		for _, n := range c.f.Nodes {
			if n.Serial == f.Node {
				return
			}
			serials = append(serials, n.Serial)
		}
		c.unknown("node", f.Node, serials)
	default:
		c.runs([]drill.RunID{f.Run})
	}
}

func headIDs(d *drill.Drill) []string {
	var ids []string
	for _, h := range d.Heads {
		ids = append(ids, string(h.ID))
	}
	return ids
}

func (c *checker) product(id drill.ProductID) {
	if _, ok := c.f.Drill.Product(id); ok {
		return
	}
	var ids []string
	for _, p := range c.f.Drill.Products {
		ids = append(ids, string(p.ID))
	}
	c.unknown("product", string(id), ids)
}

func (c *checker) section(id drill.SectionID) {
	var ids []string
	for _, s := range c.f.Drill.Sections {
		if s.ID == id {
			return
		}
		ids = append(ids, string(s.ID))
	}
	c.unknown("section", string(id), ids)
}

func (c *checker) runs(ids []drill.RunID) {
	for _, id := range ids {
		if _, ok := c.f.PortOf(id); ok {
			continue
		}
		var sensed []string
		for _, l := range c.f.Map {
			sensed = append(sensed, string(l.Run))
		}
		c.unknown("sensed run", string(id), sensed)
	}
}

func (c *checker) unknown(what, id string, valid []string) {
	remedy := fmt.Sprintf("the fit has no such %s", what)
	if near, ok := input.Nearest(id, valid); ok {
		remedy = "did you mean " + near + "?"
	}
	c.faults.Add(c.at, remedy, "%s %q is not in the fit", what, id)
}

func (s *Scenario) startTime() (startTime, error) {
	ns, clock, err := flowlog.ParseTime(s.Start)
	return startTime{ns, clock}, err
}

type startTime struct {
	ns    int64
	clock flowlog.Clock
}
