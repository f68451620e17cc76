package flowlog_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"runproof/flowlog"
)

func TestParseTime(t *testing.T) {
	for _, c := range []struct {
		text  string
		ns    int64
		clock flowlog.Clock
	}{
		// RFC 3339, section 5.8, examples; the Unix times from GNU date 9.1.
		{"1985-04-12T23:20:50.52Z", 482196050_520000000, flowlog.UTC},
		{"1996-12-19T16:39:57-08:00", 851042397_000000000, flowlog.UTC},
		{"1937-01-01T12:00:27.87+00:20", -1041337172_130000000, flowlog.UTC},
		{"2000-02-29T00:00:00Z", 951782400_000000000, flowlog.UTC},
		{"2026-05-12T09:15:30.2Z", 1778577330_200000000, flowlog.UTC},
		{"2026-05-12T09:15:30.123456789Z", 1778577330_123456789, flowlog.UTC},
		{"0", 0, flowlog.Seconds},
		{"-0.000000001", -1, flowlog.Seconds},
		{"12.5", 12_500000000, flowlog.Seconds},
		{".5", 500000000, flowlog.Seconds},
		{"1778577330.003", 1778577330_003000000, flowlog.Seconds}, // a float64 would give ...003000021
		{"1e3", 1000_000000000, flowlog.Seconds},
		{"+2", 2_000000000, flowlog.Seconds},
		{"0.1234567891", 123456789, flowlog.Seconds}, // a tenth of a nanosecond is rounded
	} {
		ns, clock, err := flowlog.ParseTime(c.text)
		if err != nil || ns != c.ns || clock != c.clock {
			t.Errorf("%s: %d %v %v, want %d %v", c.text, ns, clock, err, c.ns, c.clock)
		}
	}
}

func TestParseTimeRefuses(t *testing.T) {
	for _, text := range []string{
		"", "noon", "-", ".", "1.", "--1", "1_0", "0x10", "NaN", "Inf", "1e30", "9223372037", "2026-05-12", "2026-05-12 09:15:30", "09:15",
		"2026-02-29T00:00:00Z", "1900-02-29T00:00:00Z", "2026-13-01T00:00:00Z", "2026-00-10T00:00:00Z", "2026-04-31T00:00:00Z", "2026-04-00T00:00:00Z",
		"2026-05-12T24:00:00Z", "2026-05-12T09:60:00Z", "2026-05-12T09:15:60Z", "2026-05-12T09:15:30", "2026-05-12T09:15:30.Z", "1500-01-01T00:00:00Z", "2300-01-01T00:00:00Z",
	} {
		ns, _, err := flowlog.ParseTime(text)
		if text == "1." { // written by some; strconv takes it
			if err != nil || ns != 1e9 {
				t.Errorf("%q: %d %v", text, ns, err)
			}
		} else if err == nil {
			t.Errorf("%q was read as %d", text, ns)
		}
	}
}

// The fast reading of RFC 3339 is that of the time package, wherever it says
// anything at all.
func FuzzParseTime(f *testing.F) {
	for _, s := range []string{"2026-05-12T09:15:30.2Z", "1996-12-19T16:39:57-08:00", "2024-02-29T23:59:59.999999999Z", "12.5", "-1e3", "1900-02-29T00:00:00Z"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		ns, clock, err := flowlog.ParseTime(s)
		ns2, clock2, err2 := flowlog.ParseTime([]byte(s))
		if ns != ns2 || clock != clock2 || (err == nil) != (err2 == nil) {
			t.Fatalf("%q: %d as text, %d as bytes", s, ns, ns2)
		}
		if !strings.ContainsAny(s, "T:") {
			return
		}
		want, wantErr := time.Parse(time.RFC3339Nano, s)
		if wantErr == nil && (want.UTC().Year() < 1678 || want.UTC().Year() > 2261) {
			return
		}
		if (err == nil) != (wantErr == nil) || err == nil && ns != want.UnixNano() {
			t.Fatalf("%q: %d %v, want %v %v", s, ns, err, want, wantErr)
		}
	})
}

// What a clock writes it reads back.
func TestClockRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		clock := rapid.SampledFrom([]flowlog.Clock{flowlog.UTC, flowlog.Seconds}).Draw(t, "clock")
		want := rapid.Int64().Draw(t, "ns")
		if clock == flowlog.UTC {
			want = rapid.Int64Range(-9.2e18, 9.2e18).Draw(t, "ns")
		}
		if want <= math.MinInt64+2e9 {
			want += 2e9
		}
		text := clock.Format(want)
		ns, c, err := flowlog.ParseTime(text)
		if err != nil && (want > 9223372035e9 || want < -9223372035e9) {
			return // seconds beyond the range are refused
		}
		if err != nil || ns != want || c != clock {
			t.Fatalf("%d is written %s and read %d %v %v", want, text, ns, c, err)
		}
	})
}
