// Package intake reads the files of other devices into captures for a register: GPX 1.1
// from a handheld, GeoJSON from a desktop program, and as CSV level books and tables of
// features. It goes
// by what a file holds and never by its name. It writes no such files, keeps nothing, and
// does not know stores: the caller appends the entries it makes.
//
// # Refused or reported
//
// A file that could be misread is refused whole, with the line, row or byte and what to
// do: positions that are not numbers or not on the earth, rings that are open, readings
// whose meaning is a guess, texts that are cut short or not what they claim to be.
// Whatever costs no position and no reading is mended or left out, and the report names
// each such place. A file read without a report was taken as it stands.
//
// # Fields
//
// Values that the table of kinds knows become its fields. Others stay with the feature
// under "x-" and their name in the file (xField): numbers and yes-no values as they are,
// nested values as their JSON text, and integers beyond 2^53 as text so that no reader
// loses their last digits. Elements of GPX extensions are "x-extensions." and their local
// name. The id a file gave a feature is "file-id": a label, never a key.
//
// Heights of a receiver are fields and no part of a place: gpsHeightM for a point,
// gpsHeightsM for anything longer, one a position in the order of the positions, through
// all parts, with null where the file has none. Tracks keep their instants likewise in
// "x-times", routes the names of their points in "x-pointNames".
//
// A GPX time is UTC. The day "where the officer stood" is that of the sun at the
// position: exact for everything seen more than an hour or so from midnight.
//
// # Reading a file again
//
// A record with the uid and version of an export is no new one but an edit of that feature,
// through whatever format other programs carried those two columns ([Ours], carried). For
// the others: neither GPX nor a level book has ids that last, and the ids of GeoJSON are often row
// numbers, so a record is what it says: the SHA-256 of its contents as the file gave them
// is its key, and its feature's id follows from the property and that key. The n-th of
// several equal records of one file has n in its key, so that all of them stay.
//
// Each record is one entry by a device of its own, with deviceSeq 1. Everything in the
// entry comes from the record, the property and the author, and both its id and its
// device's name come from the SHA-256 of the rest of the entry. Hence
//
//   - the same file read twice makes the same bytes: the register knows them all;
//   - a waypoint added to the file makes one new entry and leaves the others known, in
//     whatever order the handheld now lists them, and also from another file;
//   - no pair of device and deviceSeq ever belongs to two ids;
//   - what people changed since in the register stays changed, for no older value is written again;
//   - a register that was restored, and has only what phones said of the file's features since, gets what the
//     file says below that: a feature is known by an entry of an intake ([Makes]), never by its id;
//   - a waypoint renamed or moved on the handheld is another record, and so another
//     feature beside the first. Nothing is overwritten by guessing that two were one.
//
// A file read under two authors is two statements about the same features.
//
// The stamp of an entry is when the record was observed, so that an old file never
// outweighs a later edit; a record without a time has the lowest stamp there is.
package intake
