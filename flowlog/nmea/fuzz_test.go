package nmea_test

import (
	"fmt"
	"io"
	"strings"
	"testing"

	"runproof/flowlog"
	"runproof/flowlog/nmea"
)

// FuzzRead: nothing panics, times rise, and every value is one that its kind of
// column may hold.
func FuzzRead(f *testing.F) {
	f.Add(strings.Join(sampleLines(f), "\n"))
	f.Add("$GPGGA,235959,1.,N,2.5,E,1\n$GPGGA,000000,1,N,2,E,1$GPRMC,1")
	f.Add("$GPRMC,000000.123456789,A,9000,N,18000,W,200,360,290224\n")
	f.Fuzz(func(t *testing.T, text string) {
		r, err := nmea.NewReader(strings.NewReader(text), "x", nil)
		if err != nil {
			return
		}
		l, err := flowlog.ReadAll(r)
		if err != nil || l.Len() == 0 {
			t.Fatal(err, l)
		}
		for i := 1; i < l.Len(); i++ {
			if l.TimeNS[i] <= l.TimeNS[i-1] {
				t.Fatalf("time %d after %d", l.TimeNS[i], l.TimeNS[i-1])
			}
		}
		for c, values := range l.Values {
			for _, v := range values {
				if v == v && l.Columns[c].Kind.Check(v) != nil {
					t.Fatalf("%s is %v", l.Columns[c].Name, v)
				}
			}
		}
	})
}

// BenchmarkRead reads an hour of RMC, GGA and VTG at 10 Hz.
func BenchmarkRead(b *testing.B) {
	var text strings.Builder
	for i := range 36000 {
		at := fmt.Sprintf("%02d%02d%02d.%d0", 9+i/36000, i/600%60, i/10%60, i%10)
		fmt.Fprint(&text, summed("GNRMC,"+at+",A,5112.12345,N,10618.54321,W,4.276,0.00,120526,9.8,E,R"),
			summed("GNGGA,"+at+",5112.12345,N,10618.54321,W,4,18,0.7,577.12,M,-21.40,M,1.0,0120"), summed("GNVTG,0.00,T,350.20,M,4.276,N,7.920,K,R"))
	}
	b.SetBytes(int64(text.Len()))
	b.ReportAllocs()
	for b.Loop() {
		r, err := nmea.NewReader(strings.NewReader(text.String()), "x", nil)
		if err != nil {
			b.Fatal(err)
		}
		var batch flowlog.Batch
		n := 0
		for err == nil {
			err = r.Read(&batch)
			n += batch.Len()
		}
		if err != io.EOF || n != 36000 {
			b.Fatal(err, n)
		}
	}
}
