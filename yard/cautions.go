package yard

import "runproof/drawing"

// caution is one warning; it is printed where the work meets it.
type caution struct{ when, text string }

// The usual care of the trade in our own words (gathered from the cautions that
// publishers of machine and seed safety print; see ISO 4254-1 and ISO 4254-9
// for the machine's own). They replace neither manuals, labels, local codes nor
// licensed people.
var (
	cautionUnder = caution{
		"Before you go under the frame or a wing",
		"Lower it to the ground, or fit the locks or stands made for it: hydraulics alone never hold. Engine off, key out, brake on, wheels chocked. Nobody in the seat while somebody is under it.",
	}
	cautionHydraulics = caution{
		"Hydraulic lines",
		"Release the pressure before a line is moved. Look for leaks with a piece of card, never with a hand; oil under the skin needs a doctor at once. Tie nothing to a pressure hose.",
	}
	cautionTank = caution{
		"Before a tank or a lid is opened",
		"Fan stopped, tank vented. Never climb into a tank: product can bury a person, and the air in it can kill.",
	}
	cautionSeed = caution{
		"Before a hose is cut: treated seed, dust, the knife",
		"Read the labels of seed and product. Gloves, eye protection, and a respirator as the label says; stand upwind; clean with a vacuum rather than with compressed air. Wash before eating. Keep treated seed away from food, feed, animals and water. Cut away from hand and body.",
	}
	cautionAmmonia = caution{
		"Anhydrous ammonia, where the drill carries it",
		"Its lines are for trained people only. Treat every line as full; keep away while its tank valve is open, with plenty of clean water at hand.",
	}
	cautionPower = caution{
		"Before the electrics",
		"Battery minus off first, and on again last. Fuse at the power point's end; no taps into lamps or brakes. Unplug the nodes before anybody welds on the drill.",
	}
	cautionFan = caution{
		"Before the fan runs",
		"Everybody clear of fan, drives and outlets; guards on; one person at the controls who sees the others. Eye and ear protection: product comes out of open outlets.",
	}
	cautionHeight = caution{
		"Working high",
		"Use the steps and platforms of the machine, three points of contact, nothing carried in both hands. Not in strong wind, not while the machine is lifted, folded or driven.",
	}
	cautionWires = caution{
		"Overhead lines",
		"Look up before a wing, an antenna or an auger is raised.",
	}
	cautionMoving = caution{
		"Before the drill is lifted, folded or turned",
		"Look up for lines first. Tools and people out from under it; one person watches hoses and harness from outside the reach of the wings and stops the work by hand signal.",
	}
	cautionUnfold = caution{
		"Before the drill is unfolded or lowered",
		"Look up for lines first. Everybody out from under it and out of the reach of the wings.",
	}
	cautionLive = caution{
		"Before a connector is opened from here on",
		"Fuse out first, each time; in again when all is closed. No probe through insulation, none wedged into a contact.",
	}
	cautionWalk = caution{
		"Who pinches stands beside running hoses",
		"Gloves, eye and ear protection, respirator as the label of seed or product says. Stand on the ground, a step or a platform, never on a drive or under a wing that is not locked; reach for hoses only. Agree on the hand signal that stops metering and fan.",
	}
	cautionRoad = caution{
		"Before the road",
		"Wings and loose leads secured, no harness across the hitch without slack for the full turn both ways. Lamps and width as the law of the place asks.",
	}
	cautionRadio = caution{
		"Radio",
		"Never power the gateway without its antenna. Keep people at the distances given.",
	}
)

// deferral is what cautions are not.
const deferral = "The cautions on these sheets are the usual care of the trade. The manuals of tractor, drill and cart, the labels of seed and product, local codes, and licensed people where the law asks for them, come first. Nothing of the sensing is a safety device."

// warn prints a caution.
func (p *page) warn(c caution) {
	p.notice(c.when, c.text, drawing.Triangle, drawing.Vermillion)
}
