package season

import (
	"encoding/csv"
	"io"
	"strconv"
)

// runColumns are those of runs.csv.
var runColumns = []string{
	"run", "product", "head", "node", "trouble", "troubles", "events", "days", "lasted_s", "metres", "area_m2", "watched_h", "worked_ha",
	"per_hour", "per_hour_low", "per_hour_high", "per_ha", "per_ha_low", "per_ha_high", "trend_z", "trend_p", "trend_p_adjusted", "stands_out_p_adjusted",
}

// WriteRuns writes runs.csv: each run with each of its troubles. What is not
// known is empty.
func (d *Document) WriteRuns(w io.Writer) error {
	c := csv.NewWriter(w)
	if err := c.Write(runColumns); err != nil {
		return err
	}
	for i := range d.Runs {
		if err := c.Write(d.runRow(&d.Runs[i])); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

func (d *Document) runRow(l *Line) []string {
	row := []string{string(l.Run), string(l.Product), string(l.Head), l.Node, l.Trouble.String(), strconv.Itoa(l.Count), strconv.Itoa(l.Events), strconv.Itoa(l.Days)}
	for _, v := range []float64{l.LastedS, l.Metres, l.AreaM2, l.Hours, l.Ha} {
		row = append(row, number(v))
	}
	for _, r := range []Rate{l.PerHour, l.PerHa} {
		row = append(row, number(significant(r.Value)), number(significant(r.Low)), number(significant(r.High)))
	}
	if t := l.Trend; t != nil {
		row = append(row, number(t.Z), number(t.P), number(t.Adjusted))
	} else {
		row = append(row, "", "", "")
	}
	for i := range d.Offenders {
		if o := &d.Offenders[i]; o.Place == l.Place && o.Trouble == l.Trouble {
			return append(row, number(o.Adjusted))
		}
	}
	return append(row, "")
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
