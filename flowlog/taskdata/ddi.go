package taskdata

import (
	"fmt"
	"strconv"
)

// DDI is a data dictionary identifier of ISO 11783-11.
type DDI uint16

// The identifiers that the reader and the writer understand.
const (
	WidthActual    DDI = 67  // mm
	WidthDefault   DDI = 68  // mm
	WidthMaximum   DDI = 70  // mm
	SetMassPerArea DDI = 6   // mg/m², set-point
	MassPerArea    DDI = 7   // mg/m²
	CountPerTime   DDI = 47  // 0.001/s
	OffsetX        DDI = 134 // mm, forward
	OffsetY        DDI = 135 // mm, right
	OffsetZ        DDI = 136 // mm, down
	WorkState      DDI = 141 // 0 off, 1 on, 2 error, 3 not installed
	ConnectorType  DDI = 157
	SectionControl DDI = 160 // 0 manual or off, 1 automatic or on
	firstCondensed DDI = 161 // actual condensed work state of elements 1 to 16
	lastCondensed  DDI = 176 // of elements 241 to 256
	firstSetStates DDI = 290 // set-point condensed work state of elements 1 to 16
	ActualSpeed    DDI = 397 // mm/s, negative in reverse
	PGNBased       DDI = 57342
	DefaultSet     DDI = 57343
)

// String is the identifier as files write it: four hex digits, upper case.
func (d DDI) String() string { return fmt.Sprintf("%04X", uint16(d)) }

// parseDDI reads one to four hex digits.
func parseDDI(s string) (DDI, bool) {
	v, err := strconv.ParseUint(s, 16, 16)
	return DDI(v), err == nil
}

// condensed says which sixteen children a condensed work state tells of: the
// first is 0, 16, 32 and so on.
func (d DDI) condensed() (first int, ok bool) {
	return int(d-firstCondensed) * 16, d >= firstCondensed && d <= lastCondensed
}

// CondensedStates are the actual and the set-point work states of the sixteen
// elements of a block: block 0 is elements 1 to 16, block 15 elements 241 to 256.
func CondensedStates(block int) (actual, set DDI) {
	return firstCondensed + DDI(block), firstSetStates + DDI(block)
}

// state is a work state as a log has it: 1, 0, or missing where there is an
// error or nothing is installed.
func state(raw uint32) (v float64, known bool) { return float64(raw & 1), raw < 2 }
