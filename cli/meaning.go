package cli

import (
	"bytes"

	"runproof/fit"
	"runproof/flowlog"
	"runproof/flowlog/can"
	"runproof/flowlog/formats"
	"runproof/flowlog/mapping"
)

// meaning is what a person says of a recording that does not say it itself.
type meaning struct {
	Map string `placeholder:"FILE" help:"What the recording means: columns, units, time, counts that run on (log map proposes one)."`
	DBC string `name:"dbc" placeholder:"FILE" help:"What the frames of a CAN recording hold."`
}

// options reads the files that the flags name.
func (m *meaning) options(s *Shell) ([]formats.Option, error) {
	var opts []formats.Option
	if m.DBC != "" {
		db, err := readDocument(s, m.DBC, can.ReadDBC)
		if err != nil {
			return nil, err
		}
		opts = append(opts, formats.WithDatabase(db))
	}
	if m.Map == "" {
		return opts, nil
	}
	text, _, err := s.ReadInput(m.Map)
	if err != nil {
		return nil, err
	}
	read, err := mapping.Read(bytes.NewReader(text), m.Map)
	if err != nil {
		return nil, err
	}
	return append(opts, formats.With(read)), nil
}

// open opens a log as the person says it is to be read, with the columns that
// keep wants.
func (m *meaning) open(s *Shell, name string, keep func(flowlog.Column) bool) (r flowlog.Reader, src fit.Source, done func() error, err error) {
	opts, err := m.options(s)
	if err != nil {
		return nil, src, nil, err
	}
	return s.OpenLog(name, append(opts, formats.Only(keep))...)
}

// warnOfLoss tells what of a recording did not come through, once it has been
// read.
func (s *Shell) warnOfLoss(r flowlog.Reader) {
	for _, m := range flowlog.RemarksOf(r) {
		if m.Lost {
			s.Warn("%s", m.What)
			s.Attention()
		}
	}
}

// remark is something that a reader met and went on from.
type remark struct {
	Lost bool   `json:"lost"` // something recorded did not come through
	What string `json:"what"`
}

// remarksOf tells the person what the reader met, and gives it for the
// document.
func (s *Shell) remarksOf(r flowlog.Reader) []remark {
	rs := []remark{}
	for _, m := range flowlog.RemarksOf(r) {
		rs = append(rs, remark(m))
		if m.Lost {
			s.Warn("%s", m.What)
			s.Attention()
		} else {
			s.Summary("%s", m.What)
		}
	}
	return rs
}
