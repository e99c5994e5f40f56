// Package handover reads and writes the file in which a phone hands over what it has not
// sent, for the day on which there will be no signal at all: it is carried to the office
// by hand. It knows no store and no network; who takes a file in appends what is read.
//
// A hand-over file is a tar archive (POSIX.1-1988 ustar, so any archiver opens it) of:
//
//	about.json            first: {"format":"headcut hand-over","version":1, "device",
//	                      "author", "madeAt" (RFC 3339), "entries" and "photos" (how many),
//	                      "properties": the "id" and "name" of each that was begun on the
//	                      phone and that the office has not accepted}
//	entries.ndjson        next: one line for each entry, in the order of the device:
//	                      {"property":ID,"entry":TEXT}, TEXT being the entry's own text,
//	                      of which not a byte may differ, as a JSON string
//	photos/SHA.jpg        any number: the bytes as taken, named by their SHA-256
//
// Entries come before photos, so that of a file that was cut short the entries are there.
// A reader of version 1 refuses files of a later version and passes over members that it
// does not know.
//
// What is in a file stays on the phone too until a server has acknowledged it. Taking a
// file in twice, or after the phone has sent the same, changes nothing.
package handover
