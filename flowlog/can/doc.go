// Package can reads recordings of a CAN bus as flow logs: text as candump of
// can-utils writes it, decoded with a DBC.
//
//	db, err := can.ReadDBC(f, "drill.dbc")
//	r, err := can.NewReader(can.Source{Name: "day.log", Stream: a, Scan: b}, db, nil)
//
// Both forms of text are read, with absolute, relative, delta or date times:
//
//	(1778577330.003000) can0 18FF4091#E8BBBFB4D5196EA7
//	 (1778577330.003000)  can0  18FF4091   [8]  E8 BB BF B4 D5 19 6E A7
//
// An id of 8 hex digits has 29 bits, one of 3 has 11; #R asks for a frame, ## and
// a digit of flags begin an FD frame, bit 0x20000000 of an id marks an error
// frame. What is no frame is counted and told.
//
// Each frame of a message of the DBC becomes one record, each of its signals a
// column <message>.<signal> in physical units, raw x factor + offset, rounded
// once and never clamped to the DBC's range. Only messages that occur have
// columns. A message whose format is J1939 matches by its parameter group
// number: priority, source and, below PDU format 240, destination do not count.
// Where it comes from several sources, @ and the source address in hex stand
// behind the signal's name; where frames come over several interfaces, @ and
// the interface's name for all but the busiest.
//
// A frame that is shorter than others of its message from the same source is
// damaged and left out, and so is an FD frame among classic ones or the other
// way round. A J1939 raw value that means error or not available (0xFE.., 0xFF..
// in an unsigned signal of 8, 16 or 32 bits) is missing where the DBC's own
// range leaves it out, else it is a value like others. Messages longer than a
// frame, which J1939 sends in pieces, are not put together.
//
// Sources: can-utils 2020.11 (Debian), lib.h for the forms of text; SAE J1939-21
// for the id's parts (from memory); the DBC grammar as go.einride.tech/can 0.17.0
// has it.
package can
