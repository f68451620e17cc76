package cli

import (
	"encoding/json"
	"fmt"
	"math"

	"runproof/simulate/recorder"
)

// receiverAheadS is how far the demo receiver's clock is ahead of the flow log's.
const receiverAheadS = 432.4

// recorders takes the day as other machines would have recorded it, counts on a
// bus and positions by a receiver with a clock of its own, and finds the same.
func (d *demoRun) recorders() error {
	dir := d.path("recorders")
	if err := d.s.makeDir(dir); err != nil {
		return err
	}
	files, err := d.s.recorders(d.path("day", "day.csv.gz"), dir, recorder.Clock{OffsetS: receiverAheadS})
	if err != nil {
		return err
	}
	frames, dbc, fixes := files[0], files[1], files[2]
	mapFile, flow, whole := d.path("recorders", "map.yaml"), d.path("recorders", "flow.parquet"), d.path("recorders", "day.parquet")
	if err := d.do("log", "map", frames, "--dbc", dbc, "-o", mapFile); err != nil {
		return err
	}
	if err := d.do("log", "convert", frames, "--dbc", dbc, "--map", mapFile, "-o", flow); err != nil {
		return err
	}
	_, said, err := d.command("--json", "log", "join", flow, fixes, "--fit", d.path("fit-proved.json"), "--plot", d.path("recorders", "offset.svg"), "-o", whole)
	if err != nil {
		return err
	}
	var doc struct {
		OffsetS float64 `json:"offset_s"`
	}
	if err := json.Unmarshal([]byte(said), &doc); err != nil {
		return err
	}
	d.say("recorders", fmt.Sprintf("positions of a receiver %.1f s ahead", receiverAheadS), fmt.Sprintf("%.1f s ahead: %.1f s beside the truth", doc.OffsetS, math.Abs(doc.OffsetS-receiverAheadS)))
	c := reviewCmd{Fit: d.path("fit-proved.json"), Log: whole, Rules: d.path("rules.json")}
	day, err := c.review(d.s)
	if err != nil {
		return err
	}
	again := 0
	for _, ev := range d.day.Review.Events {
		for _, other := range day.Review.Events {
			if ev.Kind == other.Kind && ev.Run == other.Run && ev.Head == other.Head && ev.Product == other.Product {
				again++
				break
			}
		}
	}
	d.say("recorders", "the day from frames of the bus and those positions", fmt.Sprintf("%d of the %d events of the flow log, %d others", again, len(d.day.Review.Events), len(day.Review.Events)-again))
	return nil
}
