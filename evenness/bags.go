package evenness

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"runproof/drill"
	"runproof/input"
)

// Bag is what one run gave in one repeat of a catch test.
type Bag struct {
	Run    drill.RunID `json:"run"`    // id of the run
	Repeat int         `json:"repeat"` // 1, 2, ...: bags of one repeat hung at the same time
	Grams  float64     `json:"grams"`  // mass without the bag, g
}

// Bags are the bags of a catch test as a file lists them.
type Bags struct {
	Bags  []Bag
	Empty []Bag // lines without a mass: not weighed
}

// Columns are those of a file of bags.
var Columns = []string{"run", "repeat", "grams"}

const (
	largestBags = 4 << 20 // bytes; a bag is a short line
	mostFaults  = 20      // told at once; a file of another kind would give thousands
	mostRepeats = 50
	mostGrams   = 200_000 // no bag is heavier
	leastGrams  = 1e-4    // no scale in a yard shows less
)

// ReadBags reads a file of bags:
//
//	run,repeat,grams
//	A-1,1,153.2
//	A-1,2,
//
// CSV with these three columns in any order and others ignored; where the head
// is parted by semicolons, so are the lines, and decimals may have a comma. A
// mass that is empty was not weighed. All faults come together as input.Faults,
// each with its place.
func ReadBags(r io.Reader, name string, d *drill.Drill) (Bags, error) {
	raw, err := io.ReadAll(io.LimitReader(r, largestBags+1))
	if err != nil {
		return Bags{}, fmt.Errorf("%s: %w", name, err)
	}
	if len(raw) > largestBags {
		return Bags{}, input.Fault{Place: input.Place{File: name}, What: "the file is larger than 4 MB", Remedy: "bags have one short line each: run,repeat,grams"}
	}
	b := bagsReader{file: name, runs: map[drill.RunID]bool{}, first: map[Bag]int{}}
	for _, run := range d.Runs() {
		b.runs[run.ID] = true
		b.ids = append(b.ids, string(run.ID))
	}
	b.read(bytes.TrimPrefix(raw, []byte("\ufeff")))
	return b.bags, b.faults.Err()
}

type bagsReader struct {
	file    string
	bags    Bags
	runs    map[drill.RunID]bool
	ids     []string
	first   map[Bag]int // line of each run and repeat
	columns [3]int
	comma   bool // decimals may have a comma
	faults  input.Faults
}

func (b *bagsReader) read(raw []byte) {
	c := csv.NewReader(bytes.NewReader(raw))
	c.FieldsPerRecord, c.TrimLeadingSpace = -1, true
	if line, _, _ := bytes.Cut(raw, []byte("\n")); bytes.ContainsRune(line, ';') && !bytes.ContainsRune(line, ',') {
		c.Comma, b.comma = ';', true
	}
	head, err := c.Read()
	if errors.Is(err, io.EOF) {
		b.faults.Add(input.Place{File: b.file}, "begin with the line run,repeat,grams and write one line for each bag", "the file of bags is empty")
		return
	}
	if err != nil || !b.head(c, head) {
		b.csvFault(err)
		return
	}
	for len(b.faults) < mostFaults {
		rec, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			b.csvFault(err)
			return
		}
		b.line(c, rec)
	}
	if len(b.faults) == 0 && len(b.bags.Bags) == 0 {
		b.faults.Add(input.Place{File: b.file}, "write the mass of each bag in grams", "no bag has a mass")
	}
}

func (b *bagsReader) csvFault(err error) {
	var pe *csv.ParseError
	if errors.As(err, &pe) {
		b.faults.Add(input.Place{File: b.file, Line: pe.Line, Col: pe.Column}, "write plain lines such as A-7,1,153.2", "not CSV: %v", pe.Err)
	}
}

// head finds the columns; it reports false after a fault.
func (b *bagsReader) head(c *csv.Reader, head []string) bool {
	for k, want := range Columns {
		b.columns[k] = -1
		for i, h := range head {
			if strings.EqualFold(strings.TrimSpace(h), want) {
				b.columns[k] = i
			}
		}
		if b.columns[k] < 0 {
			b.faults.Add(b.place(c, 0), "begin with the line run,repeat,grams", "the first line has no column %s", want)
			return false
		}
	}
	return true
}

