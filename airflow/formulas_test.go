package airflow

import (
	_ "embed"
	"encoding/json"
	"math"
	"testing"
)

// airflow.json: worked examples of books and of the open library fluids (C.
// Bell, MIT licence), and figures computed twice from the equations; each item
// names its source. Kept as collected, with its own tolerances.
//
//go:embed testdata/airflow.json
var checkValues []byte

type item struct {
	ID        string          `json:"id"`
	Inputs    map[string]any  `json:"inputs"`
	Expected  json.RawMessage `json:"expected"`
	Tolerance struct{ Rel, Abs float64 }
	Source    string
}

// num is an input as a number; the zero of a missing one would show in the
// figures.
func (it item) num(key string) float64 {
	v, _ := it.Inputs[key].(float64)
	return v
}

// list is an input as a list of numbers.
func (it item) list(key string) []float64 {
	var out []float64
	for _, v := range it.Inputs[key].([]any) {
		out = append(out, v.(float64))
	}
	return out
}

func (it item) stream() Stream {
	return Stream{MassKgS: it.num("mp_kg_s"), BoreM: it.num("d_pipe_m"), Gas: Gas{KgM3: it.num("rho_gas"), PaS: it.num("mu")}}
}

func (it item) particle() Particle {
	return Particle{DiameterM: it.num("dp_m"), KgM3: it.num("rho_p"), FallMPS: it.num("vt_m_s")}
}

func (it item) gas() Gas { return Gas{KgM3: it.num("rho"), PaS: it.num("mu")} }

// figures are what the package says, under the names of the item's expected
// figures; a lone figure is under "".
type figures map[string]any

// families maps the first words of an id to what the package says.
var families = []struct {
	prefix string
	say    func(item) figures
}{
	{"rizk-", func(it item) figures { return one(Rizk(it.stream(), it.particle())) }},
	{"matsumoto-1974", func(it item) figures { return one(Matsumoto1974(it.stream(), it.particle())) }},
	{"matsumoto-1975", func(it item) figures { return one(Matsumoto1975(it.stream(), it.particle())) }},
	{"matsumoto-1977-limit", func(it item) figures { return one(Matsumoto1977LimitM(it.stream(), it.particle())) }},
	{"matsumoto-1977", func(it item) figures { return one(Matsumoto1977(it.stream(), it.particle())) }},
	{"schade", func(it item) figures { return one(Schade(it.stream(), it.particle())) }},
	{"weber", func(it item) figures { return one(Weber(it.stream(), it.particle())) }},
	{"geldart-ling", func(it item) figures { return one(GeldartLing(it.stream())) }},
	{"drill-", drillFigures},
	{"air-", airFigures},
	{"isa-", atmosphereFigures},
	{"pitot-inh2o", func(it item) figures {
		const inchWaterPa, lbFt3, ftMin = 249.08891, 16.01846337396, 0.3048 / 60
		return one(PitotMPS(it.num("inh2o")*inchWaterPa, it.num("rho_lb_ft3")*lbFt3) / ftMin)
	}},
	{"pitot-", func(it item) figures { return one(PitotMPS(it.num("dp_pa"), it.num("rho"))) }},
	{"drag-haider", func(it item) figures { return one(HaiderLevenspiel(it.num("re"))) }},
	{"drag-barati", func(it item) figures { return one(Barati(it.num("re"))) }},
	{"vt-wheat", func(it item) figures {
		return one(FallMPS(it.num("dp_m"), it.num("rho_p"), it.num("rho"), it.num("cd")))
	}},
	{"vt-quartz", func(it item) figures {
		return one(FallByDragMPS(it.num("dp_m"), it.num("rho_p"), it.gas(), Barati))
	}},
	{"vt-", func(it item) figures {
		return one(FallByDragMPS(it.num("dp_m"), it.num("rho_p"), it.gas(), HaiderLevenspiel))
	}},
	{"dp-terms", rhodesFigures},
	{"dp-drill", primaryFigures},
	{"blasius", func(it item) figures { return one(DarcyBlasius(it.num("re"))) }},
	{"colebrook", func(it item) figures { return one(DarcyColebrook(it.num("re"), it.num("e_over_d"))) }},
	{"division-4-hoses", divisionFigures},
	{"division-blasius", func(it item) figures { return one(SharesByLength(it.list("length_m"), BlasiusFriction)) }},
	{"division-const-f", func(it item) figures { return one(SharesByLength(it.list("length_m"), ConstantFriction)) }},
	{"block-one-of-four-unequal", unequalFigures},
	{"block-1-of-", func(it item) figures {
		n := int(it.num("n"))
		rise := ProductFactor(n, 0)
		return figures{"factor": rise, "dp_factor": rise * rise, "keeps_0_5": ProductFactor(n, 0.5), "keeps_0_1": ProductFactor(n, 0.1)}
	}},
	{"block-fan-", fanFigures},
	{"transit-h-", func(it item) figures { return timed(LevelTransit(it.num("u_m_s"), it.num("vt_m_s"), it.num("l_m"))) }},
	{"transit-v-", func(it item) figures { return timed(RiserTransit(it.num("u_m_s"), it.num("vt_m_s"), it.num("l_m"))) }},
	{"transit-sum", func(it item) figures {
		var line []Stretch
		for _, leg := range it.Inputs["legs"].([]any) {
			l := leg.([]any)
			line = append(line, Stretch{l[0].(float64), l[1].(float64)})
		}
		return figures{"lag_s": LagS(line...), "metres": LagS(line...) * it.num("speed_mps")}
	}},
	{"dead-time", func(it item) figures {
		n, tau := it.num("rate_hz"), it.num("tau_s")
		return figures{"seen_full": SeenHz(n, tau), "seen_half": SeenHz(n/2, tau), "apparent_loss": LossSeen(n, tau, 0.5)}
	}},
	{"fill-time", func(it item) figures {
		return one(FillS(it.num("d_m"), it.num("l_m"), it.num("rho_bulk"), it.num("m_kg_s")))
	}},
	{"hinkle-velocity", func(it item) figures { return one(LevelSlip(it.particle())) }},
	{"solids-share", solidsFigures},
}

