package parts

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"runproof/input"
)

// Shelf is what a workshop has, each part once. The zero Shelf is empty: all
// must be ordered.
type Shelf []Stocked

// Stocked is one part on the shelf.
type Stocked struct {
	Part   string
	Pieces int
	Price  float64 // of one piece, before the catalogue's; 0 = not said
}

// Pieces is how many pieces of the part are on the shelf.
func (s Shelf) Pieces(part string) int {
	for _, l := range s {
		if l.Part == part {
			return l.Pieces
		}
	}
	return 0
}

// Priced is the catalogue with the prices of the shelf, where it says any.
func (c Catalogue) Priced(s Shelf) Catalogue {
	out := Catalogue{Parts: slices.Clone(c.Parts)}
	for i, p := range out.Parts {
		for _, l := range s {
			if l.Part == p.ID && l.Price > 0 {
				out.Parts[i].Price = l.Price
			}
		}
	}
	return out
}

// Including is the catalogue with the parts that it lacks.
func (c Catalogue) Including(ps []Part) Catalogue {
	out := Catalogue{Parts: slices.Clone(c.Parts)}
	for _, p := range ps {
		if _, ok := out.Part(p.ID); !ok && p.Kind != KindUnsaid {
			out.Parts = append(out.Parts, p)
		}
	}
	return out
}

const (
	maxStockBytes  = 4 << 20
	maxStockPieces = 1_000_000
	maxStockFaults = 100
)

var stockColumns = []string{"part", "count", "price"}

// ReadShelf reads a stock.csv: a header with the columns part and count, and
// price where there is one, in any order; then one line for each part.
//
//	part,count,price
//	node-12,3,240
//	leg-1.0-5,7,
//
// Every part must be in the catalogue. The error is input.Faults with every
// fault of the file, or what r returned.
func ReadShelf(r io.Reader, name string, cat Catalogue) (Shelf, error) {
	text, err := io.ReadAll(io.LimitReader(r, maxStockBytes+1))
	if err != nil {
		return nil, err
	}
	if len(text) > maxStockBytes {
		return nil, input.Faults{{Place: input.Place{File: name}, What: fmt.Sprintf("is over %d MB, far more than a list of stock takes", maxStockBytes>>20), Remedy: "check that this is the right file"}}
	}
	s := stockReader{csv: csv.NewReader(bytes.NewReader(bytes.TrimPrefix(text, []byte("\ufeff")))), name: name, cat: cat, first: make(map[string]int)}
	s.csv.FieldsPerRecord = -1
	if s.header() {
		for s.line() && len(s.faults) < maxStockFaults {
		}
	}
	s.faults.Sort()
	if err := s.faults.Err(); err != nil {
		return nil, err
	}
	return s.shelf, nil
}

type stockReader struct {
	csv    *csv.Reader
	name   string
	cat    Catalogue
	column map[string]int // index of each column that is there
	width  int            // columns of the header
	first  map[string]int // line of each part
	shelf  Shelf
	faults input.Faults
}

func (s *stockReader) place(field int) input.Place {
	line, col := s.csv.FieldPos(field)
	return input.Place{File: s.name, Line: line, Col: col}
}

// read is the next line, nil at the end or where the file cannot be read on.
func (s *stockReader) read() []string {
	fields, err := s.csv.Read()
	var bad *csv.ParseError
	switch {
	case errors.As(err, &bad):
		s.faults.Add(input.Place{File: s.name, Line: bad.Line, Col: bad.Column}, "put a quote at both ends of a text, and two where one is meant inside", "%v", bad.Err)
		return nil
	case err != nil:
		return nil
	}
	for i := range fields {
		fields[i] = strings.TrimSpace(fields[i])
	}
	return fields
}

func (s *stockReader) header() bool {
	head := s.read()
	if head == nil {
		if len(s.faults) == 0 {
			s.faults.Add(input.Place{File: s.name}, "begin with a line part,count or part,count,price", "is empty")
		}
		return false
	}
	s.width, s.column = len(head), make(map[string]int)
	for i, word := range head {
		word = strings.ToLower(word)
		if !slices.Contains(stockColumns, word) {
			remedy := input.DidYouMean(word, stockColumns)
			if strings.ContainsAny(word, ";\t") {
				remedy = "save the table with commas between the columns"
			}
			s.faults.Add(s.place(i), remedy, "%q is no column of a list of stock", head[i])
		} else if _, twice := s.column[word]; twice {
			s.faults.Add(s.place(i), "keep one of them", "column %s stands twice", word)
		}
		s.column[word] = i
	}
	for _, word := range stockColumns[:2] {
		if _, ok := s.column[word]; !ok && len(s.faults) == 0 {
			s.faults.Add(s.place(0), "begin with a line part,count or part,count,price", "column %s is missing", word)
		}
	}
	return len(s.faults) == 0
}

// line reads one line of stock, and tells whether there may be more.
func (s *stockReader) line() bool {
	fields := s.read()
	if fields == nil {
		return false
	}
	if len(fields) != s.width {
		s.faults.Add(s.place(0), "write one value for each column, empty where there is none", "%d values under %d columns", len(fields), s.width)
		return true
	}
	l := Stocked{Part: fields[s.column["part"]]}
	at := s.place(s.column["part"])
	if !s.known(l.Part, at) {
		return true
	}
	s.first[l.Part] = at.Line
	l.Pieces = s.count(fields[s.column["count"]])
	if i, ok := s.column["price"]; ok {
		l.Price = s.price(fields[i], i)
	}
	s.shelf = append(s.shelf, l)
	return true
}

func (s *stockReader) known(id string, at input.Place) bool {
	if id == "" {
		s.faults.Add(at, "write the part's id, as runproof kit lists it", "no part is named")
		return false
	}
	if _, ok := s.cat.Part(id); !ok {
		remedy := "describe it in parts.yaml, or take the line out"
		if near, ok := input.Nearest(id, ids(s.cat.Parts)); ok {
			remedy = fmt.Sprintf("did you mean %s? A part of your own is described in parts.yaml", near)
		}
		s.faults.Add(at, remedy, "part %q is not in the catalogue", id)
		return false
	}
	if line, twice := s.first[id]; twice {
		s.faults.Add(at, "add them up in one line", "part %s stands twice, first on line %d", id, line)
		return false
	}
	return true
}

func ids(ps []Part) []string {
	out := make([]string, len(ps))
	for i, p := range ps {
		out[i] = p.ID
	}
	return out
}

func (s *stockReader) count(text string) int {
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 || n > maxStockPieces {
		s.faults.Add(s.place(s.column["count"]), fmt.Sprintf("write a whole number of pieces, 0 to %d", maxStockPieces), "count is %q", text)
		return 0
	}
	return n
}

func (s *stockReader) price(text string, i int) float64 {
	if text == "" {
		return 0
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !(v >= 0 && v <= 1e6) {
		s.faults.Add(s.place(i), "write the price of one piece with a point, like 18.50, or leave it empty", "price is %q", text)
		return 0
	}
	return v
}
