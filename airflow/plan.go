package airflow

import (
	"fmt"
	"math"
	"slices"

	"runproof/check"
	"runproof/drill"
	"runproof/fit"
)

// What is taken where nobody said: common practice, no source.
const (
	usualTemperatureC = 20.0
	usualHumidity     = 0.5
	usualPrimaryM     = 0.0635
	usualHoseM        = 0.025
	usualRiserM       = 1.0
	usualBends        = 3
	usualHoseLay      = 1.2  // hose over straight reach
	windowM           = 0.02 // of a sensor along the hose
)

// hoseLoss is the loss of a hose besides friction, in velocity heads: about 1
// exit and 0.5 entry.
const hoseLoss = 1.5

// Plan reckons the air of every head of the drill, and judges what can be
// judged. Heads whose product or rate is not known have few figures; what is
// assumed stands in Assumed and breaks no rule.
func Plan(d *drill.Drill) (fit.Air, check.Results) { return DefaultMaterials().Plan(d) }

// Plan is Plan with another table of materials.
func (m Materials) Plan(d *drill.Drill) (fit.Air, check.Results) {
	p := planner{d: d, materials: m}
	p.air.TemperatureC, p.air.AltitudeM = d.Air.TemperatureC, d.Air.AltitudeM
	if p.air.TemperatureC == 0 {
		p.air.TemperatureC = usualTemperatureC
	}
	p.gas = GasAt(p.air.AltitudeM, p.air.TemperatureC, usualHumidity)
	p.air.DensityKgM3, p.air.ViscosityPaS = fourDigits(p.gas.KgM3), fourDigits(p.gas.PaS)
	for _, h := range d.Heads {
		p.air.Heads = append(p.air.Heads, p.head(h))
	}
	p.riders()
	slices.Sort(p.air.Assumed)
	p.air.Assumed = slices.Compact(p.air.Assumed)
	p.air.Advice = p.advice()
	return p.air, p.judge()
}

type planner struct {
	d         *drill.Drill
	materials Materials
	gas       Gas
	air       fit.Air
}

func (p *planner) assume(format string, args ...any) {
	p.air.Assumed = append(p.air.Assumed, fmt.Sprintf(format, args...))
}

// riders are products that no head divides: they ride in the lines of another,
// and nobody said in which.
func (p *planner) riders() {
	for _, prod := range p.d.Products {
		divides := func(h drill.Head) bool { return h.Product == prod.ID }
		if !slices.ContainsFunc(p.d.Heads, divides) {
			p.assume("%s, which no head divides, is left out: where it rides in the lines of another product they need more air than is said here", prod.ID)
		}
	}
}

// open are the runs of a head that are not closed.
func (p *planner) open(h drill.Head) []drill.Run {
	var open []drill.Run
	for _, r := range p.d.Runs() {
		if r.Head == h.ID && !r.Closed {
			open = append(open, r)
		}
	}
	return open
}

func (p *planner) head(h drill.Head) fit.HeadAir {
	open := p.open(h)
	a := fit.HeadAir{Head: h.ID, Product: h.Product, Open: len(open)}
	p.lines(&a, h)
	p.division(&a, h, open)
	if n := len(open); n > 1 {
		a.Blocked.Product = fourDigits(ProductFactor(n, 0))
	}
	prod, _ := p.d.Product(h.Product)
	particle, material, known := p.materials.particle(prod)
	if known {
		a.Particle = particle
	}
	if g := p.d.RunGramsPerS(h.Product); !math.IsNaN(g) {
		a.RunGramsPerS, a.GramsPerS = fourDigits(g), fourDigits(g*float64(len(open)))
	}
	if n := p.d.RunParticlesPerS(h.Product); !math.IsNaN(n) {
		a.ParticlesPerS = fourDigits(n)
	}
	if known && a.GramsPerS > 0 {
		p.flow(&a, material)
	}
	a.Counter.FromHeadM, a.Counter.WindowM = p.d.Sensing.SensorFromHeadM, windowM
	if !a.Hose.Assumed {
		a.Counter.Bores = fourDigits(a.Counter.FromHeadM / a.Hose.BoreM)
	}
	return a
}

// lines fills in what the two lines of a head are.
func (p *planner) lines(a *fit.HeadAir, h drill.Head) {
	a.Primary = fit.Line{LengthM: h.PrimaryM, RiserM: h.RiserM, BoreM: h.PrimaryMM / 1000, Bends: h.Bends}
	if h.PrimaryM == 0 {
		a.Primary.LengthM = fourDigits(p.primaryM(h))
		p.assume("primary lines without primary_m: from the nearer end of the cart to the head")
	}
	if h.RiserM == 0 {
		a.Primary.RiserM = usualRiserM
		p.assume("risers without riser_m: %g m", usualRiserM)
	}
	if h.Bends == 0 {
		a.Primary.Bends = usualBends
		p.assume("primary lines without bends: %d right angles", usualBends)
	}
	if h.PrimaryMM == 0 {
		a.Primary.BoreM, a.Primary.Assumed = usualPrimaryM, true
		p.assume("primary lines without primary_mm: %g mm", 1000*usualPrimaryM)
	}
	_, reach := p.d.FarthestRow(h)
	a.Hose = fit.Line{LengthM: h.HoseM, BoreM: h.HoseMM / 1000}
	if h.HoseM == 0 {
		a.Hose.LengthM = fourDigits(math.Max(reach*usualHoseLay, 0.1))
		p.assume("hoses without hose_m: %g times the straight reach", usualHoseLay)
	}
	if h.HoseMM == 0 {
		a.Hose.BoreM, a.Hose.Assumed = usualHoseM, true
		p.assume("hoses without hose_mm: %g mm", 1000*usualHoseM)
	}
}

