// Package fit holds the fit document: the drill, its sensing nodes, and the
// map of runs to ports, as designed by the plan and later as proved by a walk.
//
// A fit has a revision and says what made it, from which inputs, with their
// hashes. Nothing changes a fit in place: a step that alters it writes a new
// revision that names its parent. The package reads, writes, checks and
// compares fits; it does not decide what goes where (see allocate).
package fit
