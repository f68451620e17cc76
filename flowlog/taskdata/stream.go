package taskdata

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"

	"runproof/flowlog"
)

var nan = math.NaN()

// record is one record of a time log.
type record struct {
	ns     int64 // the terminal's clock as if on UTC
	pos    [posFields]int64
	places []uint8
	raw    []int32
}

// stream reads the records of one time log.
type stream struct {
	file logFile
	head *head
	src  *bufio.Reader
	body fs.File
	record
	records int
	bytes   int64
	strange int // values with a place that the head does not have
	ended   string
	to      routes
}

// errEnd is the end of a log, whole or not; ended says which.
var errEnd = errors.New("end of the time log")

const epoch1980S = 315532800 // 1980-01-01 in seconds since 1970-01-01

func (s *stream) open(fsys fs.FS) error {
	f, err := fsys.Open(s.file.body)
	if err != nil {
		return err
	}
	const buffer = 64 << 10
	s.body, s.src = f, bufio.NewReaderSize(f, buffer)
	s.records, s.bytes, s.strange, s.ended = 0, 0, 0, ""
	return nil
}

func (s *stream) close() {
	if s.body != nil {
		s.body.Close()
		s.body = nil
	}
}

// next reads the next record, or returns errEnd.
func (s *stream) next() error {
	n := s.head.recordHead()
	b, err := s.src.Peek(n)
	if err != nil {
		return s.end(err, len(b))
	}
	count := int(b[n-1])
	s.fixedPart(b)
	if s.ns < 0 {
		return s.damaged("has a time of day past midnight, so that what follows cannot be trusted")
	}
	size := n + 5*count
	if b, err = s.src.Peek(size); err != nil {
		return s.end(err, len(b))
	}
	s.values(b[n:])
	s.src.Discard(size)
	s.bytes += int64(size)
	s.records++
	return nil
}

// fixedPart reads time and position. A time of day that no clock shows gives a
// negative time.
func (s *stream) fixedPart(b []byte) {
	const dayMS = 86_400_000
	ms, days := int64(binary.LittleEndian.Uint32(b)), int64(binary.LittleEndian.Uint16(b[4:]))
	s.ns = ((days*86400+epoch1980S)*1000 + ms) * 1e6
	if ms > dayMS { // midnight itself is written both ways
		s.ns = -1
	}
	at := 6
	for _, f := range s.head.position {
		switch n := posLayout[f].bytes; {
		case n == 1:
			s.pos[f] = int64(b[at])
		case n == 2:
			s.pos[f] = int64(binary.LittleEndian.Uint16(b[at:]))
		case f == gnssTime:
			s.pos[f] = int64(binary.LittleEndian.Uint32(b[at:]))
		default:
			s.pos[f] = int64(int32(binary.LittleEndian.Uint32(b[at:])))
		}
		at += posLayout[f].bytes
	}
}

func (s *stream) values(b []byte) {
	s.places, s.raw = s.places[:0], s.raw[:0]
	for ; len(b) > 0; b = b[5:] {
		if int(b[0]) >= len(s.head.values) {
			s.strange++
			continue
		}
		s.places = append(s.places, b[0])
		s.raw = append(s.raw, int32(binary.LittleEndian.Uint32(b[1:])))
	}
}

// end tells why a log ended where a record should have been, with so many
// bytes left.
func (s *stream) end(err error, left int) error {
	switch {
	case !errors.Is(err, io.EOF):
		return s.damaged("cannot be read: " + err.Error())
	case left > 0:
		s.ended = fmt.Sprintf("%s is cut short inside record %d: the %d before are whole, %d bytes are lost", s.file.body, s.records+1, s.records, left)
	case s.records == 0:
		s.ended = s.file.body + " holds no record"
	case s.bytes < s.file.bytes:
		s.ended = fmt.Sprintf("%s ends after record %d, %d bytes before the length that its task gives", s.file.body, s.records, s.file.bytes-s.bytes)
	}
	return errEnd
}

func (s *stream) damaged(what string) error {
	s.ended = fmt.Sprintf("%s: record %d %s; the %d before are kept", s.file.body, s.records+1, what, s.records)
	return errEnd
}

// remarks is what there is to say of the log once it has ended.
func (s *stream) remarks() []flowlog.Remark {
	var rs []flowlog.Remark
	if s.ended != "" {
		rs = append(rs, flowlog.Remark{Lost: true, What: s.ended})
	}
	if s.strange > 0 {
		rs = append(rs, flowlog.Remark{Lost: true, What: fmt.Sprintf("%s: %d values stand at places that its head does not name", s.file.body, s.strange)})
	}
	return rs
}
