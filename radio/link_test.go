package radio

import (
	_ "embed"
	"encoding/json"
	"math"
	"strings"
	"testing"
)

// Check values computed with two independent methods, and limits of published
// rules; each names its source.
//
//go:embed testdata/wiring.json
var wiringJSON []byte

type item struct {
	ID       string
	Inputs   map[string]any
	Expected any
	Source   string
}

func (it item) num(key string) float64 { v, _ := it.Inputs[key].(float64); return v }

func TestCheckValues(t *testing.T) {
	var items []item
	if err := json.Unmarshal(wiringJSON, &items); err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, it := range items {
		near := func(got, want float64) {
			t.Helper()
			seen++
			if !(math.Abs(got-want) <= 1e-7*math.Abs(want)+1e-8) {
				t.Errorf("%s: %.10g, want %.10g (%s)", it.ID, got, want, it.Source)
			}
		}
		want, _ := it.Expected.(float64)
		more, _ := it.Expected.(map[string]any)
		switch id := strings.TrimPrefix(it.ID, "radio."); {
		case strings.HasPrefix(id, "fspl."):
			near(LossDB(it.num("d_m"), it.num("f_Hz")), want)
		case id == "link":
			near(it.num("tx_dBm")+it.num("gt_dBi")+it.num("gr_dBi")-it.num("cable_dB")-it.num("obstruction_dB")-LossDB(it.num("d_m"), it.num("f_Hz")), want)
		case id == "fresnel":
			near(FresnelM(it.num("d_m")/2, it.num("d_m")/2, it.num("f_Hz")), want)
		case id == "dbm.sum":
			near(DBmOf(2*MilliwattOf(20)), want)
		case id == "dbm.17":
			near(MilliwattOf(17), want)
		case id == "dbm.36":
			near(MilliwattOf(36), want)
		case strings.HasPrefix(id, "rmin."):
			near(LeastM(it.num("eirp_W"), it.num("S_W_m2")), more["free"].(float64))
			near(LeastM(GroundTimes*it.num("eirp_W"), it.num("S_W_m2")), more["x2.56"].(float64))
		case strings.HasPrefix(id, "s."):
			near(DensityWM2(it.num("eirp_W"), it.num("r_m")), want)
		case id == "eirp.max20cm":
			near(LeastM(more["W"].(float64), it.num("S_W_m2")), it.num("r_m"))
			near(DBmOf(1000*more["W"].(float64)), more["dBm"].(float64))
		case id == "fcc.gp":
			for i, f := range it.Inputs["f_MHz"].([]any) {
				near(PublicUS(f.(float64))/10, it.Expected.([]any)[i].(float64))
			}
		case id == "icnirp.gp":
			for mhz, f := range map[string]float64{"915": 915, "2437": 2437} {
				w := more[mhz].(map[string]any)
				near(PublicICNIRP(f), w["whole"].(float64))
				near(PublicICNIRPLocal(f), w["local"].(float64))
			}
		}
	}
	if seen < 30 {
		t.Errorf("only %d figures compared", seen)
	}
}
