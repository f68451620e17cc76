package practice

import (
	"fmt"
	"math"

	"runproof/check"
	"runproof/fit"
	"runproof/measure"
	"runproof/radio"
)

const (
	cartRule       = "gateway and antenna where the cart's place wants them"
	overRule       = "antenna over its gateway"
	connectorsRule = "connectors that face up"
	inletsRule     = "sensors whose inlet does not face the flow"
	clampsRule     = "clamps on a moulded ridge"
)

// offPlaceM is how far gateway or antenna may be from a place of the cart's
// position, m: a bracket's width to either side. Common practice, no source.
const offPlaceM = 0.5

// cartDecides judges whether gateway and antenna are at one of the places that
// go with the cart where it is: between tractor and drill its tanks stand in the
// line to the cab, behind the drill they do not.
func (j judge) cartDecides() check.Results {
	if len(j.f.Radio.Options) == 0 {
		return nil
	}
	best := j.f.Radio.Best()
	off, nearest := radio.OffM(&j.f.Drill, best)
	return check.Results{{
		Rule: cartRule, Of: fmt.Sprintf("cart %s, gateway on the %s, antenna on the %s", j.f.Drill.Cart.Position, best.GatewayOn, best.AntennaOn), Quantity: measure.Length,
		Value: measure.Round(off, 3), Bound: check.AtMost, Limit: offPlaceM,
		Source: check.CommonPractice, Advice: "plan again with the cart where it is; the nearest place for it: " + nearest,
	}}
}

// over judges whether the antenna's connector, which is at its bottom, and its
// lead can face down: the gateway is below.
func (j judge) over() check.Results {
	if len(j.f.Radio.Options) == 0 {
		return nil
	}
	best := j.f.Radio.Best()
	return check.Results{{
		Rule: overRule, Of: fmt.Sprintf("gateway on the %s, antenna on the %s", best.GatewayOn, best.AntennaOn), Quantity: measure.Length,
		Value: measure.Round(best.Antenna.Up-best.Gateway.Up, 3), Bound: check.AtLeast,
		Source: "connectors never face up: " + check.CommonPractice, Advice: "mount the gateway lower or the antenna higher: the lead runs down from the antenna to connectors that face down or to the side",
	}}
}

// connectors asks a person to look: no document says which way a box is turned.
func (j judge) connectors() check.Results {
	junctions := 0
	for _, p := range j.f.Harness.Places {
		if p.Kind == fit.JunctionPlace {
			junctions++
		}
	}
	of := count(len(j.f.Nodes), "node")
	if junctions > 0 {
		of += ", " + count(junctions, "junction")
	}
	if len(j.f.Radio.Options) > 0 {
		of += ", gateway, antenna"
	}
	return toSee(connectorsRule, of, "look at each box: connectors down or to the side, never up, with a drip loop below each lead; the antenna upright, its connector at the bottom, its lead down to the gateway")
}

// inlets asks a person to look: a sensor counts either way round, only worse.
func (j judge) inlets() check.Results {
	return toSee(inletsRule, count(len(j.f.Map), "sensor"), "look at each sensor: its inlet is toward the head, its outlet toward the opener; tick it on the run sheet")
}

// clamps asks a person to look and feel.
func (j judge) clamps() check.Results {
	return toSee(clampsRule, "two clamps at each of "+count(len(j.f.Map), "sensor"), "look and feel all round each clamp: clear of the moulded ridges of sensor and hose, and tight; a clamp on a ridge leaks air")
}

// toSee is a rule that the eye judges on the machine.
func toSee(rule, of, look string) check.Results {
	return check.Results{{Rule: rule, Of: of, Value: math.NaN(), Bound: check.AtMost, Source: check.CommonPractice, Advice: look}}
}
