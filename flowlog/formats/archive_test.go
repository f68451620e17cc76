package formats_test

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"runtime"
	"strings"
	"testing"

	"runproof/flowlog"
	"runproof/flowlog/formats"
)

// archive packs a folder; streamed leaves lengths to the end of each file, as
// programs do that write while they pack.
func archive(t testing.TB, folder string, streamed bool) []byte {
	t.Helper()
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	root := os.DirFS(folder)
	err := fs.WalkDir(root, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := fs.ReadFile(root, name)
		if err != nil {
			return err
		}
		if streamed {
			w, err := z.Create("job/" + name)
			if err == nil {
				_, err = w.Write(b)
			}
			return err
		}
		h := &zip.FileHeader{Name: name, Method: zip.Store, CRC32: 0, CompressedSize64: uint64(len(b)), UncompressedSize64: uint64(len(b))}
		w, err := z.CreateRaw(h)
		if err == nil {
			_, err = w.Write(b)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

const invented = "../taskdata/testdata/invented"

func readPart(b []byte, part string) (*flowlog.Log, []flowlog.Remark, error) {
	r, closer, err := formats.Open(formats.Source{Name: "set.zip", Stream: bytes.NewReader(b), At: bytes.NewReader(b), Size: int64(len(b)), Part: part})
	if err != nil {
		return nil, nil, err
	}
	defer closer()
	l, err := flowlog.ReadAll(r)
	return l, flowlog.RemarksOf(r), err
}

func TestArchiveIsAFolder(t *testing.T) {
	r, _, err := formats.Open(formats.Source{Name: "set", Folder: os.DirFS(invented)})
	if err != nil {
		t.Fatal(err)
	}
	want, err := drain(r)
	if err != nil {
		t.Fatal(err)
	}
	got, _, err := readPart(archive(t, invented, true), "")
	if err != nil {
		t.Fatal(err)
	}
	differ(t, "zip", got, want)
}

// TestArchiveCutAnywhere: an archive whose end is lost gives the logs that are
// in its front, and says that it lost its end.
func TestArchiveCutAnywhere(t *testing.T) {
	for _, streamed := range []bool{true, false} {
		b := archive(t, invented, streamed)
		most, some := 0, 0
		for n := 4; n < len(b); n += len(b)/60 + 1 {
			l, remarks, err := readPart(b[:n], "")
			if err != nil {
				isFault(t, "cut zip", err)
				continue
			}
			some++
			if l.Len() < most {
				t.Errorf("cut at %d: %d samples after %d", n, l.Len(), most)
			}
			most = max(most, l.Len())
			if !remarks[0].Lost || !strings.Contains(remarks[0].What, "the archive lost its end") {
				t.Errorf("cut at %d: %+v", n, remarks)
			}
		}
		if some < 5 || most != 247 {
			t.Errorf("streamed %v: %d cuts gave samples, at most %d of 247", streamed, some, most)
		}
	}
}

func TestArchiveOfOneText(t *testing.T) {
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	for _, name := range []string{"a.csv", "__MACOSX/a.csv", ".hidden"} {
		w, err := z.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprint(w, "time,4103:1\n1,2\n2,3\n")
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	l, _, err := readPart(buf.Bytes(), "")
	if err != nil || l.Len() != 2 {
		t.Fatal(err)
	}
}

func TestArchivesThatAreNoLogs(t *testing.T) {
	pack := func(names ...string) []byte {
		var buf bytes.Buffer
		z := zip.NewWriter(&buf)
		for _, name := range names {
			w, err := z.Create(name)
			if err != nil {
				t.Fatal(err)
			}
			fmt.Fprint(w, "time,4103:1\n1,2\n2,3\n")
		}
		if err := z.Close(); err != nil {
			t.Fatal(err)
		}
		return buf.Bytes()
	}
	for _, c := range []struct {
		b    []byte
		want string
	}{
		{pack("[Content_Types].xml", "xl/workbook.xml"), "this is a spreadsheet, not a flow log; save the sheet as CSV"},
		{pack("a.csv", "b.csv"), "it holds 2 files, and none is TASKDATA.XML; put # and the name of one behind it, such as #a.csv"},
		{pack(), "there is no log in it"},
		{pack("x/"), "there is no log in it"},
	} {
		_, _, err := readPart(c.b, "")
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, want %s", err, c.want)
		}
	}
	if l, _, err := readPart(pack("a.csv", "b.csv"), "b.csv"); err != nil || l.Len() != 2 {
		t.Errorf("one of two: %v", err)
	}
}

// TestArchiveBombs: what unpacks to far more than it holds is read in memory
// that does not grow.
func TestArchiveBombs(t *testing.T) {
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	for name, head := range map[string]string{"TLG00001.XML": `<TIM A=""><DLV A="002F" B="" C="DET-1"/></TIM>`} {
		w, err := z.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprint(w, head)
	}
	w, err := z.Create("TLG00001.BIN")
	if err != nil {
		t.Fatal(err)
	}
	// Seven zero bytes are a record at 1980-01-01 with no values.
	if _, err := w.Write(make([]byte, 7<<20)); err != nil {
		t.Fatal(err)
	}
	w, err = z.Create("TASKDATA.XML")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := io.Copy(w, io.LimitReader(zeroReader{}, 64<<20)); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	r, _, err := formats.Open(formats.Source{Name: "bomb", Stream: bytes.NewReader(buf.Bytes()), At: bytes.NewReader(buf.Bytes()), Size: int64(buf.Len())})
	if err != nil {
		t.Fatal(err)
	}
	var b flowlog.Batch
	for err = nil; err == nil; err = r.Read(&b) {
	}
	if !errors.Is(err, io.EOF) {
		t.Error(err)
	}
	runtime.ReadMemStats(&after)
	if got := after.TotalAlloc - before.TotalAlloc; got > 400<<20 {
		t.Errorf("%d MiB allocated for a zip of %d kB", got>>20, buf.Len()>>10)
	}
}

// FuzzArchive opens any bytes behind the first of an archive.
func FuzzArchive(f *testing.F) {
	f.Add(archive(f, invented, true)[:2000])
	f.Add(archive(f, invented, false)[:2000])
	f.Fuzz(func(t *testing.T, b []byte) { checkAny(t, append([]byte("PK\x03\x04"), b...)) })
}
