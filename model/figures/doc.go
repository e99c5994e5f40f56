// Package figures works out what is known of each feature of a property: its length and
// area, where a dam stands in its gully and whether it meets the next one, whether a rip
// line keeps to the contour, whether a level run closes. Every figure carries its
// plus-minus, what it was measured with and the rule behind it.
//
// One pass, Survey, keeps only what figures of other features rest on (thalwegs, level
// runs, dams); Of then answers for one feature at a time, so that an export of any size
// streams. It has no rules of its own: those are in geodesy, levelling, section and works.
// What visits found stands in Sheet.Visited: whoever shows a condition, or a value that is
// measured at visits, shows that and its day, and no field of the feature of that name.
//
// A distance that was taped up from the dam below is kept as it was measured, with which dam it was;
// spacings and chainages follow from it, at once or when the chainage of either becomes known
// (reach.go).
//
// A Cache holds the sheets of a property and renews those that an entry touches: a dam, a level
// run or a thalweg concerns the dams of its gully and those taped from them (stand.go), and for a
// thalweg all dams are asked once whether they lie near it. Nothing here draws.
package figures
