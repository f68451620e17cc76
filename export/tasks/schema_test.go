package tasks

import (
	"encoding/xml"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
	"unicode/utf8"

	"runproof/drill"
	"runproof/export"
)

// limits are those of the V4.3 schema for the elements written here: attribute,
// with ! where it is required, and its type: text (32 letters), an id or a
// reference, hex digits, whole numbers and decimals with their range, a choice.
var limits = map[string]string{
	"ISO11783_TaskData": "VersionMajor! 4..4, VersionMinor! 0..3, ManagementSoftwareManufacturer! text, ManagementSoftwareVersion! text, DataTransferOrigin! 1..2",
	"PDT":               "A! PDT, B! text, D VPN, E hex4, F 1..3",
	"VPN":               "A! VPN, B! -2147483648..2147483647, C! 0.000000001..100000000, D! 0..7, E text",
	"PFD":               "A! PFD, C! text, D! 0..4294967294",
	"DVC":               "A! DVC, B text, C text, D! hex16, F! label, G! local",
	"DET":               "A! DET, B! 1..65534, C! 1..7, D text, E! 0..4095, F! 0..65534",
	"DOR":               "A! 1..65534",
	"DPT":               "A! 1..65534, B! hex4, C! -2147483648..2147483647, D text, E 1..65534",
	"DPD":               "A! 1..65534, B! hex4, C! 0..7, D! 0..31, E text, F 1..65534",
	"DVP":               "A! 1..65534, B! -2147483648..2147483647, C! 0.000000001..100000000, D! 0..7, E text",
	"TSK":               "A! TSK, B text, E PFD, G! 1..6, H 0..254, I 0..254, J 0..254",
	"TZN":               "A! 0..254, B text, C 0..254",
	"PDV":               "A! hex4, B! -2147483648..2147483647, C PDT, D DET, E VPN",
	"PLN":               "A! 1..12, C 0..4294967294",
	"LSG":               "A! 1..9",
	"PNT":               "A! 1..11, C! -90..90, D! -180..180",
	"GRD":               "A! -90..90, B! -180..180, C! 0..1, D! 0..1, E! 0..4294967295, F! 0..4294967295, G! grid, H 0..4294967294, I! 1..2",
	"DAN":               "A! hex16, C DVC",
	"PAN":               "A! PDT, E DET",
	"CAN":               "C text",
}

var children = map[string]string{
	"ISO11783_TaskData": "PDT VPN PFD DVC TSK", "DVC": "DET DPT DPD DVP", "DET": "DOR", "TSK": "TZN GRD DAN PAN CAN",
	"TZN": "PLN PDV", "PLN": "LSG", "LSG": "PNT",
}

var patterns = map[string]*regexp.Regexp{
	"hex4": regexp.MustCompile(`^[0-9A-F]{4}$`), "hex16": regexp.MustCompile(`^[0-9A-F]{16}$`), "grid": regexp.MustCompile(`^GRD[0-9]{5}$`),
	"label": regexp.MustCompile(`^([0-9A-E][0-9A-F]|F[0-9A-E]){7}$`), "local": regexp.MustCompile(`^FF([0-9A-E][0-9A-F]|F[0-9A-E]){6}$`),
	"digits": regexp.MustCompile(`^-?[0-9]+(\.[0-9]{1,9})?$`),
}

// checker holds a document to the limits.
type checker struct {
	t    testing.TB
	ids  map[string]bool
	refs []string
}

func (c *checker) check(n node) {
	c.t.Helper()
	tag := n.XMLName.Local
	known, ok := limits[tag]
	if !ok {
		c.t.Errorf("element %s", tag)
		return
	}
	seen := map[string]bool{}
	for rule := range strings.SplitSeq(known, ", ") {
		name, kind, _ := strings.Cut(rule, " ")
		value, given := n.at(strings.TrimSuffix(name, "!")), slices.ContainsFunc(n.Attrs, func(a xml.Attr) bool { return a.Name.Local == strings.TrimSuffix(name, "!") })
		seen[strings.TrimSuffix(name, "!")] = true
		if !given {
			if strings.HasSuffix(name, "!") {
				c.t.Errorf("%s has no %s", tag, name)
			}
			continue
		}
		if why := c.value(tag, kind, value); why != "" {
			c.t.Errorf("%s %s=%q %s", tag, name, value, why)
		}
	}
	for _, a := range n.Attrs {
		if !seen[a.Name.Local] {
			c.t.Errorf("%s has an attribute %s", tag, a.Name.Local)
		}
	}
	for _, in := range n.Nodes {
		if !slices.Contains(strings.Fields(children[tag]), in.XMLName.Local) {
			c.t.Errorf("%s stands in %s", in.XMLName.Local, tag)
		}
		c.check(in)
	}
}

