package formats

import "io"

// again opens the bytes of a source from the start once more; nil where they can
// be read only once.
type again func() (io.ReadCloser, error)

// fromAt reads what lies at hand anyway.
func fromAt(at io.ReaderAt, size int64) again {
	if at == nil {
		return nil
	}
	return func() (io.ReadCloser, error) { return io.NopCloser(io.NewSectionReader(at, 0, size)), nil }
}

// unpacked is the same for what is packed in the source.
func (a again) unpacked(p packing) again {
	if a == nil {
		return nil
	}
	return func() (io.ReadCloser, error) {
		raw, err := a()
		if err != nil {
			return nil, err
		}
		r, closer, err := p.open(raw)
		if err != nil {
			raw.Close()
			return nil, err
		}
		return unpackedAgain{r, func() error { closer(); return raw.Close() }}, nil
	}
}

type unpackedAgain struct {
	io.Reader
	close func() error
}

func (u unpackedAgain) Close() error { return u.close() }
