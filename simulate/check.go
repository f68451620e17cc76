package simulate

import (
	"fmt"
	"strings"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/input"
	"runproof/review"
)

// Check says what in the scenario does not agree with the fit: every fault, or
// nil. Faults stand at their lines where the scenario was read by Read; name is
// the file's name otherwise.
func (s *Scenario) Check(f *fit.Fit, name string) error {
	c := checker{f: f, at: func(...any) input.Place { return input.Place{File: name} }}
	if s.doc != nil {
		c.at = s.doc.At
	}
	for i, p := range s.Flow {
		c.product(p.Product, "flow", i, "product")
	}
	for i, r := range s.Rates {
		c.product(r.Product, "rates", i, "product")
	}
	for i, l := range s.Lags {
		c.head(l.Head, "lags", i, "head")
	}
	for i, sec := range s.Sections {
		c.section(sec.Section, "sections", i, "section")
	}
	for i, fault := range s.Faults {
		c.fault(fault, i)
	}
	for i, fs := range s.Fading {
		c.run(fs.Run, "fading", i, "run")
	}
	c.walk(&s.Walk)
	for _, p := range f.Drill.Products {
		if s.Kind == Caught && !(p.TKWG > 0) {
			c.faults.Add(c.at("kind"), "give the product a tkw_g in the drill's description", "the mass of bags of %s is not known: the drill gives no mass of 1000 particles", p.ID)
		}
	}
	for _, p := range f.Drill.Sensing.Products {
		if s.perRunS(f, p) <= 0 {
			c.faults.Add(c.at("flow"), "say flow: [{product: "+string(p)+", per_run_s: 40}]", "the flow of %s is not known: the drill gives no rate and mass of 1000 particles", p)
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
	at     func(path ...any) input.Place
	faults input.Faults
}

func (c *checker) fault(f Fault, i int) {
	switch f.Kind {
	case review.HeadStarved:
		c.head(f.Head, "faults", i, "head")
	case review.ProductOut:
		c.product(f.Product, "faults", i, "product")
	case review.NoData:
		c.node(f.Node, "faults", i, "node")
	default:
		c.run(f.Run, "faults", i, "run")
	}
}

func (c *checker) walk(w *Walk) {
	c.groups(w.Swaps, "swaps")
	c.groups(w.SharedHoses, "shared_hoses")
	for i, pair := range w.SharedHoses {
		if len(pair) != 2 {
			c.faults.Add(c.at("walk", "shared_hoses", i), "name two runs", "shared hoses are pairs, not %d runs", len(pair))
		}
	}
	c.runs(w.DeadSensors, "walk", "dead_sensors")
	c.runs(w.Unwalked, "walk", "unwalked")
	c.runs(w.UnmarkedRuns, "walk", "unmarked")
}

func (c *checker) groups(groups [][]drill.RunID, key string) {
	for i, g := range groups {
		c.runs(g, "walk", key, i)
	}
}

func (c *checker) head(id drill.HeadID, path ...any) {
	if _, ok := c.f.Drill.Head(id); !ok {
		c.unknown("head", string(id), headIDs(&c.f.Drill), path)
	}
}

func (c *checker) node(serial string, path ...any) {
	var serials []string
	for _, n := range c.f.Nodes {
		if n.Serial == serial {
			return
		}
		serials = append(serials, n.Serial)
	}
	c.unknown("node", serial, serials, path)
}

func headIDs(d *drill.Drill) []string {
	var ids []string
	for _, h := range d.Heads {
		ids = append(ids, string(h.ID))
	}
	return ids
}

func (c *checker) product(id drill.ProductID, path ...any) {
	if _, ok := c.f.Drill.Product(id); ok {
		return
	}
	var ids []string
	for _, p := range c.f.Drill.Products {
		ids = append(ids, string(p.ID))
	}
	c.unknown("product", string(id), ids, path)
}

func (c *checker) section(id drill.SectionID, path ...any) {
	var ids []string
	for _, s := range c.f.Drill.Sections {
		if s.ID == id {
			return
		}
		ids = append(ids, string(s.ID))
	}
	c.unknown("section", string(id), ids, path)
}

func (c *checker) runs(ids []drill.RunID, path ...any) {
	for i, id := range ids {
		c.run(id, append(path[:len(path):len(path)], i)...)
	}
}

func (c *checker) run(id drill.RunID, path ...any) {
	if _, ok := c.f.PortOf(id); ok {
		return
	}
	var sensed []string
	for _, l := range c.f.Map {
		sensed = append(sensed, string(l.Run))
	}
	c.unknown("sensed run", string(id), sensed, path)
}

// unknown reports a name that the fit does not have; an empty one is a key that
// is missing.
func (c *checker) unknown(what, id string, valid []string, path []any) {
	if id == "" {
		c.faults.Add(c.at(path...), fmt.Sprintf("say %v: one of %s", path[len(path)-1], some(valid)), "no %s is named", what)
		return
	}
	remedy := "use one of " + some(valid)
	if near, ok := input.Nearest(id, valid); ok {
		remedy = "did you mean " + near + "?"
	}
	c.faults.Add(c.at(path...), remedy, "%s %q is not in the fit", what, id)
}

// some of the valid names, for a message of one line.
func some(names []string) string {
	const most = 6
	if len(names) == 0 {
		return "none: the fit has no such part"
	}
	if len(names) > most {
		return strings.Join(names[:most], ", ") + " ..."
	}
	return strings.Join(names, ", ")
}

func (s *Scenario) startTime() (startTime, error) {
	ns, clock, err := flowlog.ParseTime(s.Start)
	return startTime{ns, clock}, err
}

type startTime struct {
	ns    int64
	clock flowlog.Clock
}
