// Package load measures the server under a crowd and under attack: the real program, in a
// process of its own, behind TLS, with a thousand devices that connect from addresses of their
// own. Nothing but tests is here. `make load` holds it to its goals; a plain test run goes
// through the motions with few devices, and holds it to all but the times.
//
// It reads the memory of the process from proc(5) and uses the whole of 127.0.0.0/8, and so
// needs Linux.
package load
