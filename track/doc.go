// Package track holds where machines go: positions on the WGS 84 ellipsoid, a
// local plane that is good to a millimetre over a field, and places on an
// implement seen from its antenna.
//
// A Plane has its origin at a latitude and longitude; north and east are
// metres on a transverse Mercator grid whose central meridian passes through
// the origin at true scale (Redfearn 1948, Empire Survey Review 9:318; to the
// fourth power of the longitude):
//
//	east  = N cos(lat) p (1 + p^2 (cos^2 - sin^2 + e'^2 cos^4)/6)
//	north = S(lat) - S(lat0) + N sin(lat) cos(lat) p^2/2 (1 + p^2 (5 cos^2 - sin^2 + 9 e'^2 cos^4)/12)
//
// where p is the longitude from the origin, N the radius of curvature across
// the meridian and S the length along it. The scale is 1 + (east/R)^2/2: too
// long by 0.05 mm in a kilometre, 2 km from the origin's meridian.
//
// Headings are degrees from true north, clockwise, and bodies are described as
// the drill is: metres forward and right.
package track
