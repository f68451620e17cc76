package flowlog_test

import (
	"fmt"
	"testing"

	"runproof/flowlog"
)

// TestOrder: the times that records are given, in milliseconds, for those that a
// clock stamped. Truth by hand.
func TestOrder(t *testing.T) {
	for _, c := range []struct {
		name      string
		ms        []int64
		want, say string
	}{
		{"in order", []int64{0, 200, 400}, "[0 200 400]", ""},
		{"one twice", []int64{0, 200, 200, 400}, "[0 200 201 400]", "1 record with the time of the one before, written 1 ms later"},
		{"set back", []int64{0, 9000, 1000, 1200}, "[0 9000 9001 9201]", "the recorder's clock was set back from 9 to 1; from there on times are moved so that they go on"},
		{"one in the past", []int64{0, 9000, 1000, 9400, 9600}, "[0 9000 9001 9400 9600]", "1 record stamped 2 s or more before the one before and the one behind, written right behind the one before"},
		{"three in the past", []int64{0, 9000, 1000, 1200, 1400, 9800, 9900}, "[0 9000 9001 9201 9401 9800 9900]", "3 records stamped 2 s or more before the one before and the one behind, written right behind the one before"},
		{"set back for good, then a pause", []int64{0, 900000, 1000, 1200, 1400, 1600, 901000}, "[0 900000 900001 900201 900401 900601 1800001]", "the recorder's clock was set back from 900 to 1; from there on times are moved so that they go on"},
		{"set back twice", []int64{9000, 5000, 1000, 1200}, "[9000 9001 9002 9202]", "the recorder's clock was set back from 9 to 5; from there on times are moved so that they go on"},
	} {
		var o flowlog.Order
		var got []int64
		for _, ms := range c.ms {
			got = append(got, o.Next(ms*1e6)/1e6)
		}
		said := ""
		if rs := o.Remarks(flowlog.Seconds); len(rs) > 0 {
			said = rs[0].What
		}
		if fmt.Sprint(got) != c.want || said != c.say {
			t.Errorf("%s: %v, want %s\n%s\nwant %s", c.name, got, c.want, said, c.say)
		}
	}
}
