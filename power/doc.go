// Package power reckons the direct current in a harness: how many volts reach
// each box in each state of the supply, which cross-sections the legs need, and
// which fuse protects them.
//
//	r, results := power.Plan(f, harness, catalogue)
//
// The supply conductors are a tree, go and return alike; a leg of length L has
//
//	R = 2 r(T) L + contacts,  r(T) = r20 (1 + 0.00393 (T - 20))     IEC 60028, IEC 60228
//	I = sum of the loads beyond,  V = V_from - R I
//
// and one sweep outward and back solves it; boxes that draw constant power (P/V)
// take a few more. A box under its least voltage is off and draws nothing.
//
// A leg is made thicker while that helps, the one that brings most for its
// copper first. The fuse is the smallest that carries the lasting current; it
// must open on a short at the far end with hot wire and a weak supply, and every
// leg must carry what it lets through.
//
// Tables of standards, some from memory, stand in data.yaml with their sources:
// change them there. Nothing here replaces local codes or a licensed person.
package power
