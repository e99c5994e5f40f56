// Package followup tells what came of works and what is due: which of them to look at next, how far
// gully heads cut back and their edges grew, how much silt and ground cover came from year to year, and what held.
//
// Of goes once over the features of a property and answers a Request. It has no arithmetic of its
// own: retreat, cover and whether a change is more than noise are those of package monitor, and what
// a visit found is as package figures reads it.
//
// # What counts
//
// A visit counts on its day, once it looked: a photo alone is no look. What it found of a work tells
// how that held only if it was built by then. Measurements from before the works count, since later ones are compared with them. Only what visits measured is compared: the field of a feature is
// edited in place, and nobody knows of which day its value is. Whatever does not count stands in
// Report.LeftOut with the reason; two people who set a field differently are never decided between.
//
// Every figure says where it comes from: observed at a visit or computed from such, of which visits,
// and how it was measured.
//
// The package knows no clock, no entries and no store. It is not part of the phone's program yet.
package followup
