package can

// ident is a CAN id; bit 31 is set for one of 29 bits, as a DBC has it.
type ident uint32

const (
	extended  ident = 1 << 31
	id29Mask  ident = 1<<29 - 1
	maxID11         = 0x7ff
	errorFlag       = 0x20000000 // of an id in text: the bus reports an error
)

func (id ident) isExtended() bool { return id&extended != 0 }

// String is the id as candump writes it: 8 hex digits for one of 29 bits, else
// 3.
func (id ident) String() string {
	digits := 3
	if id.isExtended() {
		digits = 8
	}
	return string(appendHex(nil, uint32(id&id29Mask), digits))
}

// source is the source address of a J1939 id.
func (id ident) source() uint8 { return uint8(id) }

// pgn is the parameter group number of a J1939 id: its extended data page, data
// page, PDU format and, from format 240 on, PDU specific. Below, PDU specific is
// the destination and belongs to no group.
func (id ident) pgn() uint32 {
	group := uint32(id>>8) & 0x3ffff
	if group>>8&0xff < 240 {
		group &^= 0xff
	}
	return group
}

// frameKind is what a frame is for.
type frameKind uint8

// The kinds of frame.
const (
	dataFrame frameKind = iota
	remoteFrame
	errorFrame
)

// maxData is the most data bytes that a frame has, FD included.
const maxData = 64

// frame is one frame as a recorder took it down.
type frame struct {
	ns    int64 // the recorder's stamp
	timed bool
	dated bool   // the stamp was a date, of no known zone
	bus   []byte // the interface, in the line that was read
	id    ident
	kind  frameKind
	fd    bool
	n     int                // data bytes
	data  [maxData + 16]byte // read 8 bytes at a time: what lies behind n is not the frame's
}

const upperHex = "0123456789ABCDEF"

func appendHex(b []byte, v uint32, digits int) []byte {
	for i := digits - 1; i >= 0; i-- {
		b = append(b, upperHex[v>>(4*i)&15])
	}
	return b
}
