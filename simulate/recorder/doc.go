// Package recorder writes a flow log the way other machines on the drill would
// have recorded it, to train people and to test readers.
//
//	recorder.WriteCAN(r, frames, dbc)                        // counts as nodes send them on a bus
//	recorder.WriteNMEA(r, w, recorder.Clock{OffsetS: 432.4}) // positions of a receiver with a clock of its own
//
// The counts on the bus run on and wrap at 14 bits, four ports to a frame, the
// nodes each at a moment of their own; the layout is ours. The receiver gives
// RMC and GGA once a second.
package recorder
