// Package boltstore keeps registers in one bbolt file and photos as files beside it, on
// one machine. It is meant for up to about ten million entries; it does not replicate.
//
// # Writing
//
// One goroutine, the committer, owns all writing. It drains a bounded queue of frames,
// up to about a thousand entries, into one transaction: numbers them, folds them into
// their features, keeps the indexes, commits, and only then answers. A full disk is reported
// as [store.ErrFull] and writing goes on once there is room; after any other failed
// commit the store takes nothing more.
//
// Devices take turns at the committer (queue.go), and a commit takes so much work and no more: a
// feature has at most 2 MB. An entry that others have overtaken needs all entries of its feature
// read; where they are many the Append that brought it reads them, and of more than 20,000 entries
// or 32 MB it is refused (past.go).
//
// # Backups
//
// A backup says in its own register that it is one (backupmark.go), so that a copied or renamed one
// is still refused by whatever serves or writes: it would let in whom the office shut out since. The
// mark also says that a backup is unfinished until its last photo has come. The register knows how
// many photos came (photocount.go), so that a lost photo folder is noticed. Salvage follows no tree:
// it takes each record that proves itself from every page of a damaged file (salvage.go).
//
// # Reading
//
// No read holds a transaction while its caller works: a page is copied, the transaction
// ends, the page is handed out. Whatever is read is checked against its checksum, entries
// besides against their SHA-256. A page fault from a broken file becomes
// [store.ErrDamaged], never the end of the process.
//
// # Buckets
//
// Numbers in keys are big-endian. A sealed value begins with a CRC-32C over the key and
// the rest of the value.
//
//	meta      "format" → sealed: disk format (1 byte), register.Version, register.StateVersion
//	epochs    k (8) → sealed JSON of store.Epoch, in order of their lives
//	props     property → sealed: its number (4), newest n (8), chain hash at n (32), how many
//	          features it has (8) and the exclusive or of their rows' checksums (4)
//	devices   property number (4), device → sealed: highest gapless deviceSeq (8), then first
//	          and last (8, 8) of each run of deviceSeqs beyond a gap
//	entries   property number (4), n (8) → sealed: format (1), capped stamp (8), arrival
//	          in ms since 1970 (8), n of the feature's entry before this (8), entry hash
//	          (32), chain hash (32), entry as received
//	ids       UUID (16) → sealed: property number (4), n (8)
//	features  property number (4), feature → sealed: n of its newest entry (8), state
//
// The entries of a feature are a list linked through the entries bucket, newest first.
// Everything but entries and epochs is derived from them. A file of a newer disk format is
// refused; features of another fold are folded again on opening, and a file of the first format
// loses its index of places, the bucket cells, when it is opened to be written to.
package boltstore
