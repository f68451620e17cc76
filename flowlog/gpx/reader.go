package gpx

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"

	"runproof/flowlog"
)

// Reader gives the track points of a file. It implements flowlog.Reader and
// flowlog.Remarker.
type Reader struct {
	file   string
	bytes  *bounded
	xml    *xml.Decoder
	depth  int
	schema flowlog.Schema
	column [quantities]int // where a quantity goes, or -1
	first  *stamped        // read by NewReader
	order  flowlog.Order
	begun  bool
	lastNS int64

	given, untimed, zoneless, strange, back int
	backAt                                  int // line
	broken                                  string
	remarks                                 []flowlog.Remark
}

type stamped struct {
	point
	ns int64
}

// maxDepth is how deep elements may lie in each other.
const maxDepth = 64

// NewReader reads up to the first point with a time. file is the log's name, for
// messages. keep chooses the columns; nil keeps all.
func NewReader(src io.Reader, file string, keep func(flowlog.Column) bool) (*Reader, error) {
	r := &Reader{file: file, bytes: newBounded(src)}
	r.xml = xml.NewDecoder(r.bytes)
	r.xml.CharsetReader = r.bytes.charset
	for q, name := range names {
		c := flowlog.ColumnNamed(name)
		r.column[q] = -1
		if keep == nil || keep(c) {
			r.column[q] = len(r.schema.Columns)
			r.schema.Columns = append(r.schema.Columns, c)
		}
	}
	if r.first = r.next(); r.first == nil {
		return nil, r.nothing()
	}
	return r, nil
}

// nothing is the fault of a file without a single point that has a time.
func (r *Reader) nothing() error {
	f := flowlog.NoSamples(r.file)
	switch {
	case r.untimed > 0:
		f.What, f.Remedy = fmt.Sprintf("none of the %d track points has a time", r.untimed), "export the track with its times"
	case r.broken != "":
		f.What, f.Remedy = r.broken+"; no track point stands before", "copy or export the file again"
		f.Place.Line, _ = r.xml.InputPos()
	default:
		f.What, f.Remedy = "there are no track points in it", "export the track, not waypoints or a route"
	}
	return f
}

// Schema is the columns that were kept.
func (r *Reader) Schema() flowlog.Schema { return r.schema }

// Remarks is what was met; it is complete once Read has returned io.EOF.
func (r *Reader) Remarks() []flowlog.Remark { return r.remarks }

// batchPoints is how many records one Read gives at most.
const batchPoints = 1024

// Read fills b with the next points.
func (r *Reader) Read(b *flowlog.Batch) error {
	b.Grow(len(r.schema.Columns), batchPoints)
	n := 0
	for ; n < batchPoints; n++ {
		p := r.first
		if r.first = nil; p == nil {
			p = r.next()
		}
		if p == nil {
			break
		}
		b.TimeNS[n] = r.order.Next(p.ns)
		for q, c := range r.column {
			if c >= 0 {
				b.Values[c][n] = p.values[q]
			}
		}
	}
	r.given += n
	b.Truncate(n)
	if n == 0 {
		r.finish()
		return io.EOF
	}
	return nil
}

// backNS is how far back a track may go before it is another one.
const backNS = 2e9

// next is the next point that has a time and comes after those before; nil at
// the end.
func (r *Reader) next() *stamped {
	for {
		p, ok := r.point()
		if !ok {
			return nil
		}
		ns, zoned, timed := p.when()
		switch {
		case !timed:
			r.untimed++
			continue
		case r.begun && r.lastNS-ns >= backNS:
			if r.back++; r.back == 1 {
				r.backAt, _ = r.xml.InputPos()
			}
			continue
		}
		if !zoned {
			r.zoneless++
		}
		r.strange += p.strange
		r.begun, r.lastNS = true, max(ns, r.lastNS)
		return &stamped{p, ns}
	}
}

// token is the next piece of XML; nil at the end, whole or not.
func (r *Reader) token() xml.Token {
	if r.broken != "" {
		return nil
	}
	r.bytes.fresh()
	t, err := r.xml.Token()
	if err == nil {
		switch t.(type) {
		case xml.StartElement:
			r.depth++
		case xml.EndElement:
			r.depth--
		}
		if r.depth <= maxDepth {
			return t
		}
		err = fmt.Errorf("elements lie more than %d deep", maxDepth)
	}
	if !errors.Is(err, io.EOF) {
		line, _ := r.xml.InputPos()
		r.broken = fmt.Sprintf("the XML breaks off in line %d: %v", line, plain(err))
	}
	return nil
}

// plain is the reason without the words around it.
func plain(err error) string {
	var se *xml.SyntaxError
	if errors.As(err, &se) {
		return se.Msg
	}
	return err.Error()
}

// point reads on to the end of the next track point.
func (r *Reader) point() (point, bool) {
	for {
		switch t := r.token().(type) {
		case nil:
			return point{}, false
		case xml.StartElement:
			if t.Name.Local == "trkpt" {
				return r.inside(newPoint(t))
			}
		}
	}
}

// inside reads what stands in a point.
func (r *Reader) inside(p point) (point, bool) {
	ground := r.depth
	name, text := "", []byte(nil)
	for {
		switch t := r.token().(type) {
		case nil:
			return point{}, false
		case xml.StartElement:
			name, text = t.Name.Local, text[:0]
		case xml.CharData:
			if wanted(name) && len(text) < maxText {
				text = append(text, t[:min(len(t), maxText)]...)
			}
		case xml.EndElement:
			if r.depth < ground {
				return p, true
			}
			if t.Name.Local == name {
				p.leaf(name, string(text), r.depth == ground)
			}
			name = ""
		}
	}
}

// maxText is more than any number or time needs.
const maxText = 100

// finish gathers what there is to say.
func (r *Reader) finish() {
	if r.remarks != nil {
		return
	}
	r.remarks = []flowlog.Remark{}
	say := func(lost bool, n int, one, what string) {
		if n > 0 {
			r.remarks = append(r.remarks, flowlog.Remark{Lost: lost, What: counted(n, one) + " " + what})
		}
	}
	if r.broken != "" {
		r.remarks = append(r.remarks, flowlog.Remark{Lost: true, What: fmt.Sprintf("%s; the %s before are whole", r.broken, counted(r.given, "point"))})
	}
	say(true, r.untimed, "point", "without a time, left out")
	say(true, r.back, "point", fmt.Sprintf("left out because they go back in time, the first before line %d: a track that is in the file twice, or tracks out of order", r.backAt))
	say(true, r.strange, "value", "of points left out because they cannot be")
	say(false, r.zoneless, "time", "without a zone, taken as UTC")
	r.remarks = append(r.remarks, r.order.Remarks(flowlog.UTC)...)
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// root is the first element of a file, with or without a prefix.
var root = regexp.MustCompile(`<([\pL_][\pL\pN_.-]*:)?gpx[ \t\r\n>]`)

// Owns says whether a file that begins with head is GPX.
func Owns(head []byte) bool {
	if _, is := wide(head); is {
		text, _ := narrow(bytes.NewReader(head))
		head, _ = io.ReadAll(text) // the last character may be cut
	}
	head = bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\ufeff")), " \t\r\n")
	return bytes.HasPrefix(head, []byte("<")) && root.Match(head)
}
