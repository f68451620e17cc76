// Package gpx reads position logs in GPX, the GPS exchange format, versions 1.0
// and 1.1: the points of all tracks and segments, in file order.
//
//	<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>
//	  <trkpt lat="51.2" lon="-106.3"><ele>577.1</ele><time>2026-05-12T09:15:30Z</time></trkpt>
//	</trkseg></trk></gpx>
//
// A trkpt becomes a record with lat, lon, speed, course and gnss.up_m (its ele).
// Version 1.0 has speed (m/s) and course (degrees) as elements of a point, 1.1
// has not, but writers put them among the extensions: an element called speed or
// course anywhere inside a point is taken, whatever its namespace. Waypoints and
// routes are plans, not recordings, and are passed over.
//
// Times are RFC 3339; one without a zone is taken as UTC and counted. A point
// without a time is left out and counted, and a file whose points have none is a
// fault. Tracks that go back in time by 2 s or more, as when a file holds a track
// twice, are left out from there until time goes on.
//
// XML that breaks off or is wrong from some place on gives the points before.
// Elements may lie 64 deep and a piece of text may have a mebibyte, so that no
// file asks for much memory.
//
// Source: GPX 1.1 schema, www.topografix.com/GPX/1/1/gpx.xsd.
package gpx
