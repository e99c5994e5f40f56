// Package levelling reduces what was read through a level on a staff: level runs with
// their checks and adjustment, readings for setting out, and whether pegs stand on one
// contour.
//
// A book is reduced in whole tenths of a millimetre, so that its sums agree exactly or
// not at all; metres in and out are float64. Levels are metres on the run's own datum,
// upwards positive. Heights from a GPS have no place here: they err by metres where a
// contour errs by centimetres.
//
// The package does not know of features, files or pages.
package levelling
