// Package mapgrid turns positions into eastings and northings of the map grids that paper
// maps and desktop systems use, and back: UTM for any place, and the Map Grid of
// Australia, which is the same projection on Australia's own datum.
//
// It is for reading and writing coordinates. Nothing is measured on a grid: its distances
// are not ground distances, and its zones do not join. Lengths and areas are those of
// package geodesy.
package mapgrid
