package drill

import "math"

// Seeding arithmetic. rate is the application rate in kg/ha, tkw the mass of
// 1000 particles in g (thousand kernel weight), spacing the distance between
// rows in m, speed the travel in m/s. Sources and check values stand in
// seeding_test.go.

// ParticlesPerM2 is the particles on a square metre:
//
//	n = rate/10 [g/m2] / (tkw/1000 [g]) = 100 rate / tkw
//
// It is NaN where rate or tkw is 0, which stands for "not said".
func ParticlesPerM2(rateKgHa, tkwG float64) float64 {
	if rateKgHa <= 0 || tkwG <= 0 {
		return math.NaN()
	}
	return 100 * rateKgHa / tkwG
}

// ParticlesPerM is the particles on a metre of row: perM2 x spacing.
func ParticlesPerM(perM2, spacingM float64) float64 { return perM2 * spacingM }

// ParticlesPerS is the particles that pass a sensor in a second when each run
// feeds one row: perM2 x spacing x speed.
func ParticlesPerS(perM2, spacingM, speedMPS float64) float64 { return perM2 * spacingM * speedMPS }

// GramsPerS is the mass flow of one run that feeds one row, g/s:
// rate/10 [g/m2] x spacing x speed.
func GramsPerS(rateKgHa, spacingM, speedMPS float64) float64 {
	return rateKgHa / 10 * spacingM * speedMPS
}

// RateFor is the rate in kg/ha that gives so many plants on a square metre
// when the fraction survival (0 to 1) of the seeds becomes plants:
//
//	rate = plants x tkw / (100 x survival)
//
// Survival is germination less mortality in some provinces' sheets and
// germination x (1 - mortality) in others; the two differ, so ask which is
// meant. It is +Inf for survival 0.
func RateFor(plantsPerM2, tkwG, survival float64) float64 {
	return plantsPerM2 * tkwG / (100 * survival)
}

// OpenRuns is how many runs of the product are not closed.
func (d *Drill) OpenRuns(p ProductID) int {
	n := 0
	for _, r := range d.Runs() {
		if r.Product == p && !r.Closed {
			n++
		}
	}
	return n
}

// RunGramsPerS is the mass flow through each open run of the product at the
// usual speed, g/s, when the rate is metered over the whole width and the heads
// divide evenly:
//
//	rate/10 [g/m2] x width x speed / open runs
//
// With a run on every row this is GramsPerS; at half the rows it is twice
// that. It is NaN where the rate is not said or no run is open.
func (d *Drill) RunGramsPerS(p ProductID) float64 {
	prod, ok := d.Product(p)
	n := d.OpenRuns(p)
	if !ok || n == 0 || prod.RateKgHa == 0 {
		return math.NaN()
	}
	return GramsPerS(prod.RateKgHa, d.WidthM(), d.Work.SpeedMPS) / float64(n)
}

// RunParticlesPerS is the particles through each open run of the product in a
// second at the usual speed: RunGramsPerS over the mass of one particle. It is
// NaN where rate or tkw is not said or no run is open.
func (d *Drill) RunParticlesPerS(p ProductID) float64 {
	prod, ok := d.Product(p)
	if !ok || prod.TKWG == 0 {
		return math.NaN()
	}
	return d.RunGramsPerS(p) / (prod.TKWG / 1000)
}
