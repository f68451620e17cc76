package power

import (
	"bytes"
	_ "embed"
	"io"

	"runproof/input/yamldoc"
)

// Version is the document version of the tables.
const Version = "power/1"

//go:embed data.yaml
var builtin []byte

// Tables are the figures that this package reckons with: those of standards,
// of the trade, and those that wait to be looked up. data.yaml names the
// source of each. The zero Tables hold nothing; see DefaultTables.
type Tables struct {
	Runproof   string     `json:"runproof"`
	Resistance []Column   `json:"resistance" jsonschema:"required,minItems=1"` // the first is the one used where a part does not say
	Ampacity   Ampacity   `json:"ampacity" jsonschema:"required"`
	Cases      []Case     `json:"cases" jsonschema:"required,minItems=1"`
	Joints     Joints     `json:"joints" jsonschema:"required"`
	Fuse       FuseTables `json:"fuse" jsonschema:"required"`
	Limits     Limits     `json:"limits" jsonschema:"required"`
}

// Column is the highest resistance of a copper conductor by its cross-section.
type Column struct {
	Name   string `json:"name" jsonschema:"required"`
	Source string `json:"source"`
	Rows   []Row  `json:"rows" jsonschema:"required,minItems=1"` // areas ascending
}

// Row is one cross-section of a Column.
type Row struct {
	MM2   float64 `json:"mm2" jsonschema:"required,exclusiveMinimum=0"`
	MohmM float64 `json:"mohm_m" jsonschema:"required,exclusiveMinimum=0"` // one conductor at 20 °C, milliohm/m
}

// Ampacity is the current that a wire may carry by gauge and insulation.
type Ampacity struct {
	Source     string     `json:"source"`
	ClassesC   []float64  `json:"classes_c" jsonschema:"required,minItems=1"` // °C, ascending
	Rows       []GaugeRow `json:"rows" jsonschema:"required,minItems=1"`      // thin to thick
	WarmFactor float64    `json:"warm_factor" jsonschema:"required,exclusiveMinimum=0,maximum=1"`
	Bundles    []Bundle   `json:"bundles"` // conductors ascending
}

// GaugeRow is one gauge of an Ampacity.
type GaugeRow struct {
	AWG  int       `json:"awg" jsonschema:"required"`
	Amps []float64 `json:"amps" jsonschema:"required"` // one for each class
}

// Bundle is the factor for so many current-carrying conductors or more.
type Bundle struct {
	Conductors int     `json:"conductors" jsonschema:"required"`
	Factor     float64 `json:"factor" jsonschema:"required,exclusiveMinimum=0,maximum=1"`
}

// Case is one state of the supply.
type Case struct {
	Case         string  `json:"case" jsonschema:"required"`
	OfTold       float64 `json:"of_told" jsonschema:"required,exclusiveMinimum=0"` // volts, as part of those told with the engine off
	TemperatureC float64 `json:"temperature_c" jsonschema:"required"`              // of the conductors, °C
	Brief        bool    `json:"brief"`                                            // passes within seconds
}

// Joints are resistances between wires, ohm.
type Joints struct {
	ContactOhm    float64 `json:"contact_ohm" jsonschema:"required,minimum=0"`
	MatedPerPiece float64 `json:"mated_per_piece" jsonschema:"required,minimum=0"`
	HolderOhm     float64 `json:"holder_ohm" jsonschema:"required,minimum=0"`
	SourceOhm     float64 `json:"source_ohm" jsonschema:"required,minimum=0"`
}

// FuseTables are what is known of blade fuses.
type FuseTables struct {
	Source     string    `json:"source"`
	LoadFactor float64   `json:"load_factor" jsonschema:"required,exclusiveMinimum=0,maximum=1"`
	WithinS    float64   `json:"opens_s" jsonschema:"required,exclusiveMinimum=0"`
	Gates      []Gate    `json:"gates" jsonschema:"required,minItems=1"` // multiples ascending
	ColdOhm    []FuseOhm `json:"cold_ohm" jsonschema:"required,minItems=1"`
	WarmFactor float64   `json:"warm_factor" jsonschema:"required,minimum=1"`
	FaultC     float64   `json:"fault_c" jsonschema:"required"`
	AdiabaticK float64   `json:"adiabatic_k" jsonschema:"required,exclusiveMinimum=0"`
}

