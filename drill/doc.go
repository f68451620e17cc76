// Package drill describes the machine: rows and ranks of openers, distribution
// heads, the runs (hoses) between them, products, sections, cart, antenna and
// frame. It reads, checks and writes drill.yaml (drill/1), makes one from the
// facts of a phone call (New), and answers questions of geometry and seeding;
// it knows nothing of sensors beyond what the person wants sensed.
//
//	runproof: drill/1
//	name: North farm
//	display: metric                # or us; only how numbers are shown
//	rows:   {count: 48, spacing_m: 0.25, ranks_m: [0.0, -0.6, -1.2]}
//	products:
//	  - {id: seed, material: wheat, rate_kg_ha: 110, tkw_g: 38}
//	heads:                         # outlet 1 feeds the first row of the list
//	  - {id: A, product: seed, at_m: {forward: -0.4, right: -4.5, up: 1.5}, rows: 1-12, hose_m: 2.4, hose_mm: 25}
//	  - {id: B, product: seed, at_m: {forward: -0.4, right: -1.5, up: 1.5}, rows: "13-18, 20, 22-26"}
//	sections: [{id: S1, heads: [A]}, {id: S2, runs: [B-1, B-2]}]
//	closed:             # shut on purpose
//	cart:   {position: between}    # or behind
//	gnss:   {at_m: {forward: 4.0, right: 0.0}}
//	work:   {speed_mps: 2.2}
//	sensing: {node: node-12, products: [seed], spare_ports: 0, sensor_from_head_m: 0.4}
//	supply: {volts: 12.0}
//	frame:
//	  points: [{id: P1, at_m: {forward: 0, right: -6}}, {id: P2, at_m: {forward: 0, right: 6}}]
//	  links:  [{from: P1, to: P2, slack_m: 0.3}]
//
// Needed are runproof, rows (count, spacing_m), products (id) and heads (id,
// product, at_m, rows). What is left out: one rank; antenna over the reference
// point; 2.2 m/s; every product that a head divides is sensed, 0.4 m behind the
// head, by the catalogue's first node; 12 V; cart between; a frame derived from
// the heads. A hose length or rate that is not said is not known.
//
// Places are metres from the centre of the front rank at ground level: forward,
// right, up. A run is named after its head and outlet, A-7. Read reports every
// fault of a document at once, each as file:line:col, fault and remedy; Check
// judges a sound description by what can hardly be so on the drill.
package drill
