// Package check holds what one engineering rule says about one thing: the
// value found, the limit, the margin between them, where the limit comes from,
// and what to do about it.
//
// Packages with rules (drill, harness, radio, airflow) return Results; pages,
// paper and the command line print them alike. A Result keeps the figures it
// rests on, so that a person can judge a rule instead of believing it:
//
//	hose reach, head C: 3.62 m, at most 3.50 m, off by 0.12 m (common practice, no source)
//
// Margins are positive when the rule is kept, whichever way its limit runs.
// The package has no rules of its own.
package check
