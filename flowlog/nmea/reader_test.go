package nmea_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/iotest"

	"runproof/flowlog"
	"runproof/flowlog/nmea"
	"runproof/input"
)

// summed gives a sentence its dollar sign and checksum.
func summed(body string) string {
	sum := byte(0)
	for i := range len(body) {
		sum ^= body[i]
	}
	return fmt.Sprintf("$%s*%02X\r\n", body, sum)
}

func times(l *flowlog.Log) string {
	var s []string
	for _, ns := range l.TimeNS {
		s = append(s, l.Clock.Format(ns))
	}
	return strings.Join(s, " ")
}

func said(rs []flowlog.Remark) string {
	var s []string
	for _, r := range rs {
		s = append(s, fmt.Sprint(r.Lost, " ", r.What))
	}
	return strings.Join(s, "\n")
}

// TestTimes: which moments a text holds, and what is said of it.
func TestTimes(t *testing.T) {
	gga := func(at string) string {
		return summed("GPGGA," + at + ",3324.74070,S,12007.40736,E,1,09,1.2,301.5,M,,M,,")
	}
	rmc := func(at, date string) string {
		return summed("GPRMC," + at + ",A,3324.74070,S,12007.40736,E,5.120,184.61," + date + ",,,A")
	}
	for _, c := range []struct{ name, text, want, said string }{
		{"sentences of a moment are joined", rmc("091530.00", "120526") + gga("091530.00") + summed("GPVTG,,T,,M,1.0,N,,K"), "2026-05-12T09:15:30Z", ""},
		{"talkers too", rmc("091530.00", "120526") + strings.Replace(summed("GLGGA,091530,3324.74070,S,12007.40736,E,1,09,1.2,301.5,M,,M,,"), "\r", "", 1), "2026-05-12T09:15:30Z", ""},
		{"midnight before the first RMC of the day", rmc("235959.80", "311226") + gga("235959.80") + gga("000000.00") + rmc("000000.00", "010127"), "2026-12-31T23:59:59.8Z 2027-01-01T00:00:00Z", ""},
		{"midnight without another date", rmc("235959.80", "311226") + gga("000000.00") + gga("000000.20"), "2026-12-31T23:59:59.8Z 2027-01-01T00:00:00Z 2027-01-01T00:00:00.2Z", ""},
		{"dates come late", gga("235959.00") + gga("000000.00") + gga("000001.00") + rmc("000002.00", "010127"), "2026-12-31T23:59:59Z 2027-01-01T00:00:00Z 2027-01-01T00:00:01Z 2027-01-01T00:00:02Z", ""},
		{"no date at all", gga("235959.50") + gga("000001.00"), "86399.5 86401", "times are seconds since the log's first midnight"},
		{"a late sentence from before midnight", rmc("235959.80", "311226") + rmc("000000.00", "010127") + gga("235959.90"), "2026-12-31T23:59:59.8Z 2027-01-01T00:00:00Z 2027-01-01T00:00:00.000001Z", "written right behind it"},
		{"a date that lags behind midnight", rmc("235959.00", "120526") + rmc("000000.00", "120526") + rmc("000001.00", "120526") + rmc("000002.00", "130526"), "2026-05-12T23:59:59Z 2026-05-13T00:00:00Z 2026-05-13T00:00:01Z 2026-05-13T00:00:02Z", ""},
		{"a date that never goes on", rmc("235959.00", "120526") + rmc("000000.00", "120526") + rmc("120000.00", "120526") + rmc("235959.00", "120526") + rmc("000000.00", "120526"), "2026-05-12T23:59:59Z 2026-05-13T00:00:00Z 2026-05-13T12:00:00Z 2026-05-13T23:59:59Z 2026-05-14T00:00:00Z", ""},
		{"a date before its midnight", rmc("235958.00", "120526") + rmc("235959.00", "130526") + rmc("000000.00", "130526"), "2026-05-12T23:59:58Z 2026-05-12T23:59:59Z 2026-05-13T00:00:00Z", ""},
		{"one date that cannot be", rmc("091530.00", "120526") + rmc("091531.00", "120527") + rmc("091532.00", "120526"), "2026-05-12T09:15:30Z 2026-05-12T09:15:31Z 2026-05-12T09:15:32Z", "false 1 moment with a time far from those before and behind, put between these"},
		{"one time that cannot be", rmc("091530.00", "120526") + rmc("031531.00", "120526") + rmc("091532.00", "120526"), "2026-05-12T09:15:30Z 2026-05-12T09:15:31Z 2026-05-12T09:15:32Z", "false 1 moment with a time far"},
		{"years 80 to 99 are the last century's", rmc("120000", "010180"), "1980-01-01T12:00:00Z", ""},
		{"years 00 to 79 are this one's", rmc("120000", "311279"), "2079-12-31T12:00:00Z", ""},
		{"a logger's own stamp before", "2026-05-12 11:15:30,123;" + rmc("091530.00", "120526") + "17.5 " + gga("091531.00"), "2026-05-12T09:15:30Z 2026-05-12T09:15:31Z", ""},
		{"merged lines", strings.TrimSpace(rmc("091530.00", "120526")) + gga("091531.00") + "$GPRMC,0915" + gga("091532.00"), "2026-05-12T09:15:30Z 2026-05-12T09:15:31Z 2026-05-12T09:15:32Z", "true 1 sentence damaged (checksum wrong or cut short) and left out, the first in line 2"},
		{"wrong checksum", rmc("091530.00", "120526") + strings.Replace(gga("091531.00"), "S", "N", 1), "2026-05-12T09:15:30Z", "true 1 sentence damaged"},
		{"no checksum", "$GPRMC,091530.00,A,3324.74070,S,12007.40736,E,5.120,184.61,120526,,,A\n", "2026-05-12T09:15:30Z", "false 1 sentence without a checksum"},
		{"cut in the last sentence", rmc("091530.00", "120526") + rmc("091531.00", "120526")[:40], "2026-05-12T09:15:30Z", "true 1 sentence damaged"},
		{"no such day", rmc("091530.00", "120526") + rmc("091531.00", "310226"), "2026-05-12T09:15:30Z", "true 1 sentence left out for values that cannot be, the first in line 2"},
		{"no such minute", rmc("091530.00", "120526") + summed("GPGGA,091531,3360.0,S,12007.4,E,1,09,1.2,301.5,M,,M,,"), "2026-05-12T09:15:30Z", "values that cannot be"},
		{"a leap second", rmc("235959.50", "301226") + rmc("235960.50", "301226"), "2026-12-30T23:59:59.5Z 2026-12-30T23:59:59.999999999Z", ""},
		{"the same moment again, later", rmc("091530.00", "120526") + rmc("091531.00", "120526") + rmc("091531.00", "130526"), "2026-05-12T09:15:30Z 2026-05-12T09:15:31Z 2026-05-13T09:15:31Z", ""},
		{"binary in between", rmc("091530.00", "120526") + "\xd3\x00\x13>\xd7$\xd3\x02\n\xff" + rmc("091531.00", "120526"), "2026-05-12T09:15:30Z 2026-05-12T09:15:31Z", ""},
	} {
		l, remarks := read(t, c.text)
		if got := times(l); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
		if got := said(remarks); c.said == "" && got != "" || !strings.Contains(got, c.said) {
			t.Errorf("%s: it says %q, want %q", c.name, got, c.said)
		}
	}
}

