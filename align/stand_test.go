package align

import "testing"

// TestStood: 60 s at 2 m/s, 20 s still, 60 s at 2 m/s, seen by both logs at 1 Hz
// with no offset. It is a stand in the ground unless the machine moved on, came
// back another way, was lifted, stood too long, or was not seen.
func TestStood(t *testing.T) {
	day := func(change func(flow, pos *series, i int)) *search {
		flow, pos := &series{medNS: 1e9, ports: 1}, &series{medNS: 1e9}
		for i := range 400 {
			for _, s := range []*series{flow, pos} {
				s.ns = append(s.ns, int64(i)*1e9)
				s.work, s.lat, s.lon = append(s.work, nan), append(s.lat, nan), append(s.lon, nan)
			}
			v := 2.0
			if i >= 60 && i < 80 {
				v = 0
			}
			flow.flow, flow.speed = append(flow.flow, 100*v), append(flow.speed, nan)
			pos.speed, pos.course = append(pos.speed, v), append(pos.course, 45)
			change(flow, pos, i)
		}
		return &search{flow: flow, pos: pos, works: newWorks(flow), path: newPath(pos)}
	}
	for _, c := range []struct {
		name   string
		change func(flow, pos *series, i int)
		want   bool
	}{
		{"a stand", func(*series, *series, int) {}, true},
		{"lowered all the time", func(f, _ *series, i int) { f.work[i] = 1 }, true},
		{"lifted meanwhile", func(f, _ *series, i int) {
			f.work[i] = 1
			if i == 70 {
				f.work[i] = 0
			}
		}, false},
		{"moved on", func(_, p *series, i int) { p.speed[i] = 2 }, false},
		{"came back", func(_, p *series, i int) {
			if i > 70 {
				p.course[i] = 225
			}
		}, false},
		{"not seen", func(_, p *series, i int) {
			if i > 60 && i < 80 {
				p.speed[i] = nan
			}
		}, false},
	} {
		s := day(c.change)
		if len(s.works.pass) != 2 {
			t.Fatalf("%s: passes %v", c.name, s.works.pass)
		}
		if got := s.stood(s.works.pass[0][1], s.works.pass[1][0], 0); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
		covered := false
		for _, st := range s.flowing(0) {
			covered = covered || st[0] < 70 && 70 < st[1]
		}
		if covered != c.want {
			t.Errorf("%s: stretches %v", c.name, s.flowing(0))
		}
	}
	long := day(func(f, p *series, i int) {
		if i >= 60 && i < 300 {
			f.flow[i], p.speed[i] = 0, 0
		}
	})
	if long.stood(long.works.pass[0][1], long.works.pass[1][0], 0) {
		t.Error("it stood for four minutes")
	}
}
