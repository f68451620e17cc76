package drawing

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func labels(ticks []TickMark) string {
	var l []string
	for _, t := range ticks {
		l = append(l, t.Label)
	}
	return strings.Join(l, " ")
}

func TestTicks(t *testing.T) {
	for _, c := range []struct {
		name string
		got  []TickMark
		want string
	}{
		{"whole", NiceTicks(0, 10, 5), "0 2 4 6 8 10"},
		{"parts", NiceTicks(0, 1, 5), "0.0 0.2 0.4 0.6 0.8 1.0"},
		{"across zero", NiceTicks(-3, 3, 6), "-3 -2 -1 0 1 2 3"},
		{"off the raster", NiceTicks(0.13, 0.47, 4), "0.2 0.3 0.4"},
		{"large", NiceTicks(0, 23000, 5), "0 5000 10000 15000 20000"},
		{"empty range", NiceTicks(3, 3, 5), ""},
		{"not a number", NiceTicks(math.NaN(), 3, 5), ""},
		{"steps too fine to count", NiceTicks(1e16, 1e16+2, 5), ""},
		{"least there is", NiceTicks(0, 5e-324, 5), ""},
		{"log", LogTicks(0.1, 30, 12), "0.1 0.2 0.5 1 2 5 10 20"},
		{"log, decades only", LogTicks(1e-3, 1e6, 10), "0.001 0.01 0.1 1 10 100 1000 10000 100000 1e+06"},
		{"log of nothing", LogTicks(0, 10, 5), ""},
		{"seconds", ClockTicks(0, 30, 6), "00:00:00 00:00:05 00:00:10 00:00:15 00:00:20 00:00:25 00:00:30"},
		{"a morning", ClockTicks(8*3600+600, 12*3600, 4), "09:00 10:00 11:00 12:00"},
		{"past midnight", ClockTicks(23*3600, 26*3600, 3), "23:00 00:00 01:00 02:00"},
		{"no time", ClockTicks(5, 5, 3), ""},
	} {
		if got := labels(c.got); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestTicksLieInTheRange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lo := rapid.Float64Range(-1e6, 1e6).Draw(t, "lo")
		hi := lo + rapid.Float64Range(1e-3, 1e6).Draw(t, "span")
		n := rapid.IntRange(1, 20).Draw(t, "n")
		ticks := NiceTicks(lo, hi, n)
		if len(ticks) > n+1 {
			t.Fatalf("%d marks where %d were asked", len(ticks), n)
		}
		for _, k := range ticks {
			if slack := (hi - lo) * 1e-6; k.At < lo-slack || k.At > hi+slack {
				t.Fatalf("%v outside [%v, %v]", k.At, lo, hi)
			}
		}
	})
}

func TestPlotMapsTheCorners(t *testing.T) {
	r := Rect{10, 20, 100, 60}
	p := PlotIn(r, Axis{Min: 0, Max: 10, Title: "time [s]"}, Axis{Min: 1, Max: 100, Log: true, Title: "count"})
	if got := p.At(0, 1); !near(got.X, p.Frame.X, 1e-9) || !near(got.Y, p.Frame.Bottom(), 1e-9) {
		t.Errorf("lower left at %v", got)
	}
	if got := p.At(10, 100); !near(got.X, p.Frame.Right(), 1e-9) || !near(got.Y, p.Frame.Y, 1e-9) {
		t.Errorf("upper right at %v", got)
	}
	if got := p.At(5, 10); !near(got.Y, p.Frame.Centre().Y, 1e-9) { // the middle of two decades
		t.Errorf("middle at %v", got)
	}
	s := NewSheet(Size{120, 90})
	p.Axes(s)
	p.Line(s, []float64{-5, 5, 15}, []float64{10, 10, math.NaN()}, Stout)
	for _, item := range s.Items {
		if tx, ok := item.(Text); ok && !inRect(tx.At, r) {
			t.Errorf("%q at %v leaves %v", tx.Text, tx.At, r)
		}
	}
	if p := PlotIn(Rect{}, Axis{}, Axis{}); p.Frame.W <= 0 || p.Frame.H <= 0 {
		t.Error("a plot without room has no frame")
	}
}

func TestScaleBar(t *testing.T) {
	for _, c := range []struct {
		scale float64
		unit  LengthUnit
		want  float64
	}{
		{10, Metre, 5},      // 1:100, 50 mm
		{20, Metre, 2},      // 1:50: 2.5 m fit
		{1, Metre, 50},      // 1:1000
		{10, Foot, 10},      // 16.4 ft fit
		{0, Metre, 0},       // no scale, no bar
		{0.04, Metre, 1000}, // 1:25000: 1250 m fit
	} {
		s := NewSheet(Size{100, 20})
		if got := s.ScaleBar(Point{5, 10}, View{MMPerM: c.scale}, 50, c.unit); got != c.want {
			t.Errorf("%v mm/m in %s: bar of %v, want %v", c.scale, c.unit.Name, got, c.want)
		}
	}
}
