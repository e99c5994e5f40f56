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
// The package does not know how devices enrol, who may do what, or how entries are
// stored: it is given an Admit function and a store.Register.
package exchange