// primaryM is the way from the nearer end of the cart to the head, along and
// across.
func (p *planner) primaryM(h drill.Head) float64 {
	cart := p.d.Places().Cart
	along := math.Min(math.Abs(cart.Front-h.At.Forward), math.Abs(cart.Back-h.At.Forward))
	return math.Max(along+math.Abs(h.At.Right), 1)
}

// flow fills in what depends on the product: speeds, pressure, lags, what the
// counter sees.
func (p *planner) flow(a *fit.HeadAir, material Material) {
	kgS := a.GramsPerS / 1000
	runKgS := a.RunGramsPerS / 1000
	main, hose := Stream{kgS, a.Primary.BoreM, p.gas}, Stream{runKgS, a.Hose.BoreM, p.gas}
	need(&a.Primary, main, a.Particle)
	need(&a.Hose, hose, a.Particle)
	p.speeds(a)
	drop(&a.Primary, main, a.Particle)
	drop(&a.Hose, hose, a.Particle)
	x, y := a.Primary.DropPa, a.Hose.DropPa
	a.PressurePa = spanOf(x.Low+y.Low, x.Likely+y.Likely, x.High+y.High)
	if a.Open > 1 {
		held := AirFactorHeld(x.Likely/(x.Likely+y.Likely), a.Open)
		a.Blocked.Air = spanOf(1, held, ProductFactor(a.Open, 0))
	}
	if material.BulkKgM3 > 0 {
		a.Blocked.FillS = fourDigits(FillS(a.Hose.BoreM, a.Hose.LengthM, material.BulkKgM3, runKgS))
	}
	toHead := lag(fit.Span{Low: meterLowS, Likely: meterLikelyS, High: meterHighS}, a.Primary, a.Particle.FallMPS)
	a.ToHead = travelled(toHead, p.d.Work.SpeedMPS)
	a.ToRow = travelled(lag(toHead, a.Hose, a.Particle.FallMPS), p.d.Work.SpeedMPS)
	p.counter(a)
}

// speeds are the air speeds as measured; else those needed.
func (p *planner) speeds(a *fit.HeadAir) {
	a.Primary.AirMPS, a.Hose.AirMPS = a.Primary.NeedMPS.Likely, a.Hose.NeedMPS.Likely
	if v := p.d.Air.PrimaryMPS; v > 0 {
		a.Primary.AirMPS, a.Primary.Measured = v, true
		if !a.Primary.Assumed && !a.Hose.Assumed && a.Open > 0 {
			a.Hose.AirMPS = fourDigits(v * area(a.Primary.BoreM) / (float64(a.Open) * area(a.Hose.BoreM)))
			a.Hose.Measured = true
		}
	}
	if v := p.d.Air.HoseMPS; v > 0 {
		a.Hose.AirMPS, a.Hose.Measured = v, true
	}
}

// counter is what a counter in the hose sees.
func (p *planner) counter(a *fit.HeadAir) {
	dead := func(part float64) float64 { return DeadS(windowM, a.Particle.DiameterM, part*a.Hose.AirMPS) }
	a.Counter.DeadS = spanOf(dead(fastProduct), dead(usualProduct), dead(slowProduct))
	if n := a.ParticlesPerS; n > 0 {
		missed := func(part float64) float64 { return 1 - SeenHz(n, dead(part))/n }
		half := func(part float64) float64 { return LossSeen(n, dead(part), 0.5) }
		a.Counter.Missed = spanOf(missed(fastProduct), missed(usualProduct), missed(slowProduct))
		a.Counter.HalfSeen = spanOf(half(slowProduct), half(usualProduct), half(fastProduct))
	}
}

// division fills in how the air of a head divides over hoses of its lengths.
func (p *planner) division(a *fit.HeadAir, h drill.Head, open []drill.Run) {
	if len(open) < 2 {
		return
	}
	_, farthest := p.d.FarthestRow(h)
	scale := a.Hose.LengthM / math.Max(farthest, 0.1)
	hoses := make([]Hose, len(open))
	for i, r := range open {
		hoses[i] = Hose{LengthM: math.Max(scale*p.d.ReachM(h, r.Row), 0.1), BoreM: a.Hose.BoreM, Minor: hoseLoss}
	}
	const usualMPS = 15 // friction turns little with speed
	flow := usualMPS * area(a.Hose.BoreM) * float64(len(open))
	smooth, rough := SmoothShares(hoses, flow, p.gas, smoothTimes), SmoothShares(hoses, flow, p.gas, roughTimes)
	likely := make([]float64, len(smooth))
	for i := range likely {
		likely[i] = (smooth[i] + rough[i]) / 2
	}
	d := fit.Division{Estimated: true, Longest: open[0].ID, Shortest: open[0].ID}
	long, short := hoses[0].LengthM, hoses[0].LengthM
	for i, r := range open {
		d.Hoses = append(d.Hoses, fit.HoseAir{Run: r.ID, LengthM: fourDigits(hoses[i].LengthM), AirShare: fourDigits(likely[i])})
		if hoses[i].LengthM > long {
			long, d.Longest = hoses[i].LengthM, r.ID
		}
		if hoses[i].LengthM < short {
			short, d.Shortest = hoses[i].LengthM, r.ID
		}
	}
	spread := func(s []float64) float64 { return (slices.Max(s) - slices.Min(s)) * float64(len(s)) }
	d.Spread = spanOf(spread(smooth), spread(likely), spread(rough))
	d.CV = spanOf(CV(smooth), CV(likely), CV(rough))
	a.Division = d
}
