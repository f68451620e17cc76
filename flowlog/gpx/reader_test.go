package gpx_test

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"runproof/flowlog"
	"runproof/flowlog/gpx"
	"runproof/input"
)

// track puts points into a file.
func track(points string) string {
	return `<gpx version="1.1"><trk><trkseg>` + points + `</trkseg></trk></gpx>`
}

func at(s string) string { return `<trkpt lat="1" lon="2"><time>` + s + `</time></trkpt>` }

func said(rs []flowlog.Remark) string {
	var s []string
	for _, r := range rs {
		s = append(s, fmt.Sprint(r.Lost, " ", r.What))
	}
	return strings.Join(s, "\n")
}

// TestWhatIsSaid: how many points a text holds, and what is said of it.
func TestWhatIsSaid(t *testing.T) {
	one := at("2026-05-12T09:15:30Z")
	for _, c := range []struct {
		name, text string
		points     int
		said       string
	}{
		{"one", track(one), 1, ""},
		{"without a time", track(`<trkpt lat="1" lon="2"/>` + one), 1, "true 1 point without a time, left out"},
		{"a time that is none", track(at("noon") + one), 1, "true 1 point without a time"},
		{"no zone", track(at("2026-05-12T09:15:30.25")), 1, "false 1 time without a zone, taken as UTC"},
		{"another zone", track(at("2026-05-12T11:15:29+02:00") + one), 2, ""},
		{"twice the same time", track(one + one), 2, "false 1 record with the time of the one before"},
		{"a track twice", track(one+at("2026-05-12T09:15:40Z")+one) + "", 2, "true 1 point left out because they go back in time, the first before line 1"},
		{"latitude beyond the pole", track(`<trkpt lat="91" lon="2"><time>2026-05-12T09:15:30Z</time></trkpt>`), 1, "true 1 value of points left out"},
		{"torn", track(one + at("2026-05-12T09:15:31Z"))[:len(`<gpx version="1.1"><trk><trkseg>`)+len(one)+30], 1, "true the XML breaks off in line 1: unexpected EOF; the 1 point before are whole"},
		{"wrong from some place on", track(one + "</wrong>" + one), 1, "true the XML breaks off in line 1"},
		{"routes and waypoints", track(one) + "", 1, ""},
		{"time among the extensions is another thing", track(`<trkpt lat="1" lon="2"><extensions><time>noon</time></extensions><time>2026-05-12T09:15:30Z</time></trkpt>`), 1, ""},
		{"Latin-1", `<?xml version="1.0" encoding="ISO-8859-1"?>` + strings.Replace(track(one), "<trk>", "<trk><name>L\xf6ss</name>", 1), 1, ""},
	} {
		l, remarks := read(t, c.text)
		if l.Len() != c.points {
			t.Errorf("%s: %d points, want %d", c.name, l.Len(), c.points)
		}
		if got := said(remarks); c.said == "" && got != "" || !strings.HasPrefix(got, c.said) {
			t.Errorf("%s: it says %q, want %q", c.name, got, c.said)
		}
	}
}

