package ledger

import (
	"bytes"
	"cmp"
	"encoding/json"
	"slices"
	"time"

	"runproof/drill"
)

// Entry is one line of a job's history. Which of the parts below Files it has
// goes by its Kind: Opened has an Opening, Fit a Revision, Swap an Exchange.
type Entry struct {
	ID    ID        `json:"id"`
	Job   ID        `json:"job"`
	Kind  Kind      `json:"kind"`
	At    time.Time `json:"at"`            // when it happened, UTC, whole milliseconds
	Noted time.Time `json:"noted"`         // when it was written down, likewise
	By    string    `json:"by"`            // who wrote it down
	Why   string    `json:"why,omitempty"` // in that person's words
	Text  string    `json:"text,omitempty"`
	Files []File    `json:"files,omitempty"`

	Opening  *Opening  `json:"opening,omitempty"`
	Revision *Revision `json:"revision,omitempty"`
	Exchange *Exchange `json:"exchange,omitempty"`
}

// File is a file that an entry holds. Its bytes are kept under their hash, once,
// however many entries hold them.
type File struct {
	Name   string `json:"name"`   // as it was called, without folders but for those of a review: "review/report.pdf"
	SHA256 string `json:"sha256"` // of its bytes, lower-case hexadecimal
	Bytes  int64  `json:"bytes"`
	Media  string `json:"media"` // media type (RFC 2046): "image/jpeg"
}

// Opening is what a job begins with.
type Opening struct {
	Handle   string `json:"handle"`             // what the job is called on the command line: "north-60"
	Title    string `json:"title"`              // what it is called on paper
	Customer ID     `json:"customer,omitempty"` // whose drill it is
}

// Revision is a fit as it came into the ledger; the document is the entry's file.
type Revision struct {
	Number  int      `json:"number"`            // as the document has it
	Hash    string   `json:"hash"`              // SHA-256 of its bytes, hexadecimal
	Follows []string `json:"follows,omitempty"` // hashes of the revisions it follows: none for the first, two where it settles a conflict
	Drill   string   `json:"drill"`             // the drill's name
	Runs    int      `json:"runs"`              // sensed
	Placed  []Placed `json:"placed,omitempty"`  // nodes with serial numbers of their own, in the fit's order
	Left    []string `json:"left,omitempty"`    // serials of the revisions it follows that it has no more
}

// Placed is a node at its head.
type Placed struct {
	Serial string       `json:"serial"`
	Head   drill.HeadID `json:"head"`
}

// Exchange is a part that was taken off and another put in its place. A part
// without a serial number has none here.
type Exchange struct {
	Place string `json:"place"`         // a head, a run or a node: "B", "C-7"
	Part  string `json:"part"`          // "node", "sensor", "hose", ...
	Out   string `json:"out,omitempty"` // serial of what was taken off
	In    string `json:"in,omitempty"`  // serial of what was put on
	Fate  Fate   `json:"fate"`          // of what was taken off
}

// Canonical is the entry as JSON in one line, the same bytes for the same entry.
func (e Entry) Canonical() []byte {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(e); err != nil {
		panic(err) // an entry holds nothing that JSON cannot
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n"))
}

// Compare orders entries by when they happened, then by id.
func (e Entry) Compare(o Entry) int {
	return cmp.Or(e.At.Compare(o.At), cmp.Compare(e.ID, o.ID))
}

// Sorted are the entries in the order of their happening; es is not changed.
func Sorted(es []Entry) []Entry {
	return slices.SortedFunc(slices.Values(es), Entry.Compare)
}

// Stamp is a time as the ledger writes it, so that text sorts as time does.
func Stamp(t time.Time) string { return t.UTC().Format("2006-01-02T15:04:05.000Z") }

// Instant is the time to the millisecond, UTC: what an entry's times are.
func Instant(t time.Time) time.Time { return t.UTC().Truncate(time.Millisecond) }