// Gate bounds when a fuse opens at a multiple of its rating, s.
type Gate struct {
	Multiple float64 `json:"multiple" jsonschema:"required,exclusiveMinimum=0"`
	MinS     float64 `json:"min_s"`
	MaxS     float64 `json:"max_s"` // 0 = nothing promised
}

// FuseOhm is the resistance of a cold fuse.
type FuseOhm struct {
	Amps float64 `json:"amps" jsonschema:"required,exclusiveMinimum=0"`
	Ohm  float64 `json:"ohm" jsonschema:"required,exclusiveMinimum=0"`
}

// Limits are what the rules hold the harness to.
type Limits struct {
	Drop         float64 `json:"drop" jsonschema:"required,exclusiveMinimum=0,maximum=1"`        // of the supply
	DropWished   float64 `json:"drop_wished" jsonschema:"required,exclusiveMinimum=0,maximum=1"` // of the supply
	DropSized    float64 `json:"drop_sized" jsonschema:"required,exclusiveMinimum=0,maximum=1"`  // of the supply
	GroundShiftV float64 `json:"ground_shift_v" jsonschema:"required,exclusiveMinimum=0"`
	VoltsSpare   float64 `json:"volts_spare" jsonschema:"required,minimum=0"`
	InsulationC  float64 `json:"insulation_c" jsonschema:"required"` // where a part does not say
}

// DefaultTables are the tables built in.
func DefaultTables() Tables {
	t, err := ReadTables(bytes.NewReader(builtin), "data.yaml")
	if err != nil {
		panic(err) // a fault of the program, seen by its first test
	}
	return t
}

// ReadTables reads a document like data.yaml. The error is input.Faults with
// every fault of it, or what r returned.
func ReadTables(r io.Reader, name string) (Tables, error) {
	doc, err := yamldoc.Parse(r, name)
	if err != nil {
		return Tables{}, err
	}
	if err := doc.WantVersion(Version); err != nil {
		return Tables{}, err
	}
	var t Tables
	doc.Decode(&t)
	t.check(doc)
	if err := doc.Err(); err != nil {
		return Tables{}, err
	}
	return t, nil
}

// check looks for rows out of order: what is looked up in them would be wrong
// without a word.
func (t *Tables) check(doc *yamldoc.Document) {
	for i, c := range t.Resistance {
		if !ordered(c.Rows, func(a, b Row) bool { return a.MM2 < b.MM2 && a.MohmM > b.MohmM }) {
			doc.Fault(doc.At("resistance", i), "thin conductors first; a thicker one has less resistance", "the rows of %q are out of order", c.Name)
		}
	}
	for i, r := range t.Ampacity.Rows {
		if len(r.Amps) != len(t.Ampacity.ClassesC) {
			doc.Fault(doc.At("ampacity", "rows", i), "write one current for each of classes_c", "AWG %d has %d currents for %d classes", r.AWG, len(r.Amps), len(t.Ampacity.ClassesC))
		}
	}
	if !ordered(t.Ampacity.Rows, func(a, b GaugeRow) bool { return a.AWG > b.AWG }) || !ordered(t.Ampacity.ClassesC, func(a, b float64) bool { return a < b }) {
		doc.Fault(doc.At("ampacity"), "thin gauges and cool classes first", "the table of ampacity is out of order")
	}
	if !ordered(t.Fuse.Gates, func(a, b Gate) bool { return a.Multiple < b.Multiple }) {
		doc.Fault(doc.At("fuse", "gates"), "lowest multiple first", "the gates of the fuse are out of order")
	}
	if !ordered(t.Fuse.ColdOhm, func(a, b FuseOhm) bool { return a.Amps < b.Amps }) {
		doc.Fault(doc.At("fuse", "cold_ohm"), "smallest rating first", "the resistances of fuses are out of order")
	}
}

// ordered tells whether each item comes before the next.
func ordered[T any](items []T, before func(a, b T) bool) bool {
	for i := 1; i < len(items); i++ {
		if !before(items[i-1], items[i]) {
			return false
		}
	}
	return true
}
