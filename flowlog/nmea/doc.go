// Package nmea reads position logs of NMEA 0183 sentences, as GNSS receivers
// send them and loggers write them.
//
//	$GNRMC,091530.00,A,5112.00000,N,10618.00000,W,4.276,0.00,120526,9.8,E,R*19
//	$GNGGA,091530.00,5112.00000,N,10618.00000,W,4,18,0.7,577.12,M,-21.40,M,1.0,0120*6C
//
// A sentence runs from $ to the end of the line or to the next $; what stands
// before $, such as a logger's own time stamp, is skipped. The two digits behind
// * are the exclusive or of all between $ and *, in hexadecimal. A sentence that
// fails it is left out and counted; one that has none is taken and counted.
//
// RMC, GGA, VTG and ZDA of any talker are read, the last three letters telling
// which. Sentences of equal time make one record: lat, lon, speed, course and
// gnss.quality, gnss.satellites, gnss.hdop and gnss.up_m (above mean sea level).
// The first that says a thing is believed; where two receivers put one moment
// more than apartM apart, that is told. VTG has no time and belongs to the
// sentence before it. A void fix leaves position and speed missing; course is
// missing below 0.3 m/s, where it is noise.
//
// Dates are those of RMC and ZDA (two digits: 80 to 99 are 1980 to 1999); a time
// of day more than 12 h before the last one is the next day's. A log whose first
// records hold no date is in seconds since its first midnight.
//
// Sources: NMEA 0183 as in general use, from memory; the sample set's decoded
// values are those of npm nmea-simple and gps (testdata/SOURCE.md).
package nmea
