package ledger

import (
	"fmt"
	"strings"
	"time"

	"runproof/input"
)

// ID names a job, an entry or a customer wherever it was made: 48 bits of time
// in milliseconds since 1970 and 80 bits of chance, as 26 letters and digits
// (base 32 without I, L, O and U), so that ids sort by the time they were made.
// The zero ID names nothing.
type ID string

const (
	idDigits = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
	idLength = 26
)

// Chance is the part of an ID that no two ledgers have alike.
type Chance [10]byte

// NewID is the ID of that time and chance. Times before 1970 or after the year
// 10889 are cut to 48 bits.
func NewID(at time.Time, c Chance) ID {
	var b [16]byte
	ms := uint64(at.UnixMilli())
	for i := range 6 {
		b[i] = byte(ms >> (40 - 8*i))
	}
	copy(b[6:], c[:])
	var out [idLength]byte
	var bits, have uint // the 128 bits behind two zero bits make 26 digits
	have, k := 2, 0
	for _, v := range b {
		bits, have = bits<<8|uint(v), have+8
		for have >= 5 {
			have -= 5
			out[k] = idDigits[bits>>have&31]
			k++
		}
	}
	return ID(out[:])
}

// After is id where it comes after last, else the next one behind last: entries
// of one millisecond keep the order in which they were written.
func (id ID) After(last ID) ID {
	if id > last {
		return id
	}
	b := []byte(last)
	for i := len(b) - 1; i >= 0; i-- {
		d := strings.IndexByte(idDigits, b[i])
		if d < 31 {
			b[i] = idDigits[d+1]
			break
		}
		b[i] = idDigits[0]
	}
	return ID(b)
}

// Made is when the ID was made, to the millisecond, UTC.
func (id ID) Made() time.Time {
	var ms int64
	for i := range 10 {
		ms = ms<<5 | int64(strings.IndexByte(idDigits, id[i]))
	}
	return time.UnixMilli(ms).UTC()
}

// Check says what is wrong with an ID that came from elsewhere, or nil.
func (id ID) Check() error {
	ok := len(id) == idLength && id[0] <= '7'
	for _, r := range string(id) {
		ok = ok && strings.ContainsRune(idDigits, r)
	}
	if ok {
		return nil
	}
	return input.Fault{What: fmt.Sprintf("%q is no id of a ledger", clip(string(id), 40)), Remedy: "ids are 26 digits and capital letters"}
}

// Short are the last digits of the ID: enough for a person to tell a few apart.
func (id ID) Short() string { return strings.ToLower(string(id[max(0, len(id)-6):])) }

// clip is at most n bytes of s.
func clip(s string, n int) string {
	if len(s) <= n {
		return s
	}
	return strings.ToValidUTF8(s[:n], "") + "..."
}