func (c *checker) value(tag, kind, v string) string {
	low, high, isRange := strings.Cut(kind, "..")
	switch {
	case isRange:
		x, err := strconv.ParseFloat(v, 64)
		a, _ := strconv.ParseFloat(low, 64)
		b, _ := strconv.ParseFloat(high, 64)
		if err != nil || x < a || x > b || !patterns["digits"].MatchString(v) {
			return "is not within " + kind
		}
	case kind == "text":
		if utf8.RuneCountInString(v) > 32 || v == "" {
			return "is no text of 1 to 32 letters"
		}
	case patterns[kind] != nil:
		if !patterns[kind].MatchString(v) {
			return "is no " + kind
		}
	case !regexp.MustCompile("^" + kind + "-?[0-9]{1,10}$").MatchString(v):
		return "is no id of a " + kind
	case kind == tag:
		if c.ids[v] {
			return "stands twice"
		}
		c.ids[v] = true
	default:
		c.refs = append(c.refs, v)
	}
	return ""
}

func inSchema(t testing.TB, s Set) node {
	t.Helper()
	root := parsed(t, s)
	c := &checker{t: t, ids: map[string]bool{}}
	c.check(root)
	for _, r := range c.refs {
		if !c.ids[r] {
			t.Errorf("%s is referred to and not there", r)
		}
	}
	return root
}

// Every drill, with a starved head in its first product, gives a set within the
// schema: objects and elements numbered once, every element under one that is
// there, sections from left to right that leave no gap over an even drill.
func TestEveryDrill(t *testing.T) {
	for _, c := range drill.Cases() {
		for _, units := range []bool{false, true} {
			day := starved(t, c.Drill)
			set := made(t, Input{Day: day, Drill: c.Drill, Units: units})
			root := inSchema(t, set)
			if len(root.all("TSK")) != 1 {
				t.Errorf("%s: %d tasks", c.Name, len(root.all("TSK")))
			}
			objects, numbers := map[string]bool{}, map[int]bool{}
			for _, n := range root.all("DVC")[0].Nodes {
				key := n.at("A")
				if n.XMLName.Local == "DET" {
					key = n.at("B")
				}
				if objects[key] {
					t.Errorf("%s: object %s stands twice", c.Name, key)
				}
				objects[key] = true
			}
			wide, deep := map[string]int{}, 0
			for i, e := range elements(t, root) {
				if numbers[e.number] || (e.parent == "") != (i == 0) {
					t.Errorf("%s: %s has number %d under %q", c.Name, e.id, e.number, e.parent)
				}
				numbers[e.number] = true
				if e.kind == 4 {
					wide[e.parent] += *e.values["0043"]
				}
				if e.kind == 5 {
					deep++
				}
			}
			open := 0
			for _, r := range c.Drill.Runs() {
				if !r.Closed {
					open++
				}
			}
			if units && deep != open {
				t.Errorf("%s: %d units for %d open runs", c.Name, deep, open)
			}
			for id, w := range wide {
				if all := math.Round(c.Drill.WidthM() * 1000); c.Name == "sections" && float64(w) != all {
					t.Errorf("%s: sections of %s are %d mm together, the drill %v", c.Name, id, w, all)
				}
			}
		}
	}
}

// starved is a day on which the first product was missing on one strip.
func starved(t testing.TB, d *drill.Drill) *export.Day {
	t.Helper()
	file := func(s string, args ...any) *fstest.MapFile {
		return &fstest.MapFile{Data: []byte(fmt.Sprintf(s, args...))}
	}
	day, err := export.Read(fstest.MapFS{
		"events.json":   file(`{"runproof":"events/1","events":[{"id":1,"product":%q,"kind":"product_out","start":"2026-05-12T09:22:11Z","end":"2026-05-12T09:24:10Z","lost":0.95,"metres":50,"area_m2":300}]}`, d.Products[0].ID),
		"runs.csv":      file("run,product,head,row,node,port,share,mean_share,rate_per_s,variance_to_mean,quiet_per_s,settled_work_s,missing_share,events,lost_metres,lost_area_m2\n"),
		"summary.json":  file(`{"runproof":"summary/1","drill":%q,"end":"2026-05-12T09:36:00Z","work_ha":1.25}`, d.Name),
		"skips.geojson": file(`{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"MultiPolygon","coordinates":[[[[-106.57,52.03],[-106.569,52.03],[-106.569,52.0301],[-106.57,52.0301],[-106.57,52.03]]]]},"properties":{"event":1}}]}`),
	}, "starved")
	if err != nil {
		t.Fatal(err)
	}
	return day
}
