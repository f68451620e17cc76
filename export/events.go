package export

import (
	"maps"

	"runproof/review"
)

// eventFields are the columns of events.
var eventFields = []Field{
	{"id", "id", Whole, 0, "number of the event in events.json"},
	{"kind", "kind", Text, 0, "blocked, restricted, sensor_lost, noisy, head_starved, product_out or no_data"},
	{"run", "run", Text, 0, "run, head and outlet; empty for a whole head or product"},
	{"head", "head", Text, 0, "distribution head; empty for a whole product"},
	{"product", "product", Text, 0, "what the run carries"},
	{"node", "node", Text, 0, "serial of the sensing node"},
	{"start", "start", Text, 0, "when it began, in the recording's form of time"},
	{"end", "end", Text, 0, "when it ended"},
	{"lost", "lost", Decimal, 4, "part of the flow lost, 0 to 1"},
	{"metres", "metres", Decimal, 2, "travel in work meanwhile, m"},
	{"area_m2", "area_m2", Decimal, 2, "area short of product, not what another pass has sown, m2"},
	{"open", "open", Truth, 0, "still so at the end of the recording"},
	{"sentence", "sentence", Text, 0, "what it looks like, in words"},
}

// skipFields are the columns of skips.
var skipFields = []Field{
	{"event", "event", Whole, 0, "number of the event in events.json"},
	{"kind", "kind", Text, 0, "blocked, restricted, head_starved or product_out"},
	{"run", "run", Text, 0, "run, head and outlet; empty for a whole head or product"},
	{"head", "head", Text, 0, "distribution head; empty for a whole product"},
	{"product", "product", Text, 0, "what was missing"},
	{"start", "start", Text, 0, "when it began, in the recording's form of time"},
	{"end", "end", Text, 0, "when it ended"},
	{"lost", "lost", Decimal, 4, "part of the flow lost, 0 to 1"},
	{"metres", "metres", Decimal, 2, "travel in work meanwhile, m"},
	{"area_m2", "area_m2", Decimal, 2, "area short of product, not what another pass has sown, m2"},
}

// Events is the layer of events, each at the place where it began: on the ground
// where it left some short of product, else where the antenna was, if the recording
// was followed.
func (d *Day) Events() Layer {
	l := Layer{Name: "events", Title: "What went wrong, and where it began", Geometry: Point, Fields: eventFields}
	begun := maps.Clone(d.begun)
	if begun == nil {
		begun = map[int]Position{}
	}
	for _, s := range d.Short {
		begun[s.Event.ID] = s.Start
	}
	for _, ev := range d.Found {
		f := Feature{Cells: append([]any{int64(ev.ID), ev.Kind.String()}, append(
			id(ev.Run, ev.Head, ev.Product),
			text(ev.Node), ev.Start, ev.End, ev.Lost, ev.Metres, ev.AreaM2, ev.Open, text(ev.Sentence))...)}
		if at, ok := begun[ev.ID]; ok {
			f.At = &at
		}
		l.Features = append(l.Features, f)
	}
	return l
}

// Skips is the layer of ground short of product.
func (d *Day) Skips() Layer {
	l := Layer{Name: "skips", Title: "Ground short of product", Geometry: MultiPolygon, Fields: skipFields}
	for _, s := range d.Short {
		ev := s.Event
		l.Features = append(l.Features, Feature{Ground: s.Ground, Cells: append([]any{int64(ev.ID), ev.Kind.String()}, append(
			id(ev.Run, ev.Head, ev.Product), ev.Start, ev.End, ev.Lost, ev.Metres, ev.AreaM2)...)})
	}
	return l
}

// event finds an event by its number.
func (d *Day) event(id int) (review.Event, bool) {
	if id >= 1 && id <= len(d.Found) && d.Found[id-1].ID == id {
		return d.Found[id-1], true
	}
	for _, ev := range d.Found {
		if ev.ID == id {
			return ev, true
		}
	}
	return review.Event{}, false
}
