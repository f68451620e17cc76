package measure

// Exact by definition (NIST SP 811, appendix B.8), in SI.
const (
	inchM       = 0.0254
	footM       = 12 * inchM
	mileM       = 5280 * footM
	poundKg     = 0.45359237
	acreM2      = 43560 * footM * footM
	hectareM2   = 10000
	standardG   = 9.80665 // m/s2, in the definition of the pound-force
	psiPa       = poundKg * standardG / (inchM * inchM)
	bushelM3    = 2150.42 * inchM * inchM * inchM
	fahrenheitK = 5.0 / 9.0
	// An inch of water is conventional: water of 1000 kg/m3 under standard
	// gravity (ISO 31-3; NIST SP 811 lists 249.0889 Pa).
	inchWaterPa = 1000 * standardG * inchM
)

// The units. Each belongs to one Quantity; see its base unit there.
var (
	Metre      = Unit{symbol: "m", names: []string{"metre", "metres", "meter", "meters"}, decimals: 2}
	Millimetre = Unit{symbol: "mm", scale: 0.001}
	Centimetre = Unit{symbol: "cm", scale: 0.01, decimals: 1}
	Kilometre  = Unit{symbol: "km", scale: 1000, decimals: 2}
	Foot       = Unit{symbol: "ft", names: []string{"foot", "feet", "'"}, scale: footM, decimals: 1}
	Inch       = Unit{symbol: "in", names: []string{"inch", "inches", `"`}, scale: inchM, decimals: 1}
	Mile       = Unit{symbol: "mi", names: []string{"mile", "miles"}, scale: mileM, decimals: 2}

	SquareMetre = Unit{symbol: "m²", names: []string{"m2"}, decimals: 0}
	Hectare     = Unit{symbol: "ha", scale: hectareM2, decimals: 2}
	SquareFoot  = Unit{symbol: "ft²", names: []string{"ft2", "sqft"}, scale: footM * footM}
	Acre        = Unit{symbol: "ac", names: []string{"acre", "acres"}, scale: acreM2, decimals: 2}

	MetrePerSecond   = Unit{symbol: "m/s", decimals: 2}
	KilometrePerHour = Unit{symbol: "km/h", names: []string{"kph", "kmh"}, scale: 1 / 3.6, decimals: 1}
	MilePerHour      = Unit{symbol: "mph", names: []string{"mi/h"}, scale: mileM / 3600, decimals: 1}

	KgPerHa      = Unit{symbol: "kg/ha"}
	PoundPerAcre = Unit{symbol: "lb/ac", names: []string{"lbs/ac", "lb/acre"}, scale: poundKg * hectareM2 / acreM2}

	PerSquareMetre = Unit{symbol: "/m²", names: []string{"/m2"}}
	PerSquareFoot  = Unit{symbol: "/ft²", names: []string{"/ft2"}, scale: 1 / (footM * footM), decimals: 1}
	PerMetre       = Unit{symbol: "/m", decimals: 1}
	PerFoot        = Unit{symbol: "/ft", scale: 1 / footM, decimals: 1}

	Kilogram = Unit{symbol: "kg", decimals: 1}
	Pound    = Unit{symbol: "lb", names: []string{"lbs"}, scale: poundKg, decimals: 1}
	Gram     = Unit{symbol: "g", decimals: 1}

	KgPerCubicMetre = Unit{symbol: "kg/m³", names: []string{"kg/m3"}}
	PoundPerBushel  = Unit{symbol: "lb/bu", scale: poundKg / bushelM3, decimals: 1}

	Celsius    = Unit{symbol: "°C", names: []string{"C"}, decimals: 0}
	Fahrenheit = Unit{symbol: "°F", names: []string{"F"}, scale: fahrenheitK, offset: -32 * fahrenheitK}

	Pascal     = Unit{symbol: "Pa"}
	Kilopascal = Unit{symbol: "kPa", scale: 1000, decimals: 2}
	PSI        = Unit{symbol: "psi", scale: psiPa, decimals: 2}
	InchWater  = Unit{symbol: "inH₂O", names: []string{"inH2O"}, scale: inchWaterPa, decimals: 1}

	HectarePerHour = Unit{symbol: "ha/h", scale: hectareM2 / 3600.0, decimals: 1}
	AcrePerHour    = Unit{symbol: "ac/h", scale: acreM2 / 3600, decimals: 1}

	FootPerMinute = Unit{symbol: "ft/min", scale: footM / 60}

	SquareMillimetre   = Unit{symbol: "mm²", names: []string{"mm2"}, decimals: 1}
	Degree             = Unit{symbol: "°", names: []string{"deg"}, decimals: 1}
	Decibel            = Unit{symbol: "dB", decimals: 1}
	Nanosecond         = Unit{symbol: "ns", scale: 1e-9}
	WattPerSquareMetre = Unit{symbol: "W/m²", names: []string{"W/m2"}, decimals: 2}
	BitPerSecond       = Unit{symbol: "bit/s"}
	KilobitPerSecond   = Unit{symbol: "kbit/s", scale: 1000}

	Second  = Unit{symbol: "s", decimals: 1}
	Volt    = Unit{symbol: "V", decimals: 2}
	Ampere  = Unit{symbol: "A", decimals: 2}
	Ohm     = Unit{symbol: "Ω", names: []string{"ohm"}, decimals: 3}
	Percent = Unit{symbol: "%", scale: 0.01, decimals: 1}
)
