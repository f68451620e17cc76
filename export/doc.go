// Package export hands a reviewed day to the programs that growers and
// agronomists already use.
//
//	day, err := export.Read(folder, "review")   // what runproof review wrote
//	layer := day.Skips()                        // or day.Events(), day.Track(), day.Runs()
//	err = export.WriteGeoJSON(w, layer)         // RFC 7946
//
// A Layer is a table whose features may have a place. There are four:
//
//	skips    polygons: the ground of one event that got no product or too little
//	events   points where each event began, where that is known
//	track    lines where the drill worked, if the recording was followed (Day.Follow)
//	runs     no geometry: one line for each watched run
//
// The sub-packages write layers in the form of one program each: shapefile,
// geopackage (as the statements that a database is to run), kml, workbook. The
// package tasks writes ISO 11783-10 task data from skips and a drill.
//
// Places are longitude and latitude in degrees, WGS 84. Ground is made sound
// when it is read: rings are closed and have no two equal places in a row, outer
// ones run counter-clockwise; what crosses the 180th meridian is cut there (RFC
// 7946, 3.1.9); a strip that runs over itself in a turn becomes the ground that
// it covers, once (OGC 06-103r4, 6.1.11: the rings of a polygon do not cross).
package export