// TestSample: the sample set as one log. Its last sentences are of an earlier
// day, which reads as a clock that was set back, and then of a second earlier.
func TestSample(t *testing.T) {
	l, remarks := read(t, strings.Join(sampleLines(t), "\n"))
	if got := times(l); !strings.HasPrefix(got, "2026-05-12T09:15:30Z 2026-12-31T23:59:59.8Z 2027-01-01T00:00:00Z ") || l.Len() != 5 {
		t.Error(got)
	}
	if got := said(remarks); strings.Contains(got, "true") || strings.Count(got, "set back") != 1 {
		t.Error(got)
	}
}

func TestVoidFixIsNotAtZero(t *testing.T) {
	for _, body := range []string{
		"GNRMC,091531.00,V,,,,,,,120526,,,N",
		"GNRMC,091531.00,V,0000.00000,N,00000.00000,E,0.0,0.0,120526,,,N",
		"GNRMC,091531.00,A,0000.00000,N,00000.00000,E,0.0,0.0,120526,,,A",
		"GNRMC,091531.00,A,5112.00000,N,10618.00000,W,0.0,0.0,120526,,,N",
		"GNGGA,091531.00,0000.0,N,00000.0,E,0,00,99.99,,M,,M,,",
	} {
		l, _ := read(t, summed(body))
		if a, o := column(l, "lat")[0], column(l, "lon")[0]; a == a || o == o {
			t.Errorf("%s lies at %v, %v", body, a, o)
		}
	}
}

func TestCourseOfASlowMachineIsMissing(t *testing.T) {
	l, _ := read(t, summed("GNRMC,091531.00,A,5112.0,N,10618.0,W,0.58,77.0,120526,,,A")+summed("GNRMC,091532.00,A,5112.0,N,10618.0,W,0.59,77.0,120526,,,A"))
	// 0.3 m/s is 0.583 knots.
	if c := column(l, "course"); c[0] == c[0] || c[1] != 77 {
		t.Error(c)
	}
	if v := column(l, "speed"); math.Abs(v[0]-0.58*1852/3600) > 1e-12 {
		t.Error(v)
	}
}

