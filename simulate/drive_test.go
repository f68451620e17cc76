package simulate_test

import (
	"math"
	"testing"

	"runproof/drill"
	"runproof/flowlog"
	"runproof/simulate"
	"runproof/track"
)

// TestAntennaIsLogged turns the logged positions back to the drill's reference
// point by N = f cos a - r sin a, E = f sin a + r cos a (a rotation), and finds it
// on lines that are a working width less the overlap apart: openers lie where
// the passes are. The tolerance is the log's rounding: 1e-8 degrees is 1.1 mm.
func TestAntennaIsLogged(t *testing.T) {
	d := twoHeads(12) // 6 m
	d.GNSS.At = drill.Point{Forward: 5.2, Right: -0.7, Up: 3}
	d.Tow.Antenna = drill.OnTractor // which is straight where the drill is in the ground
	s := steady(60, 0.5, 0.5)
	s.Field = simulate.Field{LatDeg: 52, LonDeg: -106.5, PassM: 200, TurnS: 25, TurnRadiusM: 8, OverlapM: 0.1}
	l, _ := record(t, &s, fitOf(d))
	plane := track.At(52, -106.5)
	work, course := l.Column(flowlog.Work), l.Column(flowlog.Course)
	passes := map[int]int{}
	for i, lat := range l.Column(flowlog.Lat) {
		if work[i] == 0 {
			continue
		}
		sin, cos := math.Sincos(course[i] * math.Pi / 180)
		north, east := plane.ToLocal(lat, l.Column(flowlog.Lon)[i])
		north, east = north-(5.2*cos+0.7*sin), east-(5.2*sin-0.7*cos)
		pass := math.Round(east / 5.9)
		passes[int(pass)]++
		if math.Abs(east-5.9*pass) > 0.003 || north < -0.003 || north > 200+2.2*0.5 {
			t.Fatalf("line %d: reference point %.4f m north, %.4f m east, course %.1f: on no pass", i, north, east, course[i])
		}
	}
	if len(passes) < 10 {
		t.Errorf("only %d passes in half an hour", len(passes))
	}
}

// TestSpeedHasNoJumps: speed changes by 0.6 m/s2 at most, the antenna moves as
// far as a body that turns on a radius of 8 m lets it, and a turn of 24 s takes
// about that at a speed at which a drill is turned.
func TestSpeedHasNoJumps(t *testing.T) {
	const dt = 0.2
	d := twoHeads(24) // 12 m
	d.GNSS.At = drill.Point{Forward: 5.2}
	s := steady(60, dt, 0.5)
	s.Field = simulate.Field{LatDeg: 52, LonDeg: -106.5, HeadingDeg: 37, PassM: 300, TurnS: 24, TurnRadiusM: 8, SpeedSD: 0.03, StopsPerH: 6, StopS: 10}
	l, _ := record(t, &s, fitOf(d))
	plane := track.At(52, -106.5)
	speed, work := l.Column(flowlog.Speed), l.Column(flowlog.Work)
	lat, lon := l.Column(flowlog.Lat), l.Column(flowlog.Lon)
	stood, turned, turns := 0, 0, 0
	for i := 1; i < l.Len(); i++ {
		if dv := math.Abs(speed[i] - speed[i-1]); dv > 0.6*dt+0.0101 {
			t.Fatalf("line %d: speed jumps by %.2f m/s", i, dv)
		}
		n0, e0 := plane.ToLocal(lat[i-1], lon[i-1])
		n1, e1 := plane.ToLocal(lat[i], lon[i])
		// an antenna 5.2 m ahead on a circle of 8 m goes sqrt(8^2 + 5.2^2)/8 times as far
		if far := math.Hypot(n1-n0, e1-e0); far > speed[i]*dt*math.Hypot(8, 5.2)/8+0.004 {
			t.Fatalf("line %d: the antenna moves %.3f m in %.1f s at %.2f m/s", i, far, dt, speed[i])
		}
		if speed[i] == 0 {
			stood++
		}
		if work[i] == 0 {
			turned++
			if work[i-1] == 1 {
				turns++
			}
		}
	}
	if each := float64(turned) * dt / float64(turns); each < 21 || each > 27 {
		t.Errorf("a turn takes %.1f s, want about 24", each)
	}
	if stood == 0 {
		t.Error("the drill never stood")
	}
}

// TestTurnsEndOnTheNextPass: for every width and radius a turn ends where the
// next pass begins, that is, the first line in work after it does.
func TestTurnsEndOnTheNextPass(t *testing.T) {
	for _, rows := range []int{2, 6, 24, 100} {
		for _, radius := range []float64{3, 8, 15} {
			d := twoHeads(rows)
			d.Tow.Antenna = drill.OnTractor
			s := steady(60, 0.5, 0.1)
			s.Field = simulate.Field{LatDeg: -32, LonDeg: 116, PassM: 60, TurnS: 30, TurnRadiusM: radius}
			l, _ := record(t, &s, fitOf(d))
			work, course := l.Column(flowlog.Work), l.Column(flowlog.Course)
			for i := 1; i < l.Len(); i++ {
				if work[i] == 0 || work[i-1] == 1 {
					continue
				}
				north, east := track.At(-32, 116).ToLocal(l.Column(flowlog.Lat)[i], l.Column(flowlog.Lon)[i])
				width := 0.5 * float64(rows)
				if off := math.Abs(east - width*math.Round(east/width)); off > 0.003 || course[i] != 180 && course[i] != 0 || north < -0.01 || north > 60.01 {
					t.Fatalf("%d rows, radius %g m: a pass begins %.3f m off its line, course %.1f", 2*rows, radius, off, course[i])
				}
			}
		}
	}
}
