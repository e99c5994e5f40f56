// Package export writes the features of a property as files that desktop programs open:
// GeoJSON (RFC 7946) and KML 2.2 (OGC 07-147r2), one file per format here, one row each in
// Formats. It is not for reading files, for access control beyond withholding what is
// marked sensitive, or for working figures out: those come from model/figures.
//
// What every format keeps to:
//
//   - A column has the same name and type in every file: uid, kind, the fields of the table
//     of kinds with their unit in their name, the figures with plus-minus and basis, checks
//     and cautions. Lists (photos, heights, level-book rows) are JSON text. A value that is
//     not known is left out, so that no column of nulls is taken for one of texts.
//   - A value that is not of its field's type is never lost and never breaks the type: its
//     column stays empty and its JSON text stands under the name with AsRecorded behind it.
//     Fields the table does not know are kept under their own names.
//   - Positions have 8 decimals: at most 5e-9 degrees, or 0.6 mm, from what was recorded,
//     so that a reader's own ruler agrees with the figures. A figure and its ± end two digits
//     after the first of the ±; without one, where compute ends figures of its unit. Recorded
//     fields keep every digit: by them intake knows what was edited.
//   - Heights of a GPS are columns, never a third number of a position.
//   - Shells run anticlockwise and holes clockwise; lines and areas are cut at the
//     antimeridian. Lists that go with positions keep the order of the recording.
//   - Control characters that XML 1.0 cannot carry are left out of texts, in every format.
//   - The same features give the same bytes, and memory does not grow with their number.
//   - When the source fails, the file is left without its end, and no reader takes it for
//     a whole one.
package export
