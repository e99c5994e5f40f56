// Package wire is what a field device and the server say to each other over one
// WebSocket: the frames, how they are written, and the rule by which both ends may grow.
// It is pure: it opens no connection and keeps no state. What either end does with a
// frame is in sync/exchange (the server's side) and viewer/src/sync (the phone's).
//
// # A frame
//
// A frame is one text message in UTF-8. Its first line is a JSON object whose member
// "type" names it. In a push and a page each further line, up to the next line feed, is
// one entry: exactly the bytes its device wrote, which are also what is hashed. An entry
// is therefore one line of JSON; line feeds inside its texts are escaped as JSON asks.
// Keeping entries out of the object spares every reader, in a browser above all, from
// having to dig unchanged bytes out of a parsed document.
//
// From the device:
//
//	hello    version    newest version of this protocol the device speaks
//	         token      what enrolment gave it
//	         device     its id
//	         clockMS    its wall clock, milliseconds since 1970; never used to order entries
//	push     push       number of this push on this connection, from 1
//	         property   whose entries these are
//	         + lines    entries, at most MaxEntries and MaxBytes, oldest first
//	pull     property
//	         at         position after the last entry the device has; absent: the beginning
//	         entries    the most entries to send in a frame, fewer on a line that keeps
//	                    breaking; absent: FrameEntries
//	begin    property   id that the device gave to a property it began with no signal, and
//	         name       what it calls it; sent before the first push, as often as it likes.
//	                    Since version 2
//	missing  property
//	         ids        entry ids, at most MaxIDs, of which the device asks which are lacking
//
// From the server:
//
//	welcome  version    the version both ends will use: the lower of the two
//	         device     the id the token belongs to
//	         clockMS    the server's wall clock
//	         properties ids of the properties this device may read and write
//	         epoch      the store's present epoch, "" when it does not tell
//	         limits     entries, bytes: what may be unacknowledged at a time
//	         pingMS     how often the server pings; silence of 5/2 of it means the link is dead
//	         about      of each of them id, name, begun when a device began it and the office
//	                    has not accepted it yet, into when it was merged into another: the
//	                    features of both are then one property's. Absent from servers that do
//	                    not tell
//	begun    property   answers a begin, as in about; a problem does when it is refused
//	receipts push       the push they answer
//	         property
//	         receipts   one for each line, in order: id, n, highSeq; known when it was there
//	                    already; refused, why, when it was not taken, with cloned when another
//	                    entry has its device and deviceSeq and the device must enrol again;
//	                    clockOffS, by how much the stamp is ahead, when by a day or more
//	page     property
//	         first      number of the first entry
//	         arrivedMS  for each line, when the server took it, milliseconds since 1970
//	         at         position after the last line
//	         last       number of the property's last entry, so that the device can say how
//	                    much there is to come; it may have grown since. Absent in an empty
//	                    page, and from servers that do not tell
//	         more       true when more frames follow without being asked for
//	         + lines    entries in the order of their numbers
//	forked   property   the position of the last pull is not of this register
//	         epochs     oldest first: id, and branch, the number up to which this property is
//	                    the same as in the epoch before
//	         marks      positions of the register as it now is, highest first, the beginning
//	                    last: the device goes on from the first whose hash is its own at that
//	                    number
//	lacks    property
//	         ids        those of a missing that the register does not have
//	hint     property   has grown; sent once until the device pulls
//	         n          to at least this number
//	wanted   photos     SHA-256 in hex of photos that this device's entries name and the server does
//	                    not have, at most MaxPhotos: the device sends again those that it has.
//	                    Soon after a welcome; older readers pass it over
//	later    afterMS    come back at a random moment from afterMS to afterMS + withinMS from
//	         withinMS   now; until then nothing will be taken
//	problem  problem    path, reason, fix
//	         push       the push it is about, 0 when about none; nothing of that push was taken
//	         property   the property it is about, if any
//	         closing    true when the server ends the conversation with it
//
// A pull is answered by pages until more is false, or by forked. Every push is answered,
// in order, by receipts or a problem with its number.
//
// One connection carries all properties of a device: pushes, pulls and positions name theirs, so
// that several cost no further handshake or ping.
//
// # Version rule
//
// A reader passes over members and frame types it does not know. A new member or type
// that an old reader may pass over without harm needs no new version. Anything else gets
// the next version and is only sent after a welcome that names it. The hello and the
// members above stay readable for ever; testdata keeps a sample of every version shipped.
//
// # Compression
//
// Frames over CompressOver bytes are worth permessage-deflate (RFC 7692); smaller ones
// are not. 20 to 100 entries a frame compress to about a tenth, receipts to half, so that a
// server packs those from 4 KB on.
package wire
