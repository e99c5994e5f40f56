// Package register is the merge at the heart of the sync: what an entry is, how it is
// written, which of two entries knew of the other, and how the entries of a feature fold
// into its present state. Servers and devices run the same code and come to the same
// bytes, whatever the order in which entries reach them.
//
// The package is pure: no files, network, clock or randomness. It does not number
// entries, store them or send them.
//
// # An entry
//
// An entry is one JSON object (RFC 8259) in UTF-8 of at most 256 KiB, on one line: it has
// no line feed, because entries travel as lines. It is never rewritten: stores and
// devices keep and pass on the bytes that the device wrote, and the
// entry's hash is the SHA-256 of those bytes. (So an entry must not be put through
// [encoding/json.Marshal] inside another document unless [Encode] wrote it: compacting or
// escaping would change the bytes.) No object in it may name a member twice.
//
//	v          whole number from 1: the encoding's version
//	id         UUIDv7 (RFC 9562), 36 characters in lower case
//	property   the property's id: 1 to 64 of a-z, 0-9 and "-"
//	feature    the feature's id, the same alphabet
//	device     the device's id, the same alphabet
//	deviceSeq  whole number from 1, below 2^53, without gaps per device and property
//	stamp      hybrid logical clock, 16 lower-case hexadecimal digits: 48 bits of
//	           milliseconds since 1970, then a 16-bit counter. It is text because it is
//	           larger than the whole numbers all JSON readers keep exactly.
//	seenAt     RFC 3339 time with its offset, by the device's clock
//	author     who says so, 1 to 200 characters
//	saw        object, may be absent: for other devices, the highest deviceSeq of their
//	           entries about this feature that this device had applied
//	set        object: field name to any JSON value, null clears the field
//	strike     true strikes the feature out, false restores it
//
// An entry of version 1 has either set, with at least one field, or strike. Members not
// named here are kept and passed over. Versions above [Version] need only the members up
// to deviceSeq, by which an entry is numbered and found; they are not folded.
//
// # Seen
//
// Entry E saw entry F of the same feature when both are of one device and F has the lower
// deviceSeq, or when E.saw of F's device reaches F's deviceSeq, or when E saw an entry
// that saw F. Who saw an entry, its own device first of all, also saw the copies of it that an office
// handed in ([CopyDevice]); a copy saw no more than its saw says. But E.saw reaches no entry that came to
// the register after E under a stamp of E's arrival or past it: that was not written yet. E supersedes F when E saw F and F did not see E; entries that claim to have
// seen each other supersede neither way unless they are of one device.
//
// An entry says what it saw per feature and device, and not by a server's number: the fold is then
// a function of the feature's entries alone, which arrival order, repeats and restores cannot
// change. It is small too: the first entry of a feature carries none. What a phone wrote before
// that arrival and sent after it can still be claimed, since after a restore honest phones do that.
//
// # Fold
//
// The state of a feature is a function of the set of its entries. For each field, the
// claims are the writes that no other write of that field supersedes. The value is that
// of the claim with the greatest effective stamp, ties going to the greater device id;
// claims of different values are a clash. The effective stamp of an entry is its
// capped stamp ([Capped]), or one more than the greatest effective stamp among the
// entries it supersedes, whichever is greater: so having seen an entry always beats a
// clock. Striking out is folded like a field, and besides clashes with every edit that it
// did not see and that did not see it: the feature is struck out and the clash is shown.
//
// # State
//
// [State.Apply] folds in one entry, [Gather] all of a feature; tests hold the one to the other. The
// store cannot do with Gather alone: for one more entry of a level run that was saved 200 times it
// takes 3,000 times as long, ten times what an append may.
//
// [State.Encode] is the form in which a store keeps a folded feature; stateform.go has it
// field by field. It is derived from entries and may be thrown away and folded again; a
// change of it needs a new [StateVersion].
package register
