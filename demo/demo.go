// Package demo holds the demo job: a drill of our own invention, its serial
// numbers, and the scenarios of a walk, a baseline and a field day. Nobody's
// drill, field or recording stands behind it.
package demo

import "embed"

// Files are drill.yaml, serials.txt and the scenarios of two walks, a baseline and a
// day.
//
//go:embed drill.yaml serials.txt walk.yaml walk-again.yaml baseline.yaml day.yaml
var Files embed.FS
