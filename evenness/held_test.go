package evenness

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"runproof/flowlog"
	"runproof/flowlog/formats"
)

// heldLog reads a log of testdata/held.
func heldLog(t *testing.T, name string) *flowlog.Log {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", "held", name))
	if err != nil {
		t.Fatal(err)
	}
	r, done, err := formats.Open(formats.Source{Name: name, Stream: bytes.NewReader(text)})
	if err != nil {
		t.Fatal(err)
	}
	defer done()
	l, err := flowlog.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// A catch test and a day that R drew (testdata/held/held.R): gusts that bag and
// sensor share, heads that differ, a speed that wavers. R's own analysis of the
// bags must come out; the field's figure must be that of the outlets as they were
// made within four of its errors (see simulate's TestFromBagsToTheFieldsEvenness).
func TestHeldOutFromR(t *testing.T) {
	var truth struct {
		Own          float64
		CatchCV      float64 `json:"catch_cv"`
		CatchBetween float64 `json:"catch_between"`
		DayCV        float64 `json:"day_cv_with_true_gains"`
		RawCV        float64 `json:"raw_cv"`
		Gain, Flow   []float64
	}
	text, err := os.ReadFile("testdata/held/truth.json")
	if err == nil {
		err = json.Unmarshal(text, &truth)
	}
	if err != nil {
		t.Fatal(err)
	}
	f := madeFit(3)
	file, err := os.Open("testdata/held/bags.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	bags, err := ReadBags(file, "bags.csv", &f.Drill)
	if err != nil {
		t.Fatal(err)
	}
	c, err := Judge(&f.Drill, bags, Options{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "CV of the bags", c.Products[0].CV.Value, truth.CatchCV, 1e-6)
	near(t, "between runs", c.Products[0].Parts.Between.Value, truth.CatchBetween, 1e-6)
	g, err := Calibrate(f, c, []*flowlog.Log{heldLog(t, "catch.csv.gz")})
	if err != nil {
		t.Fatal(err)
	}
	held := 0
	for i, r := range g.Products[0].Runs {
		if *r.Gain.Low <= truth.Gain[i] && truth.Gain[i] <= *r.Gain.High {
			held++
		}
	}
	if held < 29 || len(g.Products[0].Runs) != 36 { // 99.9 % of Binomial(36, 0.95) is 29 or more
		t.Errorf("%d of 36 intervals hold the gain", held)
	}
	e, err := Field(f, heldLog(t, "day.csv.gz").NewReader(500), FieldOptions{Gains: g})
	if err != nil {
		t.Fatal(err)
	}
	p := e.Products[0]
	e2 := sq(p.Parts.Floor) + sq(p.Parts.Gain)
	sd := math.Sqrt((4*sq(truth.Own)*e2+2*e2*e2)/35) / (2 * truth.Own)
	t.Logf("field %s; made with %.4f; counts alone say %.4f", p.CV.Percent(), truth.Own, truth.RawCV)
	if math.Abs(p.CV.Value-truth.Own) > 4*sd || *p.CV.Low > truth.Own || *p.CV.High < truth.Own {
		t.Errorf("CV %s, made with %.4f: more than 4 x %.4f off", p.CV.Percent(), truth.Own, sd)
	}
	if truth.RawCV < 4*p.CV.Value {
		t.Error("nothing was to be calibrated")
	}
	for i, r := range p.Runs {
		// each within 4.5 of its errors, the half width of its interval being near 2
		if half := *r.Deviation.High - r.Deviation.Value; math.Abs(r.Deviation.Value-(truth.Flow[i]-1)) > 4.5/1.9*half {
			t.Errorf("%s: %+.4f +- %.4f, made with %+.4f", r.Run, r.Deviation.Value, half, truth.Flow[i]-1)
		}
	}
}
