package bus

// Delays of a bus. Source of both: ISO 11898 as printed in a microcontroller
// reference manual.
const (
	lineSPerM    = 5e-9   // along the pair, s/m
	transceiverS = 255e-9 // through one transceiver, out and in, worst case, s
)

// Seg1S is the length of a bit's first segment, s: from the end of the
// synchronisation quantum to the sample point, (sample - 1) quanta.
func (r Rate) Seg1S() float64 {
	return float64(r.Sample-1) / (float64(r.Quanta) * r.KbitS * 1e3)
}

// SamplePoint is the part of the bit after which it is read.
func (r Rate) SamplePoint() float64 { return float64(r.Sample) / float64(r.Quanta) }

// PropagationS is how long an answer takes to come back from the far end of
// a bus of a length in m, s: t_prop = 2 (t_trx + 5 ns/m L).
func PropagationS(lengthM float64) float64 {
	return 2 * (transceiverS + lineSPerM*lengthM)
}

// DelayLengthM is the length in m at which PropagationS fills the first
// segment; negative where the transceivers alone take longer.
func (r Rate) DelayLengthM() float64 { return (r.Seg1S()/2 - transceiverS) / lineSPerM }

// GuidanceLengthM is the length in m behind CiA's table of lengths (DS-102
// V2.0): half the first segment less the effective delay of a node in s, over
// 5 ns/m. The printed lengths are rounded.
func (r Rate) GuidanceLengthM(nodeS float64) float64 { return (r.Seg1S()/2 - nodeS) / lineSPerM }

// ThumbLengthM is the length in m of a rule of thumb for buses of over 100 m:
// Mbit/s x m <= 50 (Texas Instruments, application report SLLA486B).
func ThumbLengthM(kbitS float64) float64 { return 50 / (kbitS / 1e3) }
