// Package plan makes the whole fit of a drill, as an engineer would sign it: it
// calls the rooms before it in working order and puts what every rule says in
// one list.
//
//	allocate   which node serves which runs, from which port
//	radio      where gateway and antenna go
//	harness    legs along the frame, and the order of the boxes on the bus
//	power      volts at every box, cross-sections, fuse
//	bus        length, drops, termination, bit timing
//	workstate  where the work-state switch goes, and which way round it is
//	airflow    whether the air carries what the meters give it
//	parts      what to pick for it
//	practice   what the trade asks of it all
//
// It has no rules of its own.
package plan
