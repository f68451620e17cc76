package radio

import (
	"fmt"
	"math"

	"runproof/check"
	"runproof/fit"
	"runproof/measure"
)

// judge is what the rules say of the best place.
func (p planner) judge(r fit.Radio) check.Results { return p.rules(r.Best(), r) }

// rules are asked of every place; the last of them only where the cart is
// beside or below the line to the cab.
func (p planner) rules(o fit.RadioOption, r fit.Radio) check.Results {
	rs := check.Results{p.operator(o), toGateway(o), p.lead(o), p.exposure(o, r), p.margin(o)}
	if o.ClearM != nil {
		rs = append(rs, p.sight(o))
	}
	return rs
}

// assumed says so where nobody measured the cab's place.
func (p planner) assumed() string {
	if p.d.Cab.At != nil {
		return ""
	}
	return "; assumed: the cab's place, for cab.at_m is not said"
}

func (p planner) operator(o fit.RadioOption) check.Result {
	return check.Result{
		Rule: "antenna to the operator", Of: "antenna on the " + o.AntennaOn, Quantity: measure.Length, Value: o.OperatorM, Bound: check.AtLeast, Limit: operatorLeastM,
		Source: check.CommonPractice + p.assumed(), Advice: "move the antenna away from the cab; measure from the operator's head",
	}
}

func toGateway(o fit.RadioOption) check.Result {
	return check.Result{
		Rule: "antenna to the gateway", Of: "antenna on the " + o.AntennaOn, Quantity: measure.Length, Value: measure.Round(o.LeadM-layM, 3), Bound: check.AtLeast, Limit: gatewayLeastM,
		Source: check.CommonPractice, Advice: "keep the antenna away from the gateway's housing",
	}
}

func (p planner) lead(o fit.RadioOption) check.Result {
	r := check.Result{
		Rule: "antenna lead reaches", Of: fmt.Sprintf("gateway on the %s, antenna on the %s", o.GatewayOn, o.AntennaOn), Quantity: measure.Length, Value: o.LeadM, Limit: math.NaN(),
		Source: "length_m of the antenna in the catalogue",
	}
	if p.antenna.LengthM > 0 {
		r.Limit = p.antenna.LengthM
	}
	return r.Advised("an antenna with a longer lead (each metre costs signal), or the gateway nearer", "write length_m of the antenna into parts.yaml")
}

func (p planner) exposure(o fit.RadioOption, r fit.Radio) check.Result {
	return check.Result{
		Rule: "people stay away from the antenna", Of: "operator", Quantity: measure.Length, Value: o.OperatorM, Bound: check.AtLeast, Limit: r.People.RequiredM,
		Source: r.People.Source + "; ground reflection counted 2.56 times; the radio's own approval comes first" + p.assumed(),
		Advice: "nobody nearer than that while it sends; never power it without its antenna",
	}
}

func (p planner) margin(o fit.RadioOption) check.Result {
	r := check.Result{
		Rule: "link to the cab to spare", Of: o.Name, Quantity: measure.Level, Value: math.NaN(), Bound: check.AtLeast, Limit: fadeLeastDB, Reserve: fadeWishedDB - fadeLeastDB,
		Source: fmt.Sprintf("ITU-R P.525; least signal of IEEE 802.11-2016 in the catalogue's rx_dbm; %g dB for cab and body, 10 to 15 dB for fading: %s%s", cabLossDB, check.CommonPractice, p.assumed()),
	}
	if o.MarginDB != nil {
		r.Value = *o.MarginDB
	}
	return r.Advised("raise the antenna, or move it where it sees the cab", "write mhz, tx_dbm and rx_dbm of the gateway into parts.yaml")
}

func (p planner) sight(o fit.RadioOption) check.Result {
	r := check.Result{
		Rule: "cab seen past the cart", Of: o.Name, Quantity: measure.Length, Value: *o.ClearM, Bound: check.AtLeast,
		Source: "geometry; a first Fresnel zone free of the cart is wished (ITU-R P.526, from memory)" + p.assumed(),
		Advice: "a steel tank stops the link: raise the antenna above the cart or move it to the side",
	}
	if o.FresnelM != nil {
		r.Reserve = *o.FresnelM
	}
	return r
}
