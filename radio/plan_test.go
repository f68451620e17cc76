package radio_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
	"runproof/radio"
)

func usual(t testing.TB, at drill.CartPosition) *drill.Drill {
	t.Helper()
	d, _, err := drill.New(drill.Facts{Rows: 48, SpacingM: 0.25, Cart: at})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// The cart's place decides where gateway and antenna go (common practice, no
// source): on the cart where it rides between, on the drill's hitch where it
// follows.
func TestCartDecides(t *testing.T) {
	for at, want := range map[drill.CartPosition]string{drill.CartBetween: "front of the cart", drill.CartBehind: "hitch end of the drill's frame"} {
		r, rs := radio.Plan(usual(t, at), parts.BuiltIn())
		if len(r.Options) < 3 || r.Best().GatewayOn != want || r.Best().Sight != fit.SightClear || rs.Worst() == check.Broken {
			t.Errorf("cart %s: %+v, %v", at, r.Best(), rs)
		}
		for _, o := range r.Options {
			// Trade facts, common practice, no source: 0.61 m to the operator, 0.20 m to the gateway.
			if o.OperatorM < 0.61 || drill.DistanceM(o.Antenna, o.Gateway) < 0.20 {
				t.Errorf("cart %s, %s: %v m to the operator, %v m to the gateway", at, o.Name, o.OperatorM, drill.DistanceM(o.Antenna, o.Gateway))
			}
		}
	}
}

// A mast behind a tank does not see the cab, and the answer says so.
func TestTankInTheWay(t *testing.T) {
	r, _ := radio.Plan(usual(t, drill.CartBetween), parts.BuiltIn())
	i := slices.IndexFunc(r.Options, func(o fit.RadioOption) bool { return strings.Contains(o.Name, "hitch") })
	if o := r.Options[i]; o.Sight != fit.SightBlocked || len(o.Broken) == 0 || o.ClearM == nil || *o.ClearM >= 0 {
		t.Errorf("%+v", o)
	}
}

// A low cart does not stand in the way of a mast.
func TestLowCart(t *testing.T) {
	d := usual(t, drill.CartBetween)
	d.Cart.TopM = 1
	r, _ := radio.Plan(d, parts.BuiltIn())
	for _, o := range r.Options {
		if o.Sight == fit.SightBlocked {
			t.Errorf("%s: %+v", o.Name, o)
		}
	}
}

// However low the cart, its gateway is on it and below the antenna, so that no
// connector need face up (common practice, no source).
func TestGatewayBelowAntenna(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := usual(t, drill.CartPosition(rapid.IntRange(0, 1).Draw(rt, "cart")))
		d.Cart.TopM = rapid.Float64Range(0.5, 6).Draw(rt, "top")
		r, _ := radio.Plan(d, parts.BuiltIn())
		for _, o := range r.Options {
			if o.Antenna.Up <= o.Gateway.Up || strings.Contains(o.GatewayOn, "cart") && o.Gateway.Up > d.Cart.TopM+0.001 {
				rt.Fatalf("%+v", o)
			}
		}
	})
}

// An option is at a place of its own cart's position, and a place of the other
// position is elsewhere: the hitch serves both, with masts of two heights.
func TestOffM(t *testing.T) {
	for _, at := range []drill.CartPosition{drill.CartBetween, drill.CartBehind} {
		d := usual(t, at)
		r, _ := radio.Plan(d, parts.BuiltIn())
		for _, o := range r.Options {
			if off, name := radio.OffM(d, o); off > 0.001 || name != o.Name {
				t.Errorf("cart %s: %s is %v m from %s", at, o.Name, off, name)
			}
		}
		best := r.Best()
		best.Antenna.Right += 0.3
		if off, name := radio.OffM(d, best); math.Abs(off-0.3) > 0.001 || name != best.Name {
			t.Errorf("moved by 0.3 m: %v m from %s", off, name)
		}
		d.Cart.Position = drill.CartBetween + drill.CartBehind - at
		if off, _ := radio.OffM(d, r.Best()); off < 0.55 {
			t.Errorf("cart %s, placed for the other: %v m off", at, off)
		}
	}
}

