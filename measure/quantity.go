package measure

import "fmt"

// Quantity is a kind of thing that is measured. The zero value is a plain
// number.
type Quantity int

// The quantities, with the base unit in which the house stores them.
const (
	Number       Quantity = iota // no unit
	Length                       // m: frame, harness, width, skips
	ShortLength                  // m: row spacing, missed metres under one
	Bore                         // m: inside diameters
	Distance                     // m: across fields and further
	Area                         // m²: fields, skips
	Speed                        // m/s
	Rate                         // kg/ha
	Density                      // particles or plants per m²
	RowDensity                   // particles per m of row
	Mass                         // kg
	SmallMass                    // g: mass of 1000 particles, a bag of a catch test
	BulkDensity                  // kg/m³
	Temperature                  // °C
	Pressure                     // Pa
	Capacity                     // m²/s: area worked in time
	Time                         // s
	Voltage                      // V
	Current                      // A
	Resistance                   // Ω
	Ratio                        // 1, shown in percent
	AirSpeed                     // m/s: air and particles in pipes
	WireArea                     // mm²: cross-section of a conductor
	Angle                        // degrees
	Level                        // dB
	Delay                        // s: of signals on a wire
	PowerDensity                 // W/m²: of a radio wave
	BitRate                      // bit/s
)

// quantity is how one Quantity is shown in each system, and what else a person
// may write it in.
type quantity struct {
	name   string
	base   Unit
	metric Unit
	us     Unit
	more   []Unit
}

var quantities = [...]quantity{
	Number:      {"number", Unit{}, Unit{}, Unit{}, nil},
	Length:      {"length", Metre, Metre, Foot, []Unit{Centimetre, Millimetre, Inch}},
	ShortLength: {"short length", Metre, Centimetre, Inch, []Unit{Metre, Millimetre, Foot}},
	Bore:        {"diameter", Metre, Millimetre, Inch, []Unit{Centimetre}},
	Distance:    {"distance", Metre, Kilometre, Mile, []Unit{Metre, Foot}},
	Area:        {"area", SquareMetre, Hectare, Acre, []Unit{SquareMetre, SquareFoot}},
	Speed:       {"speed", MetrePerSecond, KilometrePerHour, MilePerHour, []Unit{MetrePerSecond}},
	Rate:        {"rate", KgPerHa, KgPerHa, PoundPerAcre, nil},
	Density:     {"density", PerSquareMetre, PerSquareMetre, PerSquareFoot, nil},
	RowDensity:  {"density in the row", PerMetre, PerMetre, PerFoot, nil},
	Mass:        {"mass", Kilogram, Kilogram, Pound, nil},
	SmallMass:   {"small mass", Gram, Gram, Gram, nil},
	BulkDensity: {"bulk density", KgPerCubicMetre, KgPerCubicMetre, PoundPerBushel, nil},
	Temperature: {"temperature", Celsius, Celsius, Fahrenheit, nil},
	Pressure:    {"pressure", Pascal, Kilopascal, PSI, []Unit{Pascal, InchWater}},
	Capacity:    {"field capacity", Unit{symbol: "m²/s"}, HectarePerHour, AcrePerHour, nil},
	Time:        {"time", Second, Second, Second, nil},
	Voltage:     {"voltage", Volt, Volt, Volt, nil},
	Current:     {"current", Ampere, Ampere, Ampere, nil},
	Resistance:  {"resistance", Ohm, Ohm, Ohm, nil},
	Ratio:       {"ratio", Unit{decimals: 3}, Percent, Percent, nil},

	AirSpeed:     {"air speed", MetrePerSecond, MetrePerSecond, FootPerMinute, nil},
	WireArea:     {"cross-section", SquareMillimetre, SquareMillimetre, SquareMillimetre, nil},
	Angle:        {"angle", Degree, Degree, Degree, nil},
	Level:        {"level", Decibel, Decibel, Decibel, nil},
	Delay:        {"delay", Unit{symbol: "s"}, Nanosecond, Nanosecond, nil},
	PowerDensity: {"power density", WattPerSquareMetre, WattPerSquareMetre, WattPerSquareMetre, nil},
	BitRate:      {"bit rate", BitPerSecond, KilobitPerSecond, KilobitPerSecond, nil},
}

// String is the quantity's name: "length".
func (q Quantity) String() string { return q.row().name }

// BaseUnit is the unit in which the house stores the quantity.
func (q Quantity) BaseUnit() Unit { return q.row().base }

func (q Quantity) row() quantity {
	if q < 0 || int(q) >= len(quantities) {
		return quantities[Number]
	}
	return quantities[q]
}

// MarshalText is String.
func (q Quantity) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

// UnmarshalText reads a quantity's name. The error names it.
func (q *Quantity) UnmarshalText(b []byte) error {
	for i := range quantities {
		if quantities[i].name == string(b) {
			*q = Quantity(i)
			return nil
		}
	}
	return fmt.Errorf("%q is no quantity", b)
}

// System is the set of units shown. It never changes what is computed or
// stored. The zero value is Metric.
type System int

// The unit systems.
const (
	Metric System = iota
	US
)

// String is the word used in documents: "metric" or "us".
func (s System) String() string {
	if s == US {
		return "us"
	}
	return "metric"
}

// Unit is the unit in which the system shows the quantity.
func (s System) Unit(q Quantity) Unit {
	if s == US {
		return q.row().us
	}
	return q.row().metric
}

// Format writes a base value with the system's unit: "98 lb/ac".
func (s System) Format(q Quantity, base float64) string { return s.Unit(q).Format(base) }
