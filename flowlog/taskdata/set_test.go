package taskdata_test

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"testing"
	"testing/fstest"
	"unicode/utf16"

	"runproof/flowlog"
	"runproof/flowlog/taskdata"
	"runproof/input"
)

// rec is a record of a made-up time log: a time of day in ms on 2026-05-12, and
// values by place.
type rec struct {
	ms     uint32
	values map[uint8]int32
}

// body stores records as ISO 11783-10 has them, with no position.
func body(recs ...rec) []byte {
	var b []byte
	for _, r := range recs {
		b = binary.LittleEndian.AppendUint32(b, r.ms)
		b = binary.LittleEndian.AppendUint16(b, 16933)
		b = append(b, byte(len(r.values)))
		for place := 0; place < 256; place++ {
			if v, ok := r.values[uint8(place)]; ok {
				b = append(b, byte(place))
				b = binary.LittleEndian.AppendUint32(b, uint32(v))
			}
		}
	}
	return b
}

func headXML(values ...string) []byte {
	s := `<TIM A="" D="4">`
	for _, v := range values {
		ddi, element, _ := strings.Cut(v, ":")
		s += fmt.Sprintf(`<DLV A="%s" B="" C="%s"/>`, ddi, element)
	}
	return []byte(s + `</TIM>`)
}

func file(b []byte) *fstest.MapFile { return &fstest.MapFile{Data: b} }

func readFS(t testing.TB, fsys fs.FS, part string) (*flowlog.Log, []flowlog.Remark, error) {
	t.Helper()
	set, err := taskdata.Open(fsys, "set")
	if err != nil {
		return nil, nil, err
	}
	r, err := set.Log(part, nil)
	if err != nil {
		return nil, nil, err
	}
	l, err := flowlog.ReadAll(r)
	return l, r.Remarks(), err
}

// TestStates checks what the standard's states become, in the invented set:
// work from DDI 141, sections from the condensed states, speed in m/s, each kept
// until the next value.
func TestStates(t *testing.T) {
	l, _ := read(t, "testdata/invented", "TLG00001")
	work, speed, condensed := 0.0, 0.0, uint32(0)
	some := map[float64]int{}
	for i := range l.TimeNS {
		if v := cell(t, l, "008D:DET-2", i); v == v {
			work = v
		}
		if v := cell(t, l, "018D:DET-2", i); v == v {
			speed = v / 1000
		}
		if v := cell(t, l, "00A1:DET-2", i); v == v {
			condensed = uint32(int32(v))
		}
		if got := cell(t, l, "work", i); got != work {
			t.Fatalf("record %d: work %v, want %v", i+1, got, work)
		}
		if got := cell(t, l, "speed", i); got != speed {
			t.Fatalf("record %d: speed %v, want %v", i+1, got, speed)
		}
		// Leftmost section in the lowest two bits; 2 is an error, 3 not installed.
		for s, id := range []string{"DET-5", "DET-6", "DET-7", "DET-8"} {
			bits := condensed >> (2 * s) & 3
			got := cell(t, l, "sec:"+id, i)
			if bits < 2 && got != float64(bits) || bits >= 2 && got == got {
				t.Fatalf("record %d: %s is %v, bits %d", i+1, id, got, bits)
			}
			some[float64(bits)]++
		}
	}
	if some[0] == 0 || some[1] == 0 || some[2] == 0 {
		t.Errorf("states met: %v; the sample has off, on and error", some)
	}
}