func with(t testing.TB, text string) parts.Catalogue {
	t.Helper()
	cat, err := parts.BuiltIn().With(strings.NewReader(text), "parts.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return cat
}

// A strong radio, a deaf receiver, a short lead: each breaks its own rule. What
// the catalogue does not say is not judged.
func TestVerdicts(t *testing.T) {
	for _, c := range []struct {
		parts, rule string
		want        check.Verdict
	}{
		{"{id: gateway, kind: gateway, tx_dbm: 17}", "link to the cab to spare", check.Kept},
		{"{id: gateway, kind: gateway, rx_dbm: -40}", "link to the cab to spare", check.Broken},
		{"{id: gateway, kind: gateway, mhz: 0}", "link to the cab to spare", check.Unknown},
		{"{id: gateway, kind: gateway, body_m: 9}", "people stay away from the antenna", check.Broken},
		{"{id: antenna, kind: antenna, length_m: 0.5}", "antenna lead reaches", check.Broken},
	} {
		_, rs := radio.Plan(usual(t, drill.CartBehind), with(t, "parts: ["+c.parts+"]"))
		i := slices.IndexFunc(rs, func(r check.Result) bool { return r.Rule == c.rule })
		if i < 0 || rs[i].Verdict() != c.want {
			t.Errorf("%s: %v, want %s %v", c.parts, rs, c.rule, c.want)
		}
		for _, r := range rs {
			if r.Source == "" || r.Advice == "" {
				t.Errorf("%+v lacks source or advice", r)
			}
		}
	}
}

// 100 mW reach 10 W/m2 at 2.8 cm in the open and 4.5 cm over ground: the 0.20 m
// of the device's condition governs. 4 W want 0.285 m.
func TestPeople(t *testing.T) {
	for _, c := range []struct{ dBm, free, ground, required float64 }{
		{20, 0.0282, 0.0451, 0.20}, {36.0206, 0.1784, 0.2855, 0.2855},
	} {
		cat := with(t, fmt.Sprintf("parts: [{id: gateway, kind: gateway, tx_dbm: %g, body_m: 0}, {id: antenna, kind: antenna, gain_dbi: 0, loss_db: 0}]", c.dBm))
		r, _ := radio.Plan(usual(t, drill.CartBehind), cat)
		e := r.People
		if math.Abs(*e.FreeM-c.free) > 1e-4 || math.Abs(*e.GroundM-c.ground) > 1e-4 || math.Abs(e.RequiredM-c.required) > 1e-4 {
			t.Errorf("%g dBm: %v, %v, %v", c.dBm, *e.FreeM, *e.GroundM, e.RequiredM)
		}
	}
}

// A radio with 3 dB more has 3 dB more to spare everywhere; the order of the
// places stays.
func TestMorePower(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		dBm := rapid.Float64Range(1, 30).Draw(rt, "dBm")
		d := usual(t, drill.CartPosition(rapid.IntRange(0, 1).Draw(rt, "cart")))
		a, _ := radio.Plan(d, with(t, fmt.Sprintf("parts: [{id: gateway, kind: gateway, tx_dbm: %g, rx_dbm: -150}]", dBm)))
		b, _ := radio.Plan(d, with(t, fmt.Sprintf("parts: [{id: gateway, kind: gateway, tx_dbm: %g, rx_dbm: -150}]", dBm+3)))
		for i := range a.Options {
			if a.Options[i].Name != b.Options[i].Name || math.Abs(*b.Options[i].MarginDB-*a.Options[i].MarginDB-3) > 0.011 {
				rt.Fatalf("%+v, 3 dB up %+v", a.Options[i], b.Options[i])
			}
		}
	})
}

func TestEveryDrill(t *testing.T) {
	for _, c := range drill.Cases() {
		if _, rs := radio.Plan(c.Drill, parts.BuiltIn()); rs.Worst() == check.Broken {
			t.Errorf("%s: %v", c.Name, rs.With(check.Broken))
		}
	}
	if r, rs := radio.Plan(drill.Cases()[0].Drill, parts.Catalogue{}); r.Gateway != "" || rs != nil {
		t.Error("an empty catalogue has a radio")
	}
}

func ExamplePlan() {
	d, _, _ := drill.New(drill.Facts{Rows: 48, SpacingM: 0.25, Cart: drill.CartBehind})
	r, _ := radio.Plan(d, parts.BuiltIn())
	b := r.Best()
	fmt.Printf("%s: %.1f m to the operator, %.1f dB to spare\n", b.Name, b.OperatorM, *b.MarginDB)
	// Output: gateway on the drill's hitch, antenna on a bracket above it: 3.1 m to the operator, 38.1 dB to spare
}
