// Package server ties the parts together over HTTP: devices enrol and sync, photos come
// and go, computations answer, and a landholder's link shows the works of one property.
// It decides who may do what, and holds that as entries of an office register, so that
// an enrolment, a link and their revocation are evidence like everything else.
//
// It computes nothing itself (model does), stores nothing itself (sync/store does), and
// formats nothing itself (export does). server.go has the routes.
//
// # Rights
//
// Devices, codes, links and properties are records of the office register (officerecords.go);
// secrets are kept as hashes. The records are typed and indexed (officetable.go): what a request
// looks up takes as long among 20,000 as among 100 (TestLookupsDoNotGrow). Their field names
// stay, so that older registers read as they are.
//
//   - A device writes entries under its own id, by an author that the office granted it. All
//     rights come from codes (enrol.go). A code that the office makes to enrol a phone again gives
//     what the phone had and ends its former id, whose token then lets nobody in and seals nothing;
//     a former id that is proved by its token alone moves no right (enrolagain.go).
//   - A property taken from a device is written down as withheld, since a used code, the device
//     itself or a merge would give it back (narrow.go).
//   - A restored or salvaged register lets nobody in until the office confirms each device and
//     link: nobody knows what was revoked since (keptshut.go). What the replaced register took
//     away is carried over, never what it gave (carryover.go).
//   - A merge is one entry of the office, and the entries of a merged property stay as they are.
//     Whoever reads a property reads its parts (propertyfeatures.go). Copies would be statements that nobody
//     made; a merge can be repeated and undone, and takes in what phones still send. What is written of a
//     feature goes under the part that keeps it, and is refused elsewhere.
//
// # Files handed in
//
// Of a phone's file (sync/handover) each line is judged by itself. What the phone sealed and may
// send goes in as if it had sent it (seals.go); all else goes in as a copy that says who handed
// it in, under no number of the phone's (handedin.go), and gives way when the phone sends its own.
//
// # Photos
//
//   - A photo belongs to a property when a device whose entry brought its name in there has
//     also sent its bytes (photonames.go). To learn a hash and name it gives no right; any other
//     photo is answered as one that has not come, and its bytes are asked for.
//   - Photos that are named and not here are asked for again (absentphotos.go).
//   - What devices and properties keep is bounded; photos are refused first (room.go).
//   - On a link a photo is drawn again, so that nothing else of its file leaves (drawnphoto.go). The
//     stored photo stays as it came, and phones get it so.
//   - A photo is drawn only where its headers promise bounded work (jpegwork.go).
//
// # Links
//
// What a link shows is an allow-list: a new field is private until somebody adds it. Page, data
// and files pass through the same list (linkview.go, linkexport.go).
//
//   - What is shown is kept in a book and renewed by what changed (linkbook.go). Nothing older
//     than the register is given: what an officer hides is hidden at once.
//   - Of a property whose lists are longer than 256 KB the page has an index, and the lists come
//     in blocks named after their content, kept by browsers for ever. Where a block ends depends
//     on an item's id alone (blocklist.go), so that an item that comes or goes changes one block.
//     Joining compressed files of blocks to one answer would save the processor and not
//     the line.
//
// # Limits
//
// What strangers can use up is bounded, and one more ends the oldest instead of being refused: an
// honest device needs one round trip, so it is never the oldest. `headcut help serve` has the
// numbers for operators.
//
//	HTTP connections                       gate.go
//	connections of devices                 sync/exchange/strangers.go
//	bytes and photos of a device           room.go, sync/photo/receiving.go, sync/store/boltstore/parts.go
//	features that a device has rewritten   sync/store/boltstore/rewriting.go: 16 MB at once, then 4 MB a second
//	steps that a client may have computed  allowance.go
//	computations at a time                 turns.go: all processors but one
//	photos drawn again at a time           drawnphoto.go: long pictures wait in a lane of their own
//	TLS handshakes at a time               server/headcut/handshakes.go: all processors but one
//	how slow a connection may be           sync/pace/pace.go
//	memory of what links show              packedview.go, bookrenewal.go
//
// A right code is never held back: each costs one look-up by its hash, right or wrong. After 20
// wrong ones a minute from an address, or 10 tries of one code, the answer to a wrong one is 429.
// A code's 50 random bits make guessing hopeless, so locking an address out would help only whoever
// wants to keep officers out.
//
// asvs.md says how each requirement of the OWASP ASVS 5.0.0, level 2, is met, or why it is not.
package server
