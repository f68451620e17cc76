package can

// Database is what a DBC says of the messages of a bus.
type Database struct {
	Messages []Message // in the file's order
	exact    map[ident]int
	groups   map[uint32]int // by parameter group number; -1 where nobody can tell which message is meant
}

// Message is the layout of the frames that have one id, or one parameter group.
type Message struct {
	Name    string
	ID      uint32 // without the bit that marks 29-bit ids
	Is29Bit bool
	J1939   bool // matches by parameter group number, whoever sends it
	Size    int  // bytes that the DBC gives its data
	Signals []Signal
	line    int
}

// Signal is one value in the data of a message: raw x Factor + Offset.
type Signal struct {
	Name       string
	Unit       string
	Start      int // lowest bit (Intel), or highest bit in saw-tooth numbering (Motorola)
	Bits       int // more than 64 is no number and never decoded
	Motorola   bool
	Form       Form
	Factor     float64
	Offset     float64
	Min, Max   float64 // the range that the DBC gives; both 0 where it gives none
	IsSwitch   bool    // its raw value says which multiplexed signals a frame has
	Switch     string  // the signal that says whether this one is there; "" is always
	SwitchedBy []Span  // raw values of Switch at which it is there
	line, col  int
}

// Span is a range of raw values, both ends included.
type Span struct{ From, To uint64 }

// Form is how the bits of a signal are to be read.
type Form uint8

// The forms of signals.
const (
	Unsigned Form = iota
	Signed        // two's complement
	Float         // IEEE 754, 32 bits
	Double        // IEEE 754, 64 bits
)

// String is the form's name.
func (f Form) String() string { return [...]string{"unsigned", "signed", "float", "double"}[f] }

func (m *Message) ident() ident {
	if m.Is29Bit {
		return ident(m.ID) | extended
	}
	return ident(m.ID)
}

// signal is the index of the signal of that name, or -1.
func (m *Message) signal(name string) int {
	for i := range m.Signals {
		if m.Signals[i].Name == name {
			return i
		}
	}
	return -1
}

// anySource is the null address of J1939: nobody sends from it, and DBCs write it
// where they mean everybody.
const anySource = 0xfe

// index makes frames find their messages.
func (db *Database) index() {
	db.exact, db.groups = map[ident]int{}, map[uint32]int{}
	for i := range db.Messages {
		m := &db.Messages[i]
		id := m.ident()
		db.exact[id] = i
		if !m.J1939 {
			continue
		}
		first, taken := db.groups[id.pgn()]
		switch {
		case !taken || id.source() == anySource:
			db.groups[id.pgn()] = i
		case first < 0 || db.Messages[first].ident().source() != anySource:
			db.groups[id.pgn()] = -1
		}
	}
}

// message is the index of the message that a frame with that id is, or -1: the
// one of exactly that id, else the one of its parameter group.
func (db *Database) message(id ident) int {
	if i, ok := db.exact[id]; ok {
		return i
	}
	if id.isExtended() {
		if i, ok := db.groups[id.pgn()]; ok {
			return i
		}
	}
	return -1
}
