// Package device is a field device: it keeps what the officer captures, with or without
// signal, and brings it to the register and the register to it. An officer's day reads
//
//	d, err := device.Open(dir, device.Options{})
//	err = d.Enrol(ctx, "https://register.example", code, "A. Officer")
//	head, err := d.Capture(property, device.Fields{"kind": "gully-head", "headDepthM": 1.6})
//	err = d.Set(property, head, device.Fields{"active": true})
//	err = d.Photo(property, head, jpeg)
//	err = d.Strike(property, head)
//	err = d.Sync(ctx)
//
// A capture has returned when it is on the device's own disk, in one transaction: the
// entry, its deviceSeq and the feature as it now stands. An entry stays in the outbox
// until its receipt, and on the device after that: a server restored from an older copy
// gets it again. Everything may be cut or killed at any moment and tried again.
//
// The package is used by the demo and by tests. The officer's phone does the same and more in the
// browser, with the same frames (sync/wire) and the same fold (sync/register);
// viewer/fieldtest/node plays that against the server.
//
// # On disk
//
// device.db is one bbolt file; photos/SHA are the photos not yet long on the server.
//
//	device      "self" → who the device is, as JSON
//	photos      sha (32 bytes) → size (8), "w" while it waits for the server's receipt
//	p/PROPERTY  a bucket a property, with in it
//	  entries   id → n (8), arrival in milliseconds (8), flags (1), the entry's bytes
//	  waiting   place in the outbox (8) → id
//	  refused   id → why the server did not take it
//	  about     feature, 0, id → nothing
//	  features  feature → its state, as sync/register encodes it
//	  line      n (8) → chain hash up to n
//	  marks     "cursor" → position, "seq" → deviceSeq (8), "check" → ask for what is missing
//
// Numbers are big-endian.
package device
