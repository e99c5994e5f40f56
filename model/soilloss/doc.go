// Package soilloss compares the soil that sheet and rill erosion takes off a hillslope
// before and after its ground cover changed: a ratio first, tonnes only where somebody
// else's rain and soil factors are given.
//
// It knows long-run averages of bare and covered slopes. It says nothing of gullies, of
// tracks, or of a single storm, and it never mixes the cover factors of two series.
package soilloss