func (b *bagsReader) place(c *csv.Reader, field int) input.Place {
	line, col := c.FieldPos(field)
	return input.Place{File: b.file, Line: line, Col: col}
}

func (b *bagsReader) line(c *csv.Reader, rec []string) {
	if strings.TrimSpace(strings.Join(rec, "")) == "" {
		return
	}
	field := func(k int) (string, input.Place) {
		if i := b.columns[k]; i < len(rec) {
			return strings.TrimSpace(rec[i]), b.place(c, i)
		}
		return "", b.place(c, 0)
	}
	before := len(b.faults)
	run, runAt := field(0)
	repeat, repeatAt := field(1)
	mass, massAt := field(2)
	bag := Bag{Run: b.run(run, runAt), Repeat: b.repeat(repeat, repeatAt)}
	g := b.grams(mass, massAt)
	if len(b.faults) > before {
		return
	}
	line, _ := c.FieldPos(0)
	if first := b.first[bag]; first > 0 {
		b.faults.Add(runAt, "weigh again, and keep the right one", "run %s, repeat %d stands on line %d already", bag.Run, bag.Repeat, first)
		return
	}
	b.first[bag] = line
	if mass == "" {
		b.bags.Empty = append(b.bags.Empty, bag)
		return
	}
	bag.Grams = g
	b.bags.Bags = append(b.bags.Bags, bag)
}

func (b *bagsReader) run(word string, at input.Place) drill.RunID {
	if b.runs[drill.RunID(word)] {
		return drill.RunID(word)
	}
	for _, id := range b.ids {
		if strings.EqualFold(id, word) {
			return drill.RunID(id)
		}
	}
	remedy := "write HEAD-OUTLET, such as A-1"
	if near, ok := input.Nearest(word, b.ids); ok {
		remedy = "did you mean " + near + "?"
	}
	b.faults.Add(at, remedy, "the drill has no run %q", clip(word))
	return ""
}

func (b *bagsReader) repeat(word string, at input.Place) int {
	n, err := strconv.Atoi(word)
	if err != nil || n < 1 || n > mostRepeats {
		b.faults.Add(at, fmt.Sprintf("number the repeats 1, 2, ... up to %d", mostRepeats), "%q is no repeat", clip(word))
	}
	return n
}

func (b *bagsReader) grams(word string, at input.Place) float64 {
	if word == "" {
		return 0
	}
	text := word
	if b.comma {
		text = strings.Replace(text, ",", ".", 1)
	}
	g, err := strconv.ParseFloat(text, 64)
	switch {
	case err != nil || math.IsNaN(g) || math.IsInf(g, 0) || strings.ContainsAny(text, "xX_"):
		b.faults.Add(at, "write grams as a plain number, such as 153.2; leave it empty where the bag was not weighed", "%q is no mass", clip(word))
	case g < 0:
		b.faults.Add(at, "take off the bag's own mass once only; write 0 for an empty bag", "the mass %g g is negative", g)
	case g > 0 && g < leastGrams:
		b.faults.Add(at, "write grams, 0 for an empty bag", "the mass %g g is less than a scale shows", g)
	case g > mostGrams:
		b.faults.Add(at, "write grams", "the mass %g g is that of no bag", g)
	}
	return g
}

// clip keeps a quoted word short enough for a message.
func clip(s string) string {
	if r := []rune(s); len(r) > 30 {
		return string(r[:30]) + "..."
	}
	return s
}

// WriteForm writes an empty file of bags for the open runs of the products, or
// of all products where none is named: print it, or take it to the yard on a
// telephone.
func WriteForm(w io.Writer, d *drill.Drill, products []drill.ProductID, repeats int) error {
	c := csv.NewWriter(w)
	c.Write(Columns)
	for repeat := 1; repeat <= repeats; repeat++ {
		for _, r := range FormRuns(d, products) {
			c.Write([]string{string(r.ID), strconv.Itoa(repeat), ""})
		}
	}
	c.Flush()
	return c.Error()
}

// FormRuns are the runs to hang bags on: the open ones of the products, of all
// where none is named.
func FormRuns(d *drill.Drill, products []drill.ProductID) []drill.Run {
	var runs []drill.Run
	for _, r := range d.Runs() {
		wanted := len(products) == 0
		for _, p := range products {
			wanted = wanted || p == r.Product
		}
		if wanted && !r.Closed {
			runs = append(runs, r)
		}
	}
	return runs
}
