// Package track holds where machines went: positions on the WGS 84 ellipsoid,
// a local plane good to millimetres over a field, and places on an implement
// seen from its antenna.
//
// A Plane has its origin at a latitude and longitude; north and east are
// metres along the meridian and the parallel there. Headings are degrees from
// true north, clockwise.
package track
