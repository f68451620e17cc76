// Package taskdata reads ISO 11783-10 task data: the TASKDATA.XML of a task
// controller and the binary time logs beside it.
//
//	set, err := taskdata.Open(fsys, "day.zip")
//	r, err := set.Log("", nil) // all time logs, in time order; "TLG00003" picks one
//
// A process data value becomes a column <DDI>:<element>, such as 008D:DET-2, in
// the standard's raw integer unit, with # and its place in the time log's head
// behind it where one head names a pair twice. It is missing where a record does
// not carry it. What the standard defines becomes the log's own columns besides:
// lat and lon; speed (DDI 397); work (DDI 141, else the condensed states);
// sec:<element> for each section (DDI 141 on it, or its two bits in DDI 161 to
// 176). These four keep their last value, as the standard has it; before the
// first one they are missing. The rest of a position is kept as gnss.<what>.
//
// Times are the terminal's own clock, which has no zone; they are written as if
// it ran on UTC. Nothing in a set is trusted: a log without its file, a record
// cut short, a device nobody describes are told as remarks, and what is whole
// is read.
//
// Sources: ISO 11783-10:2015 as published in its XML schemas V3.3 and V4.3, and
// the data dictionary of ISO 11783-11 (isobus.net, entries as of 2024).
package taskdata
