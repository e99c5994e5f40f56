// Package geodesy measures lengths, areas, bearings and offsets on the WGS84 ellipsoid,
// and says how far the receiver's accuracy lets each be trusted.
//
// Positions are orb.Point{longitude, latitude} in degrees, longitudes from -180 to 180,
// as model.CheckPosition lets pass; other numbers give NaN or a meaningless number, never
// a panic. Lengths are metres and areas square metres, along the surface of the ellipsoid:
// a line up a slope is longer on the ground, and a height never enters. Sides between
// positions are geodesics, the shortest ways.
//
// It does no grid, no datum shift and no height: a paddock across the edge of a zone
// measures the same as any other. The sphere and the flat plane of degrees, which other
// libraries offer, are 0.4 % out at 25° south and are not used.
//
// Two methods work side by side. Karney's geodesics (C. F. F. Karney, Algorithms for
// geodesics, Journal of Geodesy 87:43-55, 2013; read as the library tidwall/geodesic,
// a translation of GeographicLib) are right to nanometres at any length. Between positions
// less than ShortM apart, where all field work lies, closed formulas give the same numbers
// many times faster; tests hold them to the first method.
package geodesy