func one(v any) figures { return figures{"": v} }

func timed(t, v float64) figures { return figures{"t_s": t, "v_m_s": v} }

func drillFigures(it item) figures {
	s, p := it.stream(), it.particle()
	return figures{
		"rizk": Rizk(s, p), "matsumoto_1975": Matsumoto1975(s, p), "matsumoto_1977": Matsumoto1977(s, p),
		"schade": Schade(s, p), "weber": Weber(s, p),
	}
}

func airFigures(it item) figures {
	t := it.num("t_k") - ZeroC
	return figures{
		"rho": DensityKgM3(it.num("p_pa"), t, it.num("rh")), "vapour_pa": VapourPa(t, it.num("rh")), "mu": ViscosityPaS(it.num("t_k")),
	}
}

func atmosphereFigures(it item) figures {
	t, p := StandardAtmosphere(it.num("z_m"))
	return figures{"t_k": t, "p_pa": p, "rho": p / (8.31432 / 0.0289644 * t), "mu": ViscosityPaS(t)}
}

func rhodesFigures(it item) figures {
	s, p, u := it.stream(), it.particle(), it.num("u_m_s")
	up := u * LevelSlip(p)
	e := Voidage(s, p, up)
	re, uf := Reynolds(s.Gas, u, s.BoreM), u/e
	rep := Reynolds(s.Gas, uf-up, p.DiameterM)
	cd := 18.5 * math.Pow(rep, -0.6) // the law of Rhodes' example
	fp := HinkleFriction(s, p, cd, uf, up)
	return figures{
		"air_m3_s": u * s.AreaM2(), "loading_ratio": s.Loading(u), "G_kg_m2_s": s.Flux(), "up_horizontal_m_s": up, "voidage": e,
		"re": re, "fanning_blasius": DarcyBlasius(re) / 4, "gas_friction_pa_m": AirFrictionPaM(s.Gas, DarcyBlasius(re), u, s.BoreM),
		"rep": rep, "cd_18_5_re_-0_6": cd, "fp": fp, "solids_friction_horizontal_pa_m": LevelSolidsPaM(s, fp, up),
		"konno_saito_vertical_pa_m": KonnoSaitoPaM(s), "gas_acceleration_pa": AirAccelerationPa(s.Gas, e, uf),
		"solids_acceleration_half_g_up_pa": SolidsAccelerationPa(s, up) / 2, "solids_momentum_g_up_pa": SolidsAccelerationPa(s, up),
	}
}

func primaryFigures(it item) figures {
	s, u := it.stream(), it.num("u_m_s")
	re := Reynolds(s.Gas, u, s.BoreM)
	return figures{
		"loading_ratio": s.Loading(u), "re": re, "darcy_blasius": DarcyBlasius(re), "darcy_colebrook_smooth": DarcyColebrook(re, 0),
		"gas_pa_m_blasius": AirFrictionPaM(s.Gas, DarcyBlasius(re), u, s.BoreM), "konno_saito_pa_m": KonnoSaitoPaM(s),
	}
}

