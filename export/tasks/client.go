package tasks

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"regexp"
	"strings"

	"runproof/input"
)

// Client is the NAME of a control function (ISO 11783-5): 64 bits.
type Client uint64

// The fields of a NAME, by their lowest bit.
const (
	manufacturerBit = 21
	functionBit     = 40
	classBit        = 49
	industryBit     = 60
	selfBit         = 63
)

const (
	noManufacturer = 2046
	rateControl    = 128
	seeders        = 4
	agriculture    = 2
)

// InventedClient is a NAME for a drill whose controller is not known; see the
// package comment.
func InventedClient(drill string) Client {
	sum := sha256.Sum256([]byte(drill))
	identity := binary.BigEndian.Uint64(sum[:8]) & (1<<manufacturerBit - 1)
	return Client(1<<selfBit | agriculture<<industryBit | seeders<<classBit | rateControl<<functionBit | noManufacturer<<manufacturerBit | identity)
}

var hex16 = regexp.MustCompile(`^[0-9A-Fa-f]{16}$`)

// ParseClient reads 16 hex digits, the most significant first.
func ParseClient(s string) (Client, error) {
	var c Client
	s = strings.TrimSpace(s)
	if !hex16.MatchString(s) {
		return 0, input.Fault{What: fmt.Sprintf("%.40q is no NAME", s), Remedy: "write the 16 hex digits that the terminal shows for the drill, such as A00884000000002A"}
	}
	fmt.Sscanf(s, "%x", (*uint64)(&c))
	return c, nil
}

// String is 16 hex digits, as files write it.
func (c Client) String() string { return fmt.Sprintf("%016X", uint64(c)) }
