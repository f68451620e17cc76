package formats

import (
	"bytes"
	"io"

	"runproof/flowlog"
	"runproof/flowlog/parquet"
)

type parquetFormat struct{}

func (parquetFormat) Name() string   { return "Parquet" }
func (parquetFormat) Suffix() string { return ".parquet" }
func (parquetFormat) Owns(head []byte) bool {
	return bytes.HasPrefix(head, []byte("PAR")) && len(head) > 3 && (head[3] == '1' || head[3] == 'E')
}

// maxInMemory is the largest Parquet file, in bytes, that is read from a stream.
const maxInMemory = 1 << 30

func (parquetFormat) Open(src Source, o Options) (flowlog.Reader, error) {
	if src.At == nil {
		b, err := readAll(src, maxInMemory)
		if err != nil {
			return nil, err
		}
		src.At, src.Size = bytes.NewReader(b), int64(len(b))
	}
	return parquet.NewReader(src.At, src.Size, src.Name, o.Keep)
}

func (parquetFormat) Create(w io.Writer, s flowlog.Schema) (flowlog.Writer, error) {
	return parquet.NewWriter(w, s), nil
}
