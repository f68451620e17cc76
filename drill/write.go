package drill

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// Remarks are comments for Write, by key path: "rows", "heads", "gnss". Each
// line becomes a comment line above the key, behind the standing explanation.
type Remarks map[string][]string

// Write writes the description as commented YAML that Read reads back as the
// same drill. The same drill gives the same bytes.
func (d *Drill) Write(w io.Writer) error { return d.WriteRemarked(w, nil) }

// WriteRemarked is Write with remarks of the caller, for instance on what was
// guessed and wants measuring.
func (d *Drill) WriteRemarked(w io.Writer, remarks Remarks) error {
	y := &yamlWriter{w: bufio.NewWriter(w), remarks: remarks}
	y.line("runproof: %s", Version)
	y.line("name: %s", quote(d.Name))
	y.key("display", "Units in which numbers are shown: metric or us. All numbers in this file are metric.")
	y.line("display: %s", d.Display)
	y.rows(d.Rows)
	y.products(d.Products)
	y.heads(d.Heads)
	y.sections(d.Sections)
	if len(d.Closed) > 0 {
		y.key("closed", "Runs shut on purpose (wide rows, tramlines): never an alarm, never a skip.")
		y.line("closed: [%s]", list(d.Closed))
	}
	y.machine(d)
	y.frame(d.Frame)
	return y.w.Flush()
}

type yamlWriter struct {
	w       *bufio.Writer
	remarks Remarks
}

func (y *yamlWriter) line(format string, args ...any) { fmt.Fprintf(y.w, format+"\n", args...) }

// key writes a blank line, the standing explanation of a key, and the
// caller's remarks on it.
func (y *yamlWriter) key(key string, explanation ...string) {
	y.line("")
	for _, s := range append(explanation[:len(explanation):len(explanation)], y.remarks[key]...) {
		y.line("# %s", strings.ReplaceAll(s, "\n", " "))
	}
}

func (y *yamlWriter) rows(r Rows) {
	y.key("rows", "Rows count from 1 at the left, facing forward. They are dealt to the ranks in turn:",
		"row 1 to the first of ranks_m, row 2 to the second, ... A rank is metres ahead of the front one.")
	y.line("rows: {%s}", fields{
		{"count", strconv.Itoa(r.Count), true},
		{"spacing_m", num(r.SpacingM), true},
		{"ranks_m", "[" + list(r.RanksM) + "]", len(r.RanksM) > 0},
	})
}

func (y *yamlWriter) products(ps []Product) {
	y.key("products", "What the tanks meter. tkw_g is the mass of 1000 particles in grams: weigh your own.")
	y.line("products:")
	for _, p := range ps {
		f := fields{{"id", quote(string(p.ID)), true}, {"material", quote(p.Material), p.Material != ""}}
		f = append(f, number("rate_kg_ha", p.RateKgHa), number("tkw_g", p.TKWG),
			number("particle_mm", p.ParticleMM), number("density_kg_m3", p.DensityKgM3), number("fall_mps", p.FallMPS))
		y.line("  - {%s}", f)
	}
}

func (y *yamlWriter) heads(hs []Head) {
	y.key("heads", "Distribution heads. at_m: metres ahead of the front rank, right of the middle, above the ground.",
		"rows: what outlets 1, 2, ... feed, in that order; the runs are called A-1, A-2, ... after their head.",
		"hose_m and hose_mm: length of the longest hose (m) and inside diameter (mm).")
	y.line("heads:")
	for _, h := range hs {
		y.line("  - {%s}", fields{
			{"id", quote(string(h.ID)), true},
			{"product", quote(string(h.Product)), true},
			{"at_m", place(h.At), true},
			{"rows", `"` + h.Rows.String() + `"`, true},
			number("hose_m", h.HoseM),
			number("hose_mm", h.HoseMM),
			number("primary_m", h.PrimaryM),
			number("primary_mm", h.PrimaryMM),
			number("riser_m", h.RiserM),
			number("bends", float64(h.Bends)),
		})
	}
}

func (y *yamlWriter) sections(ss []Section) {
	if len(ss) == 0 {
		return
	}
	y.key("sections", "Runs that are shut off together, by head or by run.")
	y.line("sections:")
	for _, s := range ss {
		y.line("  - {%s}", fields{
			{"id", quote(string(s.ID)), true},
			{"heads", "[" + list(s.Heads) + "]", len(s.Heads) > 0},
			{"runs", "[" + list(s.Runs) + "]", len(s.Runs) > 0},
		})
	}
}

// machine writes what is around the seeding iron: cart, antenna, speed,
// sensing, supply.
func (y *yamlWriter) machine(d *Drill) {
	y.key("cart", "Where the air cart rides: between tractor and drill, or behind the drill.")
	y.line("cart: {%s}", fields{{"position", d.Cart.Position.String(), true}, number("length_m", d.Cart.LengthM), number("top_m", d.Cart.TopM)})
	y.key("gnss", "The antenna, from the centre of the front rank.")
	y.line("gnss: {at_m: %s}", place(d.GNSS.At))
	y.key("work", "Usual speed in m/s: km/h divided by 3.6.")
	y.line("work: {speed_mps: %s}", num(d.Work.SpeedMPS))
	y.key("sensing", "node: id of a node part in the catalogue. spare_ports: left free on every node.",
		"sensor_from_head_m: hose between the head's outlet and the sensor.")
	y.line("sensing: {%s}", fields{
		{"node", quote(d.Sensing.Node), d.Sensing.Node != ""},
		{"products", "[" + list(d.Sensing.Products) + "]", len(d.Sensing.Products) > 0},
		{"spare_ports", strconv.Itoa(d.Sensing.SparePorts), true},
		{"sensor_from_head_m", num(d.Sensing.SensorFromHeadM), true},
	})
	y.key("supply", "Volts at the power point with the engine off, what it may give, and where it is.")
	y.line("supply: {%s}", fields{
		{"volts", num(d.Supply.Volts), true},
		placed("at_m", d.Supply.At),
		number("outlet_a", d.Supply.OutletA),
		number("ohm", d.Supply.Ohm),
	})
	y.outfit(d)
}