func TestFaults(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"nothing", "", "there are no track points in it"},
		{"a route only", `<gpx><rte><rtept lat="1" lon="2"/></rte></gpx>`, "there are no track points in it"},
		{"no times", track(`<trkpt lat="1" lon="2"/><trkpt lat="1" lon="2"/>`), "none of the 2 track points has a time"},
		{"torn at once", "<gpx>\n<trk><trkse", "x.gpx:2: the XML breaks off in line 2"},
		{"deep", strings.Repeat("<a>", 70), "more than 64 deep"},
		{"a long piece", "<gpx><!--" + strings.Repeat("-a", 1<<20), "longer than 1048576 bytes"},
		{"an encoding", `<?xml version="1.0" encoding="UTF-16"?><gpx/>`, "save the file as UTF-8"},
	} {
		_, err := gpx.NewReader(strings.NewReader(c.text), "x.gpx", nil)
		var f input.Fault
		if !errors.As(err, &f) || !strings.Contains(err.Error(), c.want) || f.Remedy == "" {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}

// TestCutAnywhere: a cut file gives the points that are whole, and says that it
// is cut.
func TestCutAnywhere(t *testing.T) {
	text := file(t, "points11.gpx")
	want, _ := read(t, text)
	for n := 1; n < len(text); n += 5 {
		ends := strings.Count(text[:n], "</trkpt>")
		r, err := gpx.NewReader(strings.NewReader(text[:n]), "x.gpx", nil)
		if (err != nil) != (ends == 0) {
			t.Fatalf("cut at %d behind %d points: %v", n, ends, err)
		}
		if err != nil {
			continue
		}
		got, err := flowlog.ReadAll(r)
		if err != nil || got.Len() != ends || !strings.Contains(said(r.Remarks()), "true the XML breaks off") && !strings.HasSuffix(text[:n], "</gpx>") {
			t.Fatalf("cut at %d: %v, %d points of %d; %s", n, err, got.Len(), ends, said(r.Remarks()))
		}
		if i := ends - 1; got.TimeNS[i] != want.TimeNS[i] || got.Values[0][i] != want.Values[0][i] {
			t.Fatalf("cut at %d: the last point differs", n)
		}
	}
}

func TestKeep(t *testing.T) {
	r, err := gpx.NewReader(strings.NewReader(file(t, "points10.gpx")), "x", func(c flowlog.Column) bool { return c.Kind == flowlog.Speed })
	if err != nil {
		t.Fatal(err)
	}
	l, err := flowlog.ReadAll(r)
	if err != nil || len(l.Columns) != 1 || l.Values[0][0] != 2.503 {
		t.Error(err, l.Columns)
	}
}

func TestOwns(t *testing.T) {
	for text, want := range map[string]bool{
		"\ufeff<?xml version=\"1.0\"?>\n<gpx version='1.1'": true,
		"<gpx>":         true,
		"<gpxx>":        false,
		"<html><gpx":    false,
		"time,<gpx >\n": false,
	} {
		if gpx.Owns([]byte(text)) != want {
			t.Errorf("%q: %v", text, !want)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add(track(at("2026-05-12T09:15:30Z") + at("2026-05-12T09:15:30.1")))
	f.Add(file(f, "points10.gpx")[:900])
	f.Add(file(f, "points11.gpx")[:900])
	f.Fuzz(func(t *testing.T, text string) {
		r, err := gpx.NewReader(strings.NewReader(text), "x", nil)
		if err != nil {
			return
		}
		l, err := flowlog.ReadAll(r)
		if err != nil || l.Len() == 0 {
			t.Fatal(err)
		}
		for i := range l.Len() {
			if i > 0 && l.TimeNS[i] <= l.TimeNS[i-1] {
				t.Fatalf("time %d after %d", l.TimeNS[i], l.TimeNS[i-1])
			}
			for c := range l.Values {
				if v := l.Values[c][i]; v == v && l.Columns[c].Kind.Check(v) != nil {
					t.Fatalf("%s is %v", l.Columns[c].Name, v)
				}
			}
		}
	})
}

// BenchmarkRead reads an hour of points at 5 Hz.
func BenchmarkRead(b *testing.B) {
	var points strings.Builder
	for i := range 18000 {
		fmt.Fprintf(&points, `<trkpt lat="51.%07d" lon="-106.3012345"><ele>577.12</ele><time>2026-05-12T09:%02d:%02d.%dZ</time></trkpt>`+"\n", i*31, i/300, i/5%60, i%5*2)
	}
	text := track(points.String())
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		r, err := gpx.NewReader(strings.NewReader(text), "x", nil)
		var batch flowlog.Batch
		n := 0
		for err == nil {
			err = r.Read(&batch)
			n += batch.Len()
		}
		if err != io.EOF || n != 18000 {
			b.Fatal(err, n)
		}
	}
}

func Example() {
	r, err := gpx.NewReader(strings.NewReader(track(at("2026-05-12T09:15:30Z"))), "day.gpx", nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	l, err := flowlog.ReadAll(r)
	fmt.Println(l.Clock.Format(l.TimeNS[0]), l.Column(flowlog.Lat)[0], l.Column(flowlog.Lon)[0], err)
	// Output: 2026-05-12T09:15:30Z 1 2 <nil>
}

// Files in two bytes a character, and files whose elements have a prefix, are
// known and read as their plain twins.
func TestManners(t *testing.T) {
	plain := track(at("2026-05-12T09:15:30Z") + at("2026-05-12T09:15:31.25Z"))
	wide := func(s string, high, low int) string {
		b := make([]byte, 2*len(s))
		for i := range len(s) {
			b[2*i+high], b[2*i+low] = 0, s[i]
		}
		return string(b)
	}
	head := `<?xml version="1.0" encoding="UTF-16"?>`
	prefixed := strings.NewReplacer("</", "</g:", "<", "<g:").Replace(plain)
	for name, text := range map[string]string{
		"UTF-16, mark":             "\xff\xfe" + wide(head+plain, 1, 0),
		"UTF-16 big-endian, mark":  "\xfe\xff" + wide(head+plain, 0, 1),
		"UTF-16, no mark":          wide(head+plain, 1, 0),
		"UTF-16 big-endian, plain": wide(plain, 0, 1),
		"prefix":                   strings.Replace(prefixed, "<g:gpx", `<g:gpx xmlns:g="http://www.topografix.com/GPX/1/1"`, 1),
	} {
		if !gpx.Owns([]byte(text)[:min(len(text), 101)]) {
			t.Errorf("%s: not known", name)
		}
		r, err := gpx.NewReader(strings.NewReader(text), "x.gpx", nil)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		l, err := flowlog.ReadAll(r)
		if err != nil || l.Len() != 2 || l.Clock.Format(l.TimeNS[1]) != "2026-05-12T09:15:31.25Z" || l.Values[1][0] != 2 {
			t.Errorf("%s: %v %v %v", name, err, l.TimeNS, said(flowlog.RemarksOf(r)))
		}
	}
	if gpx.Owns([]byte(`<?xml version="1.0"?><kml><name>a.gpx </name></kml>`)) {
		t.Error("a globe's file is taken for a track")
	}
}
