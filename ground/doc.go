// Package ground tells where a drill's openers went, and what became of the
// ground under them: sown, sown twice, short of product, or not sown at all.
//
//	trail := ground.NewTrail(ground.RigOf(d))
//	trail.Add(fix) // in order of time
//	trail.Close()
//	survey := ground.NewField(trail, d).Survey(product)
//
// The antenna may ride on the tractor, on a cart between tractor and drill, or on
// the drill. What is drawn follows its hitch as a tractrix: with phi between the
// hitch's way and the body's heading, s along that way and L from the hitch back
// to the line that does not slip sideways (Sayers 1991, Vehicle System Dynamics
// 20:297),
//
//	d phi/ds = kappa - sin(phi)/L,  straight: tan(phi/2) = tan(phi0/2) exp(-s/L)
//
// which is applied in closed form, piece by piece of a smooth path through the
// fixes, so that no length of step makes it unstable. A carrier whose antenna is
// near its own line, or that goes backwards, faces along its course instead.
// Poses are kept only where a line through those kept would be off by more than
// 5 cm or half a degree.
//
// Seed that passes a sensor now reaches the ground later, by the time through
// the hose (Hoses); what an event left short lies that much farther on.
//
// Areas are counted once, on the ellipsoid. Lines across each piece of ground
// are cut exactly by what other passes covered, closer together where that
// changes; polygons are clipped with a library. The two agree.
package ground