// outfit writes what is known of cab, lift, air and how the drill is drawn.
func (y *yamlWriter) outfit(d *Drill) {
	y.unsaid("cab", d.Cab.At != nil)
	y.unsaid("lift", d.Lift != (Lift{}))
	y.unsaid("air", d.Air != (Air{}))
	if d.Cab.At != nil {
		y.key("cab", "Head of the operator: distances to antenna and gateway are reckoned from it.")
		y.line("cab: {%s}", fields{placed("at_m", d.Cab.At)})
	}
	if l := d.Lift; l != (Lift{}) {
		y.key("lift", "The linkage that lifts the openers: where a tilt sensor can tell the work state.")
		y.line("lift: {%s}", fields{
			{"kind", l.Kind.String(), l.Kind != LiftUnsaid},
			number("arm_m", l.ArmM),
			number("pivot_up_m", l.PivotUpM),
			number("pin_work_up_m", l.PinWorkUpM),
			number("pin_raised_up_m", l.PinRaisedUpM),
			number("slope_deg", l.SlopeDeg),
			{"switch_contact", "true", l.SwitchContact},
		})
	}
	if a := d.Air; a != (Air{}) {
		y.key("air", "What was measured of the air, without product.")
		y.line("air: {%s}", fields{
			number("primary_mps", a.PrimaryMPS),
			number("hose_mps", a.HoseMPS),
			number("fan_pa", a.FanPa),
			number("temperature_c", a.TemperatureC),
			number("altitude_m", a.AltitudeM),
		})
	}
	if t := d.Tow; t != (Tow{}) {
		y.key("tow", "How the drill follows: what carries the antenna, and metres from hitches to what does not steer.")
		y.line("tow: {%s}", fields{
			{"antenna", t.Antenna.String(), t.Antenna != MountUnsaid},
			number("drill_m", t.DrillM),
			number("cart_m", t.CartM),
			number("tractor_m", t.TractorM),
		})
	}
}

// unsaid writes the remarks on a key that has nothing to stand under it.
func (y *yamlWriter) unsaid(key string, said bool) {
	if !said && len(y.remarks[key]) > 0 {
		y.key(key)
	}
}

// number is a field that is left out when it is 0, which is "not said".
func number(key string, v float64) field { return field{key, num(v), v != 0} }

// placed is a field that is left out when nobody said where.
func placed(key string, p *Point) field {
	if p == nil {
		return field{key, "", false}
	}
	return field{key, place(*p), true}
}

func (y *yamlWriter) frame(f Frame) {
	if len(f.Points)+len(f.Links) == 0 {
		return
	}
	y.key("frame", "Where harness and tubes can be laid. slack_m: what a hinge needs on top of the straight length.")
	y.line("frame:")
	if len(f.Points) > 0 {
		y.line("  points:")
	}
	for _, p := range f.Points {
		y.line("    - {id: %s, at_m: %s}", quote(p.ID), place(p.At))
	}
	if len(f.Links) > 0 {
		y.line("  links:")
	}
	for _, l := range f.Links {
		y.line("    - {%s}", fields{
			{"from", quote(l.From), true},
			{"to", quote(l.To), true},
			{"slack_m", num(l.SlackM), l.SlackM != 0},
		})
	}
}

// field is one key: value of a flow mapping, written where said.
type field struct {
	key, value string
	said       bool
}

type fields []field

func (fs fields) String() string {
	var parts []string
	for _, f := range fs {
		if f.said {
			parts = append(parts, f.key+": "+f.value)
		}
	}
	return strings.Join(parts, ", ")
}

func place(p Point) string {
	return "{" + fields{
		{"forward", num(p.Forward), true},
		{"right", num(p.Right), true},
		{"up", num(p.Up), p.Up != 0},
	}.String() + "}"
}

// num writes a number so that it reads back as the same float64.
func num(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func list[T any](items []T) string {
	parts := make([]string, len(items))
	for i, it := range items {
		switch v := any(it).(type) {
		case float64:
			parts[i] = num(v)
		default:
			parts[i] = quote(fmt.Sprint(v))
		}
	}
	return strings.Join(parts, ", ")
}

// quote leaves a plain word as it is and puts anything else that YAML could
// take for more than text into JSON's quotes, which are YAML's too.
func quote(s string) string {
	plain := s != "" && !strings.ContainsFunc(s, func(r rune) bool {
		return !strings.ContainsRune("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-.", r)
	})
	if first := strings.TrimLeft(s, "_"); plain && first != "" && isLetter(first[0]) && !yamlWord[strings.ToLower(s)] {
		return s
	}
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(s); err != nil {
		panic(err) // a string encodes
	}
	return strings.TrimSuffix(b.String(), "\n")
}

func isLetter(c byte) bool { return 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' }

// yamlWord are words that some YAML reader takes for true, false or nothing.
var yamlWord = map[string]bool{"true": true, "false": true, "yes": true, "no": true, "on": true, "off": true, "null": true, "y": true, "n": true}