// TestTimeOrder: logs that overlap are told in time order, each keeping its own
// states, and records of equal time stand 1 ms apart.
func TestTimeOrder(t *testing.T) {
	fsys := fstest.MapFS{
		"TLG00002.XML": file(headXML("008D:DET-9")), "TLG00002.bin": file(body(rec{1500, map[uint8]int32{0: 1}}, rec{2000, nil}, rec{9000, nil})),
		"tlg00001.xml": file(headXML("002F:DET-3")), "TLG00001.BIN": file(body(rec{1000, map[uint8]int32{0: 5}}, rec{2000, nil}, rec{2000, nil}, rec{3000, map[uint8]int32{0: 7}})),
	}
	l, remarks, err := readFS(t, fsys, "")
	if err != nil {
		t.Fatal(err)
	}
	day := int64(1778544000e9)
	want := []int64{1000, 1500, 2000, 2001, 2002, 3000, 9000}
	if l.Len() != len(want) {
		t.Fatalf("%d records, want %d", l.Len(), len(want))
	}
	for i, ms := range want {
		if l.TimeNS[i] != day+ms*1e6 {
			t.Errorf("record %d at %s, want %d ms", i, l.Clock.Format(l.TimeNS[i]), ms)
		}
	}
	// Work is of log 2 alone: the records of log 1 say nothing of it.
	if w := l.Column(flowlog.Work); w[0] == w[0] || w[1] != 1 || w[5] == w[5] || w[6] != 1 {
		t.Errorf("work %v", w)
	}
	if len(remarks) != 2 || remarks[0].What != "2 records with the time of the one before, written 1 ms later" {
		t.Errorf("%+v", remarks)
	}
}

