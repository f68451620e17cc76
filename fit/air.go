package fit

import "runproof/drill"

// Air is how the product travels: what each head's primary line and hoses need,
// how the head divides, and how long the product is under way. The zero Air is
// not planned. Figures are rounded to four digits; they rest on correlations
// that differ by half and more, so most of them are spans.
type Air struct {
	TemperatureC float64 `json:"temperature_c"`  // of the air in the lines, °C
	AltitudeM    float64 `json:"altitude_m"`     // of the field, m
	DensityKgM3  float64 `json:"density_kg_m3"`  // of the air, at the pressure of that altitude
	ViscosityPaS float64 `json:"viscosity_pa_s"` // dynamic viscosity of the air, Pa s

	Assumed []string    `json:"assumed,omitempty"` // what nobody said and what was taken in its place
	Heads   []HeadAir   `json:"heads"`             // in the order of the drill
	Advice  []AirAdvice `json:"advice"`            // what to do, most pressing first
}

// Span is a figure with what it is at least and at most. The zero Span is not
// known.
type Span struct {
	Low    float64 `json:"low"`    // at least
	Likely float64 `json:"likely"` // most likely
	High   float64 `json:"high"`   // at most
}

// Known tells whether the span says anything.
func (s Span) Known() bool { return s != Span{} }

// AirAdvice is one thing to do, or to know, in plain words.
type AirAdvice struct {
	Heads []drill.HeadID `json:"heads"` // what it is about
	Do    string         `json:"do"`    // "fan up: at least 18 m/s in the primary line"
	Why   string         `json:"why"`   // the figures behind it, with their uncertainty
}

// HeadAir is the air and product of one head. Figures that rest on something
// nobody said are zero, or stand with Assumed true in their line.
type HeadAir struct {
	Head     drill.HeadID    `json:"head"`              // id of the head
	Product  drill.ProductID `json:"product"`           // what it divides
	Particle AirParticle     `json:"particle,omitzero"` // what one particle is taken to be

	Open          int     `json:"open"`                      // runs that are not closed
	GramsPerS     float64 `json:"grams_per_s,omitempty"`     // of product through the head at the usual speed, g/s
	RunGramsPerS  float64 `json:"run_grams_per_s,omitempty"` // through one open run when all are alike, g/s
	ParticlesPerS float64 `json:"particles_per_s,omitempty"` // the same in particles

	Primary Line `json:"primary"` // line from the meter to the head
	Hose    Line `json:"hose"`    // the longest open one

	PressurePa Span         `json:"pressure_pa,omitzero"` // from the meter to the opener by the longest hose, at the speeds of both lines, Pa
	Division   Division     `json:"division,omitzero"`    // how its air divides over hoses of unlike length
	Blocked    BlockedAir   `json:"blocked,omitzero"`     // one of its open runs shut
	ToHead     TransportLag `json:"to_head,omitzero"`     // from the meter to the head
	ToRow      TransportLag `json:"to_row,omitzero"`      // from the meter to the opener by the longest hose
	Counter    CounterAir   `json:"counter,omitzero"`     // what a sensor in a hose sees
}

// AirParticle is what one particle of the product is taken to be. Material is
// the entry of the material table that was used, empty where the drill's own
// figures sufficed.
type AirParticle struct {
	Material    string  `json:"material,omitempty"` // entry of the table of materials; empty where the drill says all itself
	DiameterM   float64 `json:"diameter_m"`         // of the sphere of the same volume, m
	DensityKgM3 float64 `json:"density_kg_m3"`      // of the particle
	FallMPS     Span    `json:"fall_mps"`           // terminal velocity in still air, m/s
	Source      string  `json:"source"`             // of the terminal velocity
}

// Line is one pipe with product in it.
type Line struct {
	LengthM float64 `json:"length_m,omitempty"` // level part, m
	RiserM  float64 `json:"riser_m,omitempty"`  // upright part, m
	BoreM   float64 `json:"bore_m,omitempty"`   // inside diameter, m
	Bends   int     `json:"bends,omitempty"`    // right-angle bends
	Assumed bool    `json:"assumed"`            // the bore was not said: all figures of the line are indications

	SaltationMPS Span             `json:"saltation_mps,omitzero"` // air speed at which particles begin to settle, over the correlations, m/s
	By           []SaltationSpeed `json:"by,omitempty"`           // the correlations' own figures at the likely particle
	NeedMPS      Span             `json:"need_mps,omitzero"`      // air speed needed, m/s: Likely is the rule
	AirMPS       float64          `json:"air_mps,omitempty"`      // mean air speed: as measured, or the likely need
	Measured     bool             `json:"measured"`               // AirMPS was said or follows from what was said
	Loading      float64          `json:"loading,omitempty"`      // kg of product in a kg of air at AirMPS
	DropPa       Span             `json:"drop_pa,omitzero"`       // at AirMPS, product included, Pa
	AirPart      float64          `json:"air_part,omitempty"`     // fraction of the likely drop that the air alone makes
}

// SaltationSpeed is what one correlation says.
type SaltationSpeed struct {
	Name string  `json:"name"` // "Rizk 1973"
	MPS  float64 `json:"mps"`  // air speed, m/s
}

// Division is how the air of a head divides when hoses differ in length only.
// It is a difference between runs, not an expected share of product: particles
// enter the head with a momentum of their own, so shares are learned from
// recorded flow.
type Division struct {
	Estimated bool        `json:"estimated"` // lengths by straight reach, scaled to the longest hose where that was said
	Hoses     []HoseAir   `json:"hoses"`     // of the open runs, in the order of outlets
	Spread    Span        `json:"spread"`    // largest less smallest share, over the mean
	CV        Span        `json:"cv"`        // coefficient of variation of the shares
	Longest   drill.RunID `json:"longest"`   // run with the longest hose
	Shortest  drill.RunID `json:"shortest"`  // run with the shortest hose
}

// HoseAir is one hose of a head.
type HoseAir struct {
	Run      drill.RunID `json:"run"`       // the run
	LengthM  float64     `json:"length_m"`  // length, m
	AirShare float64     `json:"air_share"` // likely share of the head's air, all open hoses together 1
}

// BlockedAir is what happens to the other open runs of a head when one is shut
// and the meter goes on. The factors multiply what a run had before.
type BlockedAir struct {
	Product float64 `json:"product"`          // n/(n-1) of equal runs
	Air     Span    `json:"air,omitzero"`     // Low: the head's pressure is held; High: the head's volume is held
	FillS   float64 `json:"fill_s,omitempty"` // by when a run shut at the opener is full to the head, at the latest, s
}

// TransportLag is the time that product is under way, and how far the drill
// travels meanwhile. A tail follows it: lines take seconds to run clear.
type TransportLag struct {
	Seconds Span `json:"seconds"` // time under way, s
	Metres  Span `json:"metres"`  // way of the drill meanwhile, m
}

// CounterAir is what a counter in a hose sees when particles overlap in its
// window (non-paralysable dead time).
type CounterAir struct {
	FromHeadM float64 `json:"from_head_m"`        // hose from outlet to sensor, m
	Bores     float64 `json:"bores,omitempty"`    // the same in hose bores
	WindowM   float64 `json:"window_m"`           // length of the sensor's window along the hose, assumed, m
	DeadS     Span    `json:"dead_s,omitzero"`    // a particle's time in the window, s
	Missed    Span    `json:"missed,omitzero"`    // fraction of particles that merge with others at the usual rate
	HalfSeen  Span    `json:"half_seen,omitzero"` // loss of count that a loss of half the flow shows
}