func (it item) hoses() []Hose {
	var hs []Hose
	for _, l := range it.list("length_m") {
		hs = append(hs, Hose{LengthM: l, BoreM: it.num("d_m"), Minor: it.num("k_minor")})
	}
	return hs
}

func divisionFigures(it item) figures {
	hs, q := it.hoses(), it.num("q_m3_s")
	share := Shares(hs, it.num("f_darcy"))
	var speeds []float64
	for i, h := range hs {
		speeds = append(speeds, share[i]*q/area(h.BoreM))
	}
	return figures{
		"share": share, "dp_pa": HeadPa(hs, it.num("f_darcy"), q, it.num("rho")),
		"speed_m_s": speeds, "cv": CV(share),
	}
}

// The hoses of division-4-hoses, the third shut.
func unequalFigures(item) figures {
	hs := []Hose{{1.8, 0.025, 1.5}, {2.2, 0.025, 1.5}, {2.6, 0.025, 1.5}, {3.0, 0.025, 1.5}}
	open := []Hose{hs[0], hs[1], hs[3]}
	return figures{
		"factor":   ProductFactorOfShare(Shares(hs, 0.025)[2]),
		"dp_ratio": HeadPa(open, 0.025, 0.03, 1.2) / HeadPa(hs, 0.025, 0.03, 1.2),
	}
}

func fanFigures(it item) figures {
	fan, n := Fan{5000, 0.12}, int(it.num("n"))
	resistance := func(open int) float64 { return 1 / math.Pow(float64(open)*it.num("c"), 2) }
	return figures{
		"q_before": fan.FlowM3S(it.num("kp") + resistance(n)), "q_after": fan.FlowM3S(it.num("kp") + resistance(n-1)),
		"factor": AirFactorOfFan(fan, it.num("kp"), resistance(n), n),
	}
}

func solidsFigures(it item) figures {
	s, p, u := it.stream(), it.particle(), it.num("u_m_s")
	up := u * LevelSlip(p)
	return figures{
		"air_pa_m":      AirFrictionPaM(s.Gas, DarcyBlasius(Reynolds(s.Gas, u, s.BoreM)), u, s.BoreM),
		"solids_pa_m":   LevelSolidsPaM(s, HinkleFriction(s, p, it.num("cd"), u, up), up),
		"accel_half_pa": SolidsAccelerationPa(s, up) / 2, "accel_full_pa": SolidsAccelerationPa(s, up),
	}
}

func TestCheckValues(t *testing.T) {
	var items []item
	if err := json.Unmarshal(checkValues, &items); err != nil {
		t.Fatal(err)
	}
	if len(items) != 71 {
		t.Errorf("%d items, 71 were collected", len(items))
	}
	for _, it := range items {
		t.Run(it.ID, func(t *testing.T) {
			compare(t, it, said(t, it))
		})
	}
}

func said(t *testing.T, it item) figures {
	for _, f := range families {
		if len(it.ID) >= len(f.prefix) && it.ID[:len(f.prefix)] == f.prefix {
			return f.say(it)
		}
	}
	t.Fatal("no function of the package answers for it")
	return nil
}

// compare wants every expected figure to be said, and near enough.
func compare(t *testing.T, it item, got figures) {
	want := map[string]any{}
	if json.Unmarshal(it.Expected, &want) != nil {
		var v any
		if err := json.Unmarshal(it.Expected, &v); err != nil {
			t.Fatal(err)
		}
		want = map[string]any{"": v}
	}
	for name, w := range want {
		switch w := w.(type) {
		case float64:
			near(t, it, name, got[name].(float64), w)
		case []any:
			list := got[name].([]float64)
			if len(list) != len(w) {
				t.Fatalf("%s: %d figures, want %d", name, len(list), len(w))
			}
			for i := range w {
				near(t, it, name, list[i], w[i].(float64))
			}
		}
	}
}

func near(t *testing.T, it item, name string, got, want float64) {
	t.Helper()
	if d := math.Abs(got - want); !(d <= it.Tolerance.Abs+it.Tolerance.Rel*math.Abs(want)) {
		t.Errorf("%s: got %.12g, want %.12g (%s)", name, got, want, it.Source)
	}
}
