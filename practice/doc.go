// Package practice holds the rules that the trade keeps and nobody has
// published, as far as they are about the whole fit: in what order serials
// stand along the drill, where sensors sit, what is capped and plugged, which
// way connectors face, where gateway and antenna go.
//
//	f.Checks = append(f.Checks, practice.Judge(f)...)   // once the kit is counted
//	f.Checks = practice.Renewed(f)                      // after a run was moved
//
// Every rule is judged from the fit's own figures, so that it can be asked of a
// fit that a person has edited as well: places of heads and nodes, the map, the
// parts list, the parts that the fit carries. What only the eye can tell on the
// machine (inlets, clamps, the way a connector faces) has no figure in any
// document: its verdict is Unknown, and its advice says what to look at.
//
// Some rules are about the plan and not about the drill: serials in order, the
// ports that were asked to stay free, caps for all others. Once a node has been
// replaced or a run moved to a spare port they may rightly be off. In a revision
// after the first they are Tight where they are off, never Broken.
//
// Limits that no person has printed are said to be check.CommonPractice.
package practice
