package fit

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"runproof/drill"
	"runproof/input"
)

// maxBytes bounds what is read: the fit of 800 runs takes a tenth of a
// megabyte.
const maxBytes = 16 << 20

// Read reads and checks a fit document; name is the file's name for messages.
// The error is input.Faults with every fault of the document, or what r
// returned.
func Read(r io.Reader, name string) (*Fit, error) {
	text, err := io.ReadAll(io.LimitReader(r, maxBytes+1))
	if err != nil {
		return nil, err
	}
	whole := input.Place{File: name}
	if len(text) > maxBytes {
		return nil, input.Faults{{Place: whole, What: fmt.Sprintf("is over %d MB, far more than a fit takes", maxBytes>>20), Remedy: "check that this is the right file"}}
	}
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	if len(bytes.TrimSpace(text)) == 0 {
		return nil, input.Faults{{Place: whole, What: "is empty", Remedy: "make a fit with runproof plan"}}
	}
	f := new(Fit)
	if err := json.Unmarshal(text, f); err != nil {
		return nil, input.Faults{jsonFault(text, name, err)}
	}
	if f.Runproof != Version {
		at := placesOf(text, name).at("runproof")
		return nil, input.Faults{{Place: at, What: fmt.Sprintf("document is %q, not %q", f.Runproof, Version), Remedy: "make one with runproof plan"}}
	}
	if faults := f.check(); len(faults) > 0 {
		return nil, faults.placed(text, name)
	}
	return f, nil
}

// jsonFault gives the decoder's complaint its line and column.
func jsonFault(text []byte, name string, err error) input.Fault {
	f := input.Fault{Place: input.Place{File: name}, What: "not a fit document: " + err.Error(), Remedy: "make one with runproof plan"}
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	var own input.Fault
	switch {
	case errors.As(err, &syntax):
		f.Place = placeAt(text, name, int(syntax.Offset)-1)
		f.Remedy = "restore the file, or make it anew with runproof plan"
	case errors.As(err, &kind):
		f.Place = placeAt(text, name, int(kind.Offset)-1)
		f.What = fmt.Sprintf("%s cannot be a %s", cmp.Or(kind.Field, "the document"), kind.Value)
	case errors.As(err, &own):
		f.What, f.Remedy = own.What, own.Remedy
	}
	return f
}

// Check says what is wrong with a fit that did not come from Read, or nil. The
// error is input.Faults without places.
func (f *Fit) Check() error {
	faults := f.check()
	return faults.bare().Err()
}

// flaw is a fault and the path in the document where it stands.
type flaw struct {
	path string // "map.3.port"
	input.Fault
}

type flaws []flaw

func (fs *flaws) add(path, remedy, what string, args ...any) {
	*fs = append(*fs, flaw{path, input.Fault{What: fmt.Sprintf(what, args...), Remedy: remedy}})
}

func (fs flaws) bare() input.Faults {
	var out input.Faults
	for _, f := range fs {
		out = append(out, f.Fault)
	}
	return out
}

// placed are the faults at their places in the text.
func (fs flaws) placed(text []byte, name string) input.Faults {
	places := placesOf(text, name)
	out := fs.bare()
	for i := range out {
		out[i].Place = places.at(fs[i].path)
	}
	out.Sort()
	return out
}

// checkDrill checks the drill inside as drill.Read does a drill.yaml.
func checkDrill(d *drill.Drill) input.Faults {
	var text bytes.Buffer
	if err := d.Write(&text); err != nil {
		return input.Faults{{What: err.Error()}}
	}
	_, err := drill.Read(&text, "")
	var faults input.Faults
	if err != nil && !errors.As(err, &faults) {
		faults.Add(input.Place{}, "", "%v", err)
	}
	return faults
}
