package mapping

import (
	"encoding/json"
	"os"
	"testing"
	"time"
)

// TestZones: wall times through every change of offset in 2026, against Python's
// zoneinfo on the IANA database (testdata/zones.json).
func TestZones(t *testing.T) {
	b, err := os.ReadFile("testdata/zones.json")
	if err != nil {
		t.Fatal(err)
	}
	var ref struct {
		Series []struct {
			Zone string
			Rows [][2]any
		}
	}
	if err := json.Unmarshal(b, &ref); err != nil {
		t.Fatal(err)
	}
	p, err := Form("DD.MM.YYYY hh:mm:ss").pattern()
	if err != nil {
		t.Fatal(err)
	}
	doubled := 0
	for _, s := range ref.Series {
		zone, err := (&Time{Zone: s.Zone}).zone()
		if err != nil {
			t.Fatal(err)
		}
		c := calendar{zone: zone}
		for _, row := range s.Rows {
			w, ok := p.read(row[0].(string))
			if !ok {
				t.Fatalf("%v cannot be read", row[0])
			}
			if got, want := c.utc(w)/1e9, int64(row[1].(float64)); got != want {
				t.Errorf("%s %v: %d, want %d", s.Zone, row[0], got, want)
			}
		}
		doubled += c.doubled
		if c.gap > 0 || c.unsure {
			t.Errorf("%s: %+v", s.Zone, c)
		}
	}
	if doubled == 0 {
		t.Error("no hour came twice: the test does not test what it is for")
	}
}

// A time that no clock showed is read as if the clock had not leapt, and told.
func TestLeaptHour(t *testing.T) {
	berlin, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		t.Fatal(err)
	}
	c := calendar{zone: berlin}
	p, _ := Form("DD.MM.YYYY hh:mm:ss").pattern()
	w, _ := p.read("29.03.2026 02:30:00")
	if got := time.Unix(0, c.utc(w)).UTC().Format(time.RFC3339); got != "2026-03-29T01:30:00Z" || c.gap != 1 {
		t.Errorf("%s, %d in the gap", got, c.gap)
	}
	if len(c.remarks()) != 1 {
		t.Error("nothing said of it")
	}
}

func TestZonesThatAreNone(t *testing.T) {
	for _, z := range []string{"Berlin", "+25:00", "+2", "local", "Europe/Nowhere", "-0x:10"} {
		if _, err := (&Time{Zone: z}).zone(); err == nil {
			t.Errorf("%q was taken", z)
		}
	}
	for _, z := range []string{"", "UTC", "utc", "+02:00", "-03:30", "America/Regina"} {
		if _, err := (&Time{Zone: z}).zone(); err != nil {
			t.Errorf("%q: %v", z, err)
		}
	}
}

func TestForms(t *testing.T) {
	for _, c := range []struct{ form, text, want string }{
		{"YYYY-MM-DD hh:mm:ss", "2026-05-12 09:15:30.25", "2026-05-12T09:15:30.25Z"},
		{"YYYY-MM-DDThh:mm:ss", "2026-05-12T09:15:30,000000001", "2026-05-12T09:15:30.000000001Z"},
		{"DD.MM.YY hh:mm:ss", "1.2.26 3:04:05", "2026-02-01T03:04:05Z"},
		{"DD.MM.YY hh:mm:ss", "31.12.99 23:59:59", "1999-12-31T23:59:59Z"},
		{"YYYYMMDDhhmmss", "20260512091530", "2026-05-12T09:15:30Z"},
		{"MM/DD/YYYY hh:mm:ss AM", "05/12/2026 12:00:01 am", "2026-05-12T00:00:01Z"},
		{"MM/DD/YYYY hh:mm:ss AM", "05/12/2026 12:00:01 PM", "2026-05-12T12:00:01Z"},
		{"MM/DD/YYYY hh:mm:ss AM", "05/12/2026 1:00:01 PM", "2026-05-12T13:00:01Z"},
		{"MM/DD/YYYY hh:mm:ss AM", "05/12/2026 13:00:01 PM", ""},
		{"YYYY-MM-DD hh:mm", "2026-05-12 09:15", "2026-05-12T09:15:00Z"},
		{"YYYY-MM-DD hh:mm:ss", "2026-02-30 09:15:30", ""},
		{"YYYY-MM-DD hh:mm:ss", "2026-13-01 09:15:30", ""},
		{"YYYY-MM-DD hh:mm:ss", "2026-05-12 24:15:30", ""},
		{"YYYY-MM-DD hh:mm:ss", "2026-05-12 09:15:30x", ""},
		{"YYYY-MM-DD hh:mm:ss", "2026-05-12 09:15", ""},
	} {
		p, err := Form(c.form).pattern()
		if err != nil {
			t.Fatal(err)
		}
		w, ok := p.read(c.text)
		if got := time.Unix(0, w.utc()).UTC().Format(time.RFC3339Nano); ok != (c.want != "") || ok && got != c.want {
			t.Errorf("%s %q: %s %v, want %s", c.form, c.text, got, ok, c.want)
		}
	}
	// The 1900 date system of spreadsheets: 39448 is 2008-01-01 (the usual example of
	// their manuals, from memory).
	if ns, ok := ExcelDays.number("39448,5", ','); !ok || time.Unix(0, ns).UTC().Format(time.RFC3339) != "2008-01-01T12:00:00Z" {
		t.Error(time.Unix(0, ns).UTC())
	}
	if ns, ok := UnixMS.number("1778577330250", '.'); !ok || ns != 1778577330250e6 {
		t.Error(ns)
	}
	for _, f := range []string{"DD.MM hh:mm", "YYYY-MM-DD", "YYYY-MM-DD hh:ss", "yyyy-mm-dd hh:mm", "hh:hh", "HH:MM:SS"} {
		var form Form
		if err := form.UnmarshalText([]byte(f)); err == nil {
			t.Errorf("%q was taken for a form of time", f)
		}
	}
}
