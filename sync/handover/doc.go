// Package handover reads and writes the file in which a phone hands over what it has not
// sent, for the day on which there will be no signal at all: it is carried to the office
// by hand. It knows no store and no network; who takes a file in appends what is read.
//
// A hand-over file is a tar archive (POSIX.1-1988 ustar, so any archiver opens it) of:
//
//	about.json            first: {"format":"headcut hand-over","version":2, "device",
//	                      "author", "madeAt" (RFC 3339), "entries" and "photos" (how many),
//	                      "properties": the "id", "name" and "seal" of each that was begun
//	                      on the phone and that the office has not accepted}
//	entries.ndjson        next: one line for each entry, in the order of the device:
//	                      {"property":ID,"entry":TEXT,"seal":HEX}, TEXT being the entry's
//	                      own text, of which not a byte may differ, as a JSON string
//	photos/SHA.jpg        any number: the bytes as taken, named by their SHA-256
//
// Entries come before photos, so that of a file that was cut short the entries are there.
// A reader refuses files of a later version and passes over members that it does not know.
// Version 1 had no seals: its lines are read as unsealed.
//
// A seal is the HMAC-SHA-256 (RFC 2104) of "headcut hand-over 2", a line feed, the property's
// id, a line feed and the entry's text, under the SHA-256 of the device's token, which is all
// that a server keeps of it; in lower-case hex. A property begun is sealed in the same way, with
// "headcut hand-over 2, begun" and its name. Each line has its own, so that lines which were cut off, damaged or put
// together from two phones' files cost themselves alone, and what the same phone wrote under a
// former id can stand beside the rest. What a seal of the whole file would add is of no use: a
// line left out is still on the phone, the entry's own number gives the order, and a photo is
// named by its hash in a sealed entry. A line without a seal is no worse than a file of version 1.
//
// The key needs no secret that phones enrolled long ago lack. A seal proves nothing to somebody who
// distrusts the office, which has the key too. How a server takes a file in is in package server.
//
// What is in a file stays on the phone too until a server has acknowledged it. Taking a
// file in twice, or after the phone has sent the same, changes nothing.
package handover
