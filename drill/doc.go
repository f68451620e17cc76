// Package drill describes the machine: rows and ranks of openers, distribution
// heads, the runs (hoses) between them, products, sections, cart, antenna and
// frame. It reads and checks drill.yaml (drill/1), and answers questions of
// geometry; it knows nothing of sensors beyond what the person wants sensed.
//
// Places are metres from the centre of the front rank at ground level:
// forward, right, up.
package drill
