package nmea_test

import (
	"fmt"
	"strings"

	"runproof/flowlog"
	"runproof/flowlog/nmea"
)

func Example() {
	text := "$GNRMC,091530.00,A,5112.00000,N,10618.00000,W,4.276,0.00,120526,9.8,E,R*19\r\n" +
		"$GNGGA,091530.00,5112.00000,N,10618.00000,W,4,18,0.7,577.12,M,-21.40,M,1.0,0120*6C\r\n" +
		"$GNRMC,091531.00,V,,,,,,,120526,,,N*6E\r\n"
	r, err := nmea.NewReader(strings.NewReader(text), "day.nmea", nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	l, err := flowlog.ReadAll(r)
	fmt.Println(err)
	for i, ns := range l.TimeNS {
		fmt.Printf("%s %v %v %.3f m/s\n", l.Clock.Format(ns), l.Column(flowlog.Lat)[i], l.Column(flowlog.Lon)[i], l.Column(flowlog.Speed)[i])
	}
	// Output:
	// <nil>
	// 2026-05-12T09:15:30Z 51.2 -106.3 2.200 m/s
	// 2026-05-12T09:15:31Z NaN NaN NaN m/s
}