func TestRemarksAndFaults(t *testing.T) {
	task := func(inside string) *fstest.MapFile {
		return file([]byte(`<?xml version="1.0"?><ISO11783_TaskData VersionMajor="4"><TSK A="TSK-1" G="4">` + inside + `</TSK></ISO11783_TaskData>`))
	}
	good, one := file(headXML("002F:DET-3")), file(body(rec{1000, map[uint8]int32{0: 5}}))
	for _, c := range []struct {
		name string
		fsys fstest.MapFS
		part string
		want string // in a lost remark, or the fault
		rows int    // -1: a fault
	}{
		{"named log not there", fstest.MapFS{"TASKDATA.XML": task(`<TLG A="TLG00001" C="1"/><TLG A="TLG00007" C="1"/>`), "TLG00001.XML": good, "TLG00001.BIN": one}, "", "time log TLG00007 is named but not there", 1},
		{"named twice", fstest.MapFS{"TASKDATA.XML": task(`<TLG A="TLG00001"/><TLG A="TLG00001"/>`), "TLG00001.XML": good, "TLG00001.BIN": one}, "", "", 1},
		{"no records file", fstest.MapFS{"TASKDATA.XML": task(`<TLG A="TLG00001"/>`), "TLG00001.XML": good}, "", "has no records, TLG00001.BIN", -1},
		{"no head file", fstest.MapFS{"TASKDATA.XML": task(`<TLG A="TLG00001"/>`), "TLG00001.BIN": one}, "", "has no head, TLG00001.XML", -1},
		{"empty records", fstest.MapFS{"TASKDATA.XML": task(`<TLG A="TLG00001"/>`), "TLG00001.XML": good, "TLG00001.BIN": file(nil)}, "", "TLG00001.BIN holds no record", -1},
		{"shorter than told", fstest.MapFS{"TASKDATA.XML": task(`<TLG A="TLG00001" B="24"/>`), "TLG00001.XML": good, "TLG00001.BIN": one}, "", "ends after record 1, 12 bytes before the length", 1},
		{"head cut off behind a value", fstest.MapFS{"TLG00001.XML": file([]byte(`<TIM A=""><DLV A="002F" B="" C="DET-3"/><DLV A="00`)), "TLG00001.BIN": one}, "", "TLG00001.XML breaks off", 1},
		{"head cut off before", fstest.MapFS{"TLG00001.XML": file([]byte(`<TIM A=""><PT`)), "TLG00001.BIN": one}, "", "breaks off before its records are described", -1},
		{"no times", fstest.MapFS{"TLG00001.XML": file([]byte(`<TIM A="2026-05-12T09:00:00"><DLV A="002F" B="" C="DET-3"/></TIM>`)), "TLG00001.BIN": one}, "", "carry no time", -1},
		{"place not in the head", fstest.MapFS{"TLG00001.XML": good, "TLG00001.BIN": file(body(rec{1000, map[uint8]int32{0: 5, 9: 1}}))}, "", "1 values stand at places that its head does not name", 1},
		{"time of day past midnight", fstest.MapFS{"TLG00001.XML": good, "TLG00001.BIN": file(append(body(rec{1000, nil}), body(rec{90_000_000, nil}, rec{2000, nil})...))}, "", "record 2 has a time of day past midnight", 1},
		{"no such part", fstest.MapFS{"TLG00001.XML": good, "TLG00001.BIN": one}, "TLG00009", `there is no time log "TLG00009"; there is TLG00001`, -1},
		{"two of one name", fstest.MapFS{"a/TASKDATA.XML": task(`<TLG A="TLG00001"/>`), "a/TLG00001.XML": good, "a/TLG00001.BIN": one, "b/TASKDATA.XML": task(`<TLG A="TLG00001"/>`), "b/TLG00001.XML": good, "b/TLG00001.BIN": one}, "TLG00001", "name one of them with its folder: a/TLG00001 or b/TLG00001", -1},
		{"one of two", fstest.MapFS{"a/TASKDATA.XML": task(`<TLG A="TLG00001"/>`), "a/TLG00001.XML": good, "a/TLG00001.BIN": one, "b/TASKDATA.XML": task(`<TLG A="TLG00001"/>`), "b/TLG00001.XML": good, "b/TLG00001.BIN": one}, "b/TLG00001", "", 1},
		{"what archivers add", fstest.MapFS{"TASKDATA.XML": task(`<TLG A="TLG00001"/>`), "__MACOSX/._TLG00001.XML": good, "._TASKDATA.XML": task(`<TLG A="TLG00005"/>`), "TLG00001.XML": good, "TLG00001.BIN": one}, "", "", 1},
		{"a file pulled in", fstest.MapFS{"TASKDATA.XML": file([]byte(`<ISO11783_TaskData><XFR A="TSK00000" B="1"/></ISO11783_TaskData>`)), "TSK00000.XML": file([]byte(`<XFC><TSK A="TSK-1"><TLG A="TLG00001"/></TSK></XFC>`)), "TLG00001.XML": good, "TLG00001.BIN": one}, "", "", 1},
		{"a file that pulls in itself", fstest.MapFS{"TASKDATA.XML": file([]byte(`<ISO11783_TaskData><XFR A="TSK00000" B="1"/></ISO11783_TaskData>`)), "TSK00000.XML": file([]byte(`<XFC><XFR A="TSK00000"/></XFC>`)), "TLG00001.XML": good, "TLG00001.BIN": one}, "", "names TSK00000.XML, which is not there", 1},
		{"nothing", fstest.MapFS{"TASKDATA.XML": task("")}, "", "hold no time log", -1},
		{"XML breaks off", fstest.MapFS{"TASKDATA.XML": file([]byte("<ISO11783_TaskData>\n<TSK A=\"TSK-1\"><TLG A=\"TLG00001\"/><TIM A")), "TLG00001.XML": good, "TLG00001.BIN": one}, "", "TASKDATA.XML breaks off: line 2", 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			l, remarks, err := readFS(t, c.fsys, c.part)
			if c.rows < 0 {
				var f input.Fault
				if !errors.As(err, &f) || !strings.Contains(err.Error(), c.want) {
					t.Fatalf("%v, want %q", err, c.want)
				}
				return
			}
			if err != nil || l.Len() != c.rows {
				t.Fatalf("%v, %d rows, want %d", err, l.Len(), c.rows)
			}
			said := ""
			for _, m := range remarks {
				if m.Lost {
					said += m.What + "\n"
				}
			}
			if !strings.Contains(said, c.want) || c.want == "" && said != "" {
				t.Errorf("lost %q, want %q", said, c.want)
			}
		})
	}
}

