package formats

import (
	"io"

	"runproof/flowlog"
	"runproof/flowlog/can"
	"runproof/input"
)

// WithDatabase decodes a CAN recording.
func WithDatabase(db *can.Database) Option { return func(o *Options) { o.CAN = db } }

type canFormat struct{}

func (canFormat) Name() string          { return "CAN recording" }
func (canFormat) Owns(head []byte) bool { return can.Owns(head) }

func (canFormat) Open(src Source, o Options) (flowlog.Reader, error) {
	at := input.Place{File: src.Name}
	if o.CAN == nil {
		return nil, input.Fault{
			Place: at, What: "this is a CAN recording, and its frames do not say what they hold",
			Remedy: "CAN needs --dbc FILE, the DBC of that bus: runproof log convert " + src.Name + " --dbc FILE -o day.csv",
		}
	}
	var scan io.Reader
	if src.again != nil {
		once, err := src.again()
		if err != nil {
			return nil, flowlog.Damaged(at, err.Error(), 0, 0, 0)
		}
		defer once.Close()
		scan = once
	}
	return can.NewReader(can.Source{Name: src.Name, Stream: src.Stream, Scan: scan, Bus: src.Part}, o.CAN, o.Keep)
}
