package nmea

import (
	"bytes"
	"encoding/binary"
)

// sentence is one sentence cut into fields: fields[0] is the address, such as
// GNRMC.
type sentence struct {
	fields [maxFields][]byte
	n      int
}

// maxFields is the most fields that are looked at; none of the four kinds has
// more than 17.
const maxFields = 24

// field is the field of that number, empty where the sentence is shorter.
func (s *sentence) field(i int) []byte {
	if i < s.n {
		return s.fields[i]
	}
	return nil
}

// judged is what was found of the text of a sentence.
type judged int

const (
	foreign  judged = iota // none of the four kinds
	whole                  // its checksum holds
	unsummed               // it has no checksum
	spoiled                // its checksum is wrong, or it ends in the middle
)

// take judges and cuts the text behind $; ended says that a line's end stands
// behind it and no other sentence runs into it.
func (s *sentence) take(text []byte, ended bool) judged {
	if !known(text) {
		return foreign
	}
	body, verdict := text, unsummed
	if at := bytes.IndexByte(text, '*'); at >= 0 {
		body, verdict = text[:at], whole
		if !sumHolds(body, text[at+1:]) {
			return spoiled
		}
	} else if !ended {
		return spoiled
	}
	s.cut(bytes.TrimRight(body, "\r \t"))
	return verdict
}

// known says whether the text is one of the four kinds.
func known(text []byte) bool {
	if len(text) < 6 || text[5] != ',' {
		return false
	}
	switch string(text[2:5]) {
	case "RMC", "GGA", "VTG", "ZDA":
		return true
	}
	return false
}

func sumHolds(body, digits []byte) bool {
	if len(digits) < 2 {
		return false
	}
	sum := sumOf(body)
	hi, ok1 := hexDigit(digits[0])
	lo, ok2 := hexDigit(digits[1])
	return ok1 && ok2 && hi<<4|lo == sum
}

// sumOf is the exclusive or of all bytes, taken eight at a time.
func sumOf(b []byte) byte {
	wide, sum := uint64(0), byte(0)
	for ; len(b) >= 8; b = b[8:] {
		wide ^= binary.LittleEndian.Uint64(b)
	}
	for _, c := range b {
		sum ^= c
	}
	wide ^= wide >> 32
	wide ^= wide >> 16
	return sum ^ byte(wide) ^ byte(wide>>8)
}

func hexDigit(c byte) (byte, bool) {
	switch {
	case c >= '0' && c <= '9':
		return c - '0', true
	case c >= 'A' && c <= 'F':
		return c - 'A' + 10, true
	case c >= 'a' && c <= 'f':
		return c - 'a' + 10, true
	}
	return 0, false
}

func (s *sentence) cut(body []byte) {
	s.n = 0
	for s.n < maxFields {
		at := bytes.IndexByte(body, ',')
		if at < 0 {
			s.fields[s.n] = body
			s.n++
			return
		}
		s.fields[s.n] = body[:at]
		s.n++
		body = body[at+1:]
	}
}

// kind is the sentence's last three letters.
func (s *sentence) kind() string { return string(s.fields[0][2:5]) }
