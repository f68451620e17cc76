package flowlog

import (
	"errors"
	"io"
)

// Summary is what can be said of a log after one reading.
type Summary struct {
	Schema
	Samples   int
	StartNS   int64 // time of the first sample
	EndNS     int64 // time of the last sample
	Intervals Intervals
	Columns   []ColumnSummary // in the schema's order
	Strip     *Strip
}

// ColumnSummary is what can be said of one column.
type ColumnSummary struct {
	Reported int     // samples that have a value
	Sum      float64 // of those values
}

// MissingShare is the share of the log's samples in which the columns of a kind
// have no value, 0 to 1; it is 0 when there are none.
func (s *Summary) MissingShare(k Kind) float64 {
	columns, reported := 0, 0
	for i, c := range s.Schema.Columns {
		if c.Kind == k {
			columns++
			reported += s.Columns[i].Reported
		}
	}
	if columns == 0 || s.Samples == 0 {
		return 0
	}
	return 1 - float64(reported)/float64(columns*s.Samples)
}

// Summarize reads r to its end in memory that does not grow with the log. lines
// are those of the picture. When the log is damaged, the summary of what could
// be read comes with the error.
func Summarize(r Reader, lines []Line) (*Summary, error) {
	s := &Summary{Schema: r.Schema(), Strip: newStrip(lines)}
	s.Columns = make([]ColumnSummary, len(s.Schema.Columns))
	part := make([]ColumnSummary, len(s.Schema.Columns))
	var b Batch
	for {
		err := r.Read(&b)
		if err != nil {
			s.Strip.settle(s.Intervals.QuantileNS(0.5))
			if errors.Is(err, io.EOF) {
				err = nil
			}
			return s, err
		}
		s.times(b.TimeNS)
		for from := 0; from < b.Len(); {
			bin, to := s.stretch(b.TimeNS, from)
			sum(part, &b, from, to)
			s.add(bin, part, to-from)
			from = to
		}
	}
}

// times takes in the times of a batch.
func (s *Summary) times(ns []int64) {
	for _, t := range ns {
		if s.Samples == 0 {
			s.StartNS = t
		} else {
			s.Intervals.Add(s.EndNS, t-s.EndNS)
		}
		s.EndNS = t
		s.Samples++
	}
}

// stretch is the bin of the sample at from, and the end of the stretch of
// samples that lie in it.
func (s *Summary) stretch(ns []int64, from int) (bin *Bin, to int) {
	bin = s.Strip.bin(ns[from] - s.StartNS)
	place := (ns[from] - s.StartNS) / s.Strip.BinNS
	for to = from + 1; to < len(ns) && (ns[to]-s.StartNS)/s.Strip.BinNS == place; to++ {
	}
	return bin, to
}

// sum puts what each column counted in a stretch into part.
func sum(part []ColumnSummary, b *Batch, from, to int) {
	for c, values := range b.Values {
		n, total := 0, 0.0
		for _, v := range values[from:to] {
			if v == v {
				total += v
				n++
			}
		}
		part[c] = ColumnSummary{n, total}
	}
}

func (s *Summary) add(bin *Bin, part []ColumnSummary, samples int) {
	for c, p := range part {
		s.Columns[c].Reported += p.Reported
		s.Columns[c].Sum += p.Sum
	}
	bin.Samples += samples
	for l, line := range s.Strip.Lines {
		for _, c := range line.Columns {
			bin.Sum[l] += part[c].Sum
			bin.Cells[l] += part[c].Reported
		}
	}
}
