// Package parts is the catalogue of parts that a fit is made of, and the kit
// that a fit needs.
//
// A generic catalogue without makers' names is built in. A parts.yaml adds to
// it and overrides it by id:
//
//	parts:
//	  - {id: node-12, kind: node, price: 240}                       # changes one thing, keeps the rest
//	  - {id: node-10, kind: node, ports: 10, tube_max_m: 2.5}       # a part of your own
//	  - {id: sensor-32, kind: sensor, hose_mm: 32, price: 18.5}
//
// What each kind must carry:
//
//	node        ports, tube_max_m (longest tube from the node to a sensor)
//	sensor      hose_mm (inside diameter of the hose it goes into)
//	tube        length_m (of a roll, cut to length)
//	clamp       hose_mm
//	adapter     hose_mm, to_mm
//	leg         length_m, area_mm2 (one conductor)
//	terminator  ohm
//	fuse        amps (rating)
//	cap, tee, gateway, antenna, switch, label, plug, mount, charger, tie,
//	fixing, supply-end: nothing beyond id and kind
//
// A price of 0 is not said: sums that hold such a part say so. The numbers of
// the built-in parts are common practice, no source; they are for planning
// until the real parts' data sheets are at hand.
//
// Kit counts what a fit needs (Need), with spares by a stated rule. It makes no
// route for the harness: legs come with its plan.
//
// ReadShelf reads what the workshop has (part,count,price). What is short is
// chosen for the least to order, in pieces, or in money where every price is
// known; then least surplus, then fewest joints. A part that is asked for
// itself goes before one that stands in:
//
//	node    one with as many ports, as long tubes, no more volts, the same bus (StandIns)
//	sensor  another size with two adapters (RunsFrom)
//	tube    other rolls (RunsFrom)
//	leg     any pieces at least as thick, long enough together (CoverFromShelf)
//	others  only themselves; a fuse only of its rating
package parts
