package export_test

import (
	"flag"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"runproof/export"
	"runproof/track"
)

var update = flag.Bool("update", false, "renew the golden files with ogrinfo and Planimeter")

// demoDay is the demo's field day.
func demoDay(t testing.TB) *export.Day {
	t.Helper()
	day, err := export.Read(os.DirFS("testdata/demo"), "demo")
	if err != nil {
		t.Fatal(err)
	}
	return day
}

// oddEvent is one event of a day made up for a test.
type oddEvent struct {
	kind, run, head, product, sentence string
	lost                               float64
	rings                              []export.Ring // none: no place
}

// dayOf is a folder as review writes it.
func dayOf(drill string, events ...oddEvent) fstest.MapFS {
	var evs, skips []string
	for i, e := range events {
		evs = append(evs, fmt.Sprintf(`{"id":%d,"run":%q,"head":%q,"product":%q,"kind":%q,"start":"2026-05-12T08:00:0%d.5Z","end":"2026-05-12T09:00:00Z","lost":%g,"metres":100,"area_m2":25,"sentence":%q}`,
			i+1, e.run, e.head, e.product, e.kind, i%10, e.lost, e.sentence))
		if len(e.rings) > 0 {
			skips = append(skips, fmt.Sprintf(`{"type":"Feature","geometry":{"type":"MultiPolygon","coordinates":%s},"properties":{"event":%d}}`, rings(e.rings), i+1))
		}
	}
	file := func(s string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(s)} }
	return fstest.MapFS{
		"events.json":   file(`{"runproof":"events/1","events":[` + strings.Join(evs, ",") + `]}`),
		"skips.geojson": file(`{"type":"FeatureCollection","features":[` + strings.Join(skips, ",") + `]}`),
		"summary.json":  file(fmt.Sprintf(`{"runproof":"summary/1","drill":%q,"end":"2026-05-12T09:36:00Z","work_ha":14.25}`, drill)),
		"runs.csv": file("run,product,head,row,node,port,share,mean_share,rate_per_s,variance_to_mean,quiet_per_s,settled_work_s,missing_share,events,lost_metres,lost_area_m2\n" +
			"A-1,seed,A,1,4103,1,0.07004,0.06941,136.00,3.146,0.186,5279.0,0.000521,0,0.0,0.0\n"),
	}
}

func rings(rs []export.Ring) string {
	var polygons []string
	for _, r := range rs {
		var at []string
		for _, p := range r {
			at = append(at, fmt.Sprintf("[%.7f,%.7f]", p[0], p[1]))
		}
		polygons = append(polygons, "[["+strings.Join(at, ",")+"]]")
	}
	return "[" + strings.Join(polygons, ",") + "]"
}

// strip is the ring of a strip so wide along a path of headings, as review draws
// it: forward along the right edge, back along the left one.
func strip(lat, lon, widthM, stepM float64, headingsDeg ...float64) export.Ring {
	plane := track.At(lat, lon)
	var right, left export.Ring
	n, e := 0.0, 0.0
	for _, h := range headingsDeg {
		sin, cos := math.Sincos(h * math.Pi / 180)
		for _, side := range []struct {
			to  *export.Ring
			off float64
		}{{&right, widthM / 2}, {&left, -widthM / 2}} {
			la, lo := plane.ToDegrees(n-sin*side.off, e+cos*side.off)
			*side.to = append(*side.to, export.Position{lo, la})
		}
		n, e = n+cos*stepM, e+sin*stepM
	}
	ring := append(export.Ring{}, right...)
	for i := len(left) - 1; i >= 0; i-- {
		ring = append(ring, left[i])
	}
	return append(ring, ring[0])
}

// steady is a heading kept for so many steps.
func steady(h float64, n int) []float64 {
	hs := make([]float64, n)
	for i := range hs {
		hs[i] = h
	}
	return hs
}

// oddDay has what breaks writers: the 180th meridian, the southern hemisphere, a
// strip that turns over itself, letters beyond ASCII, quotes, an event without a
// place.
func oddDay(t testing.TB) *export.Day {
	t.Helper()
	var circle []float64
	for h := 0.0; h <= 450; h += 10 {
		circle = append(circle, h)
	}
	day, err := export.Read(dayOf(`Säer "Nord" 🌾 <&>`,
		oddEvent{"blocked", "A-1", "A", "seed", `Düse "zu"; 🌾 'leer' <b>&amp;`, 0.95, []export.Ring{strip(-16.5, 179.9999, 3, 5, steady(80, 12)...)}},
		oddEvent{"restricted", "Ö-2", "Ö", "seed", "=1+1", 0.5, []export.Ring{strip(-33.412345, 120.123456, 0.25, 2, steady(200, 30)...)}},
		oddEvent{"blocked", "B-1", "B", "seed", "turns tighter than it is wide", 0.99, []export.Ring{strip(51.2, -106.3, 6, 0.5, circle...)}},
		oddEvent{"sensor_lost", "B-2", "B", "seed", "", 1, nil},
		oddEvent{"product_out", "", "", "fert", "two passes that meet", 0.91, []export.Ring{
			strip(51.21, -106.3, 12, 5, steady(90, 20)...), strip(51.21005, -106.3, 12, 5, steady(90, 20)...), strip(51.22, -106.3, 12, 5, steady(90, 20)...),
		}},
	), "odd")
	if err != nil {
		t.Fatal(err)
	}
	return day
}

// emptyDay had nothing wrong.
func emptyDay(t testing.TB) *export.Day {
	t.Helper()
	day, err := export.Read(dayOf("calm"), "calm")
	if err != nil {
		t.Fatal(err)
	}
	return day
}
