// Package kml writes layers as one KML document (OGC 12-007r2, KML 2.3 as far as
// 2.2 goes): a folder for each layer, the columns as typed data of a schema, a
// colour and an outline for each kind of event, and the time where the recording
// has dates.
//
// Features without a place cannot be shown and are left out.
package kml
