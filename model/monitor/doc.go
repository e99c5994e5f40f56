// Package monitor measures how ground and works changed between visits: how far a
// gully's head cut back and by how much its outline grew, how much earth is gone, how much
// silt the dams caught, and whether the ground cover meets its target.
//
// Each figure carries one standard deviation, worked out from the accuracies given, and
// each question of change is answered "yes" or "no" only where the measurements can tell.
// Lengths are metres, areas square metres, slopes per cent, dates calendar days.
//
// It plans no works (package works) and reads no clock: what is due, and whether a date lies
// in the future, is decided by callers who know the day.
package monitor
