package drawing

// Paper is the size of a book's pages. The zero value is A4.
type Paper uint8

// The papers.
const (
	A4     Paper = iota // 210 mm x 297 mm, ISO 216
	Letter              // 8.5 in x 11 in, ANSI Y14.1
)

// String returns the name that UnmarshalText reads.
func (p Paper) String() string {
	if p == Letter {
		return "letter"
	}
	return "a4"
}

// UnmarshalText reads "a4" or "letter".
func (p *Paper) UnmarshalText(text []byte) error {
	switch string(text) {
	case "a4", "A4":
		*p = A4
	case "letter", "Letter":
		*p = Letter
	default:
		return paperError(text)
	}
	return nil
}

type paperError string

func (e paperError) Error() string {
	return "paper " + string(e) + " is not known; use a4 or letter"
}

// Portrait returns the size of an upright page.
func (p Paper) Portrait() Size {
	if p == Letter {
		return Size{215.9, 279.4}
	}
	return Size{210, 297}
}

// Landscape returns the size of a page on its side.
func (p Paper) Landscape() Size {
	s := p.Portrait()
	return Size{s.HMM, s.WMM}
}