// TestCharacters: XML in every encoding that it may be written in gives the same.
func TestCharacters(t *testing.T) {
	const head = `<?xml version="1.0" encoding="%s"?><TIM A="" D="4"><DLV A="002F" B="" C="DET-3"/></TIM>`
	utf16 := func(order binary.AppendByteOrder, bom bool) []byte {
		var b []byte
		if bom {
			b = order.AppendUint16(b, 0xfeff)
		}
		for _, c := range utf16.Encode([]rune(fmt.Sprintf(head, "UTF-16"))) {
			b = order.AppendUint16(b, c)
		}
		return b
	}
	for name, b := range map[string][]byte{
		"utf-8":             []byte(fmt.Sprintf(head, "UTF-8")),
		"utf-8 with mark":   []byte("\xef\xbb\xbf" + fmt.Sprintf(head, "UTF-8")),
		"latin":             []byte(fmt.Sprintf(head, "ISO-8859-1") + "<!-- \xe4 -->"),
		"utf-16 le":         utf16(binary.LittleEndian, true),
		"utf-16 be":         utf16(binary.BigEndian, true),
		"utf-16 le no mark": utf16(binary.LittleEndian, false),
		"utf-16 be no mark": utf16(binary.BigEndian, false),
	} {
		l, _, err := readFS(t, fstest.MapFS{"TLG00001.XML": file(b), "TLG00001.BIN": file(body(rec{1000, map[uint8]int32{0: 5}}))}, "")
		if err != nil || l.Len() != 1 || l.Columns[0].Name != "002F:DET-3" {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestBrokenSample: the reference cut log 2 inside record 31.
func TestBrokenSample(t *testing.T) {
	whole, _ := read(t, "testdata/invented", "TLG00002")
	l, remarks := read(t, "testdata/invented/broken", "")
	if l.Len() != 30 || !remarks[0].Lost || !strings.Contains(remarks[0].What, "cut short inside record 31: the 30 before are whole") {
		t.Fatalf("%d records, %+v", l.Len(), remarks)
	}
	for c := range l.Values {
		for i, v := range l.Values[c] {
			if w := whole.Values[c][i]; v != w && (v == v || w == w) {
				t.Errorf("record %d, %s: %v, whole log %v", i+1, l.Columns[c].Name, v, w)
			}
		}
	}
}

// TestCutAnywhere: of records cut at any byte the whole ones are kept, and the
// remark says how many.
func TestCutAnywhere(t *testing.T) {
	head, err := os.ReadFile("testdata/invented/TLG00001.XML")
	if err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile("testdata/invented/TLG00001.BIN")
	if err != nil {
		t.Fatal(err)
	}
	whole, _, err := readFS(t, fstest.MapFS{"TLG00001.XML": file(head), "TLG00001.BIN": file(b)}, "")
	if err != nil {
		t.Fatal(err)
	}
	last := 0
	for n := 1; n < len(b); n += 7 {
		l, remarks, err := readFS(t, fstest.MapFS{"TLG00001.XML": file(head), "TLG00001.BIN": file(b[:n])}, "")
		if err != nil {
			if last > 0 {
				t.Fatal(n, err)
			}
			continue
		}
		if l.Len() < last || l.Len() > whole.Len() {
			t.Fatalf("cut at %d: %d records after %d", n, l.Len(), last)
		}
		last = l.Len()
		for c := range l.Values {
			for i, v := range l.Values[c] {
				if w := whole.Values[c][i]; v != w && (v == v || w == w) {
					t.Fatalf("cut at %d: record %d differs", n, i+1)
				}
			}
		}
		if !remarks[0].Lost && !strings.Contains(fmt.Sprint(remarks), "UTC") {
			t.Errorf("cut at %d: %v", n, remarks)
		}
	}
	if last < whole.Len()-1 {
		t.Errorf("at most %d of %d records", last, whole.Len())
	}
}

// A log as long as a season's day reads in memory that does not grow with it.
func BenchmarkRead(b *testing.B) {
	var values []string
	for i := range 40 {
		values = append(values, fmt.Sprintf("002F:DET-%d", i))
	}
	var recs []rec
	for i := range 20000 {
		r := rec{uint32(i) * 200, map[uint8]int32{}}
		for p := range 40 {
			r.values[uint8(p)] = int32(i * p)
		}
		recs = append(recs, r)
	}
	data := body(recs...)
	fsys := fstest.MapFS{"TLG00001.XML": file(headXML(values...)), "TLG00001.BIN": file(data)}
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		set, err := taskdata.Open(fsys, "set")
		if err != nil {
			b.Fatal(err)
		}
		r, err := set.Log("", nil)
		if err != nil {
			b.Fatal(err)
		}
		var batch flowlog.Batch
		for err = nil; err == nil; err = r.Read(&batch) {
		}
		if !errors.Is(err, io.EOF) {
			b.Fatal(err)
		}
	}
}

// FuzzSet reads any bytes as the files of a set.
func FuzzSet(f *testing.F) {
	for _, name := range []string{"TLG00001", "TLG00002", "TLG00003"} {
		task, err := os.ReadFile("testdata/invented/TASKDATA.XML")
		if err != nil {
			f.Fatal(err)
		}
		head, err := os.ReadFile("testdata/invented/" + name + ".XML")
		if err != nil {
			f.Fatal(err)
		}
		b, err := os.ReadFile("testdata/invented/" + name + ".BIN")
		if err != nil {
			f.Fatal(err)
		}
		f.Add(task, head, b[:min(len(b), 400)])
	}
	f.Fuzz(func(t *testing.T, task, head, b []byte) {
		l, remarks, err := readFS(t, fstest.MapFS{"TASKDATA.XML": file(task), "TLG00001.XML": file(head), "TLG00001.BIN": file(b)}, "")
		if err != nil {
			var fault input.Fault
			if !errors.As(err, &fault) {
				t.Fatalf("%T: %v", err, err)
			}
			return
		}
		for i := range l.TimeNS {
			if i > 0 && l.TimeNS[i] <= l.TimeNS[i-1] {
				t.Fatalf("time %d after %d", l.TimeNS[i], l.TimeNS[i-1])
			}
			for c := range l.Values {
				if v := l.Values[c][i]; v == v && l.Columns[c].Kind.Check(v) != nil {
					t.Fatalf("%v in %s", v, l.Columns[c].Name)
				}
			}
		}
		if len(remarks) == 0 {
			t.Fatal("nothing said of the terminal's clock")
		}
	})
}

// zipped packs a folder's files.
func zipped(t testing.TB, folder string) []byte {
	t.Helper()
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	if err := z.AddFS(os.DirFS(folder)); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

// A zip is a folder.
func TestZip(t *testing.T) {
	b := zipped(t, "testdata/public/seeding")
	z, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		t.Fatal(err)
	}
	got, _, err := readFS(t, z, "TLG00006")
	if err != nil {
		t.Fatal(err)
	}
	want, _ := read(t, "testdata/public/seeding", "TLG00006")
	if got.Len() != want.Len() || len(got.Columns) != len(want.Columns) {
		t.Errorf("%d samples of %d columns, want %d of %d", got.Len(), len(got.Columns), want.Len(), len(want.Columns))
	}
}

// A thousand sets in one archive are an archive of archives, or a bomb.
func TestTooManySets(t *testing.T) {
	fsys := fstest.MapFS{}
	for i := range 1001 {
		fsys[fmt.Sprintf("%04d/TASKDATA.XML", i)] = &fstest.MapFile{Data: []byte(`<ISO11783_TaskData VersionMajor="4"/>`)}
	}
	_, err := taskdata.Open(fsys, "many.zip")
	var f input.Fault
	if !errors.As(err, &f) || !strings.Contains(err.Error(), "many.zip: there are more than 1000 TASKDATA.XML in it; name the folder of one of them") {
		t.Errorf("%v", err)
	}
}
