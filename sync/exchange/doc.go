// Package exchange is the server's side of the conversation with a field device: it
// admits the device, appends what it pushes and acknowledges only what the store has made
// durable, reads out what it pulls, and hints when a property has grown.
//
// Each connection has one goroutine that reads and acts and one that writes. The reader
// takes one frame at a time and does not read the next before the store has answered, so
// a device that sends faster than the disk writes is held back by its own socket: nothing
// is queued without bound and nothing is dropped. Hints are kept as one number a
// property and sent once until the device pulls, so a device that does not read costs no
// memory; when a write to it does not get through in time the connection is closed, and
// the device's cursor heals the gap.
//
// # Limits
//
// Until its hello a connection is a stranger: it is read through 4 KB, compressed or not, for 10 s,
// and costs some 100 KB. One stranger too many ends the oldest (strangers.go). For a device that
// reads slowly a few frames wait, compressed (line.go): some 20 KB, 250 KB at worst; what it sends
// is held as one frame of at most 1.1 MB. How slow it may be is in sync/pace.
//
// A page is made once for all who pull it and kept compressed (pages.go), so that a thousand phones
// which come back at once cost what a few do.
//
// Who may write an entry is decided on the bytes that would be stored: the store asks the
// conversation about what it read (store.May).
//
// The package does not know how devices enrol, who may do what, or how entries are
// stored: it is given an Admit function and a store.Register.
package exchange
