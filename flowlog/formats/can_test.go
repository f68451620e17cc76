package formats_test

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/klauspost/compress/zstd"

	"runproof/flowlog"
	"runproof/flowlog/can"
	"runproof/flowlog/formats"
)

const canDBC = "BO_ 256 Often: 8 N\n SG_ A : 0|8@1+ (1,0) [0|0] \"\" N\nBO_ 257 Late: 8 N\n SG_ B : 0|8@1+ (0.5,0) [0|0] \"\" N\n"

// lateCAN is a recording, longer than what a bare stream is looked through, whose
// last frame is of a message that did not come before.
func lateCAN() []byte {
	var b bytes.Buffer
	n := 0
	for ; b.Len() < 5<<20; n++ {
		fmt.Fprintf(&b, "(%d.%06d) can0 100#%02X00000000000000\n", 1778577330+n/100, n%100*10000, n%256)
	}
	fmt.Fprintf(&b, "(%d.%06d) can0 101#0300000000000000\n", 1778577330+n/100, n%100*10000)
	return b.Bytes()
}

func openCAN(tb testing.TB, src formats.Source) (*flowlog.Log, []flowlog.Remark, error) {
	tb.Helper()
	db, err := can.ReadDBC(strings.NewReader(canDBC), "x.dbc")
	if err != nil {
		tb.Fatal(err)
	}
	r, closer, err := formats.Open(src, formats.WithDatabase(db))
	if err != nil {
		return nil, nil, err
	}
	defer closer()
	l, err := flowlog.ReadAll(r)
	return l, flowlog.RemarksOf(r), err
}

func packed(t *testing.T, how string, b []byte) []byte {
	t.Helper()
	var out bytes.Buffer
	var w io.WriteCloser
	var err error
	switch how {
	case "gzip":
		w = gzip.NewWriter(&out)
	case "Zstandard":
		w, err = zstd.NewWriter(&out)
	case "zip":
		z := zip.NewWriter(&out)
		f, err := z.Create("day/can0.log")
		if err == nil {
			_, err = f.Write(b)
		}
		if err := errors.Join(err, z.Close()); err != nil {
			t.Fatal(err)
		}
		return out.Bytes()
	default:
		return b
	}
	if err == nil {
		_, err = w.Write(b)
	}
	if err := errors.Join(err, w.Close()); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// However a recording is packed, all its messages are found, the last one too.
func TestPackedCAN(t *testing.T) {
	text := lateCAN()
	records := bytes.Count(text, []byte("\n"))
	for _, how := range []string{"plain", "gzip", "Zstandard", "zip"} {
		b := packed(t, how, text)
		l, remarks, err := openCAN(t, formats.Source{Name: "day.log", Stream: bytes.NewReader(b), At: bytes.NewReader(b), Size: int64(len(b))})
		if err != nil {
			t.Fatalf("%s: %v", how, err)
		}
		last := l.Len() - 1
		if l.Len() != records || len(l.Columns) != 2 || l.Columns[1].Name != "Late.B" || l.Values[1][last] != 1.5 || len(remarks) > 0 {
			t.Errorf("%s: %d records of %d, %d columns, %v", how, l.Len(), records, len(l.Columns), remarks)
		}
	}
}

// A packed recording cut anywhere gives what is whole, and says what is not.
func TestPackedCANCutAnywhere(t *testing.T) {
	text := lateCAN()[:300<<10]
	for _, how := range []string{"gzip", "Zstandard"} {
		whole := packed(t, how, text)
		some := 0
		for n := 0; n < len(whole); n += len(whole)/37 + 1 {
			b := whole[:n]
			l, remarks, err := openCAN(t, formats.Source{Name: "day.log", Stream: bytes.NewReader(b), At: bytes.NewReader(b), Size: int64(len(b))})
			if err != nil {
				isFault(t, how, err)
				continue
			}
			some++
			if len(remarks) == 0 || !remarks[0].Lost || !strings.Contains(remarks[0].What, "cut short") {
				t.Errorf("%s cut at %d: %d records, %v", how, n, l.Len(), remarks)
			}
			for i, v := range l.Values[0] {
				if v != float64(i%256) {
					t.Fatalf("%s cut at %d: record %d is %v", how, n, i, v)
				}
			}
		}
		// Zstandard gives 128 KiB at once: before 128 of 300 are there, nothing.
		if some < 37*4/10 {
			t.Errorf("%s: only %d cut files gave records", how, some)
		}
	}
}

func TestCANWithoutDBC(t *testing.T) {
	_, _, err := formats.Open(formats.Source{Name: "day.log", Stream: bytes.NewReader(lateCAN())})
	if err == nil || !strings.Contains(err.Error(), "day.log: this is a CAN recording, and its frames do not say what they hold; CAN needs --dbc FILE") {
		t.Error(err)
	}
}
