package recorder

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"time"

	"runproof/flowlog"
)

// Clock is the clock of a receiver's log.
type Clock struct {
	OffsetS float64 // ahead of the flow log's clock
	EveryS  float64 // between positions; 0 is 1 s
}

// knotMPS is exact: 1852 m in an hour.
const knotMPS = 1852.0 / 3600

// WriteNMEA writes the positions of a log as RMC and GGA sentences of NMEA 0183.
// Samples without a position are void.
func WriteNMEA(r flowlog.Reader, dst io.Writer, c Clock) error {
	s := r.Schema()
	w := bufio.NewWriter(dst)
	every := int64(math.Round(max(c.EveryS, 0) * 1e9))
	if every == 0 {
		every = 1e9
	}
	at := map[flowlog.Kind]int{}
	for _, k := range []flowlog.Kind{flowlog.Lat, flowlog.Lon, flowlog.Speed, flowlog.Course} {
		at[k] = s.Find(k)
	}
	next := int64(math.MinInt64)
	var b flowlog.Batch
	for {
		err := r.Read(&b)
		if errors.Is(err, io.EOF) {
			return w.Flush()
		}
		if err != nil {
			return err
		}
		for i, ns := range b.TimeNS {
			if ns < next {
				continue
			}
			next = ns + every
			value := func(k flowlog.Kind) float64 {
				if at[k] < 0 {
					return flowlog.Missing()
				}
				return b.Values[at[k]][i]
			}
			writeFix(w, time.Unix(0, ns+int64(math.Round(c.OffsetS*1e9))).UTC(), value)
		}
	}
}

// writeFix writes the two sentences of one position.
func writeFix(w *bufio.Writer, t time.Time, value func(flowlog.Kind) float64) {
	lat, lon := value(flowlog.Lat), value(flowlog.Lon)
	hms, dmy := t.Format("150405.00"), t.Format("020106")
	if lat != lat || lon != lon {
		sentence(w, fmt.Sprintf("GNRMC,%s,V,,,,,,,%s,,,N", hms, dmy))
		sentence(w, fmt.Sprintf("GNGGA,%s,,,,,0,,,,M,,M,,", hms))
		return
	}
	place := degrees(lat, 2, "N", "S") + "," + degrees(lon, 3, "E", "W")
	speed, course := "", ""
	if v := value(flowlog.Speed); v == v {
		speed = fmt.Sprintf("%.3f", math.Abs(v)/knotMPS)
	}
	if v := value(flowlog.Course); v == v {
		course = fmt.Sprintf("%.2f", math.Mod(v+360, 360))
	}
	sentence(w, fmt.Sprintf("GNRMC,%s,A,%s,%s,%s,%s,,,R", hms, place, speed, course, dmy))
	sentence(w, fmt.Sprintf("GNGGA,%s,%s,4,18,0.7,560.0,M,-21.4,M,1.0,0120", hms, place))
}

// degrees writes an angle as degrees and minutes, to 0.00001 minutes (19 mm).
func degrees(v float64, digits int, plus, minus string) string {
	sign := plus
	if v < 0 {
		sign, v = minus, -v
	}
	units := int64(math.Round(v * 60e5))
	return fmt.Sprintf("%0*d%08.5f,%s", digits, units/60e5, float64(units%60e5)/1e5, sign)
}

func sentence(w *bufio.Writer, body string) {
	sum := byte(0)
	for _, c := range []byte(body) {
		sum ^= c
	}
	fmt.Fprintf(w, "$%s*%02X\r\n", body, sum)
}