func TestReceiversThatDisagreeAreTold(t *testing.T) {
	a := summed("GNRMC,091531.00,A,5112.00000,N,10618.00000,W,4.0,77.0,120526,,,A")
	b := summed("GPGGA,091531.00,5112.10000,N,10618.00000,W,1,09,1.2,301.5,M,,M,,")
	l, remarks := read(t, a+b)
	// a tenth of a minute of latitude is 185.5 m at 51 degrees, 185.3 m on the sphere
	if got := said(remarks); !strings.Contains(got, "disagree, by up to 185 m") {
		t.Error(got)
	}
	if got := column(l, "lat")[0]; l.Len() != 1 || got != 51.2 {
		t.Error(l.Len(), got)
	}
}

func TestFaults(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"nothing", "", "holds no samples"},
		{"other sentences", summed("GPGSV,1,1,00") + summed("GPVTG,,T,,M,1.0,N,,K"), "no RMC, GGA or ZDA"},
		{"all damaged", "\n$GPRMC,091530.00,A*00\n", "x.nmea:2: none of its 1 position sentences is whole"},
	} {
		_, err := nmea.NewReader(strings.NewReader(c.text), "x.nmea", nil)
		var f input.Fault
		if !errors.As(err, &f) || !strings.Contains(err.Error(), c.want) || f.Remedy == "" {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
	if _, err := nmea.NewReader(iotest.ErrReader(errors.New("torn")), "x.nmea", nil); err == nil || !strings.Contains(err.Error(), "torn") {
		t.Error(err)
	}
}

// TestCutAnywhere: what stands before a cut is what was written, but for the
// moment that the cut is in; a cut inside a sentence is told.
func TestCutAnywhere(t *testing.T) {
	var b strings.Builder
	for i := range 40 {
		at := fmt.Sprintf("0915%02d.00", i)
		fmt.Fprint(&b, summed("GNRMC,"+at+",A,5112.00000,N,10618.00000,W,4.276,0.00,120526,9.8,E,R"), summed("GNGGA,"+at+",5112.00000,N,10618.00000,W,4,18,0.7,577.12,M,-21.40,M,1.0,0120"))
	}
	text := b.String()
	want, _ := read(t, text)
	for n := 80; n < len(text); n++ {
		got, remarks := read(t, text[:n])
		full := got.Len() - 1
		for c := range want.Values {
			for i := range full {
				if got.TimeNS[i] != want.TimeNS[i] || got.Values[c][i] != want.Values[c][i] {
					t.Fatalf("cut at %d: %s of record %d differs", n, want.Columns[c].Name, i)
				}
			}
		}
		line := text[strings.LastIndexByte(text[:n], '$'):n]
		if told := strings.Contains(said(remarks), "cut short"); told != (len(line) > 6 && len(line) < strings.IndexByte(line+"*", '*')+3) {
			t.Fatalf("cut behind %q: told is %v", line, told)
		}
	}
	r, err := nmea.NewReader(iotest.TimeoutReader(iotest.OneByteReader(strings.NewReader(text))), "x.nmea", nil)
	if err == nil {
		_, err = flowlog.ReadAll(r)
	}
	if err == nil {
		t.Error("a source that fails at once gave a log")
	}
}

// TestTornSource: what was read before the source failed is kept, the rest told.
func TestTornSource(t *testing.T) {
	text := strings.Repeat(summed("GNRMC,091531.00,A,5112.00000,N,10618.00000,W,4.0,77.0,120526,,,A")+summed("GNRMC,091532.00,A,5112.00000,N,10618.00000,W,4.0,77.0,120526,,,A"), 3)
	r, err := nmea.NewReader(&torn{text: text}, "x.nmea", nil)
	if err != nil {
		t.Fatal(err)
	}
	l, err := flowlog.ReadAll(r)
	if err != nil || l.Len() != 6 || !strings.Contains(said(r.Remarks()), "true x.nmea cannot be read on behind line 6: torn") {
		t.Error(err, l.Len(), said(r.Remarks()))
	}
}

type torn struct{ text string }

func (s *torn) Read(b []byte) (int, error) {
	n := copy(b, s.text)
	if s.text = s.text[n:]; n == 0 {
		return 0, errors.New("torn")
	}
	return n, nil
}

func TestKeep(t *testing.T) {
	r, err := nmea.NewReader(strings.NewReader(strings.Join(sampleLines(t)[:3], "\n")), "x", func(c flowlog.Column) bool { return c.Kind == flowlog.Lon })
	if err != nil {
		t.Fatal(err)
	}
	l, err := flowlog.ReadAll(r)
	if err != nil || len(l.Columns) != 1 || l.Values[0][0] != -106.3 {
		t.Error(err, l)
	}
}

func TestOwns(t *testing.T) {
	for text, want := range map[string]bool{
		sampleLines(t)[0]:                      true,
		"garbage $\n12:00:01 $GPGSV,1,1,00*79": true,
		"":                                     false,
		"time,lat,lon\n":                       false,
		"price: $12,50":                        false,
		"$GNRMC":                               false,
		"$PUBXX,00":                            false,
	} {
		if nmea.Owns([]byte(text)) != want {
			t.Errorf("%q: %v", text, !want)
		}
	}
}
