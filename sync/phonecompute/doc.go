// Package phonecompute is what the field page asks of Go besides the computations: to fold the
// entries it keeps into features by the register's own rule, to work out the figures
// of a property's features and to plan works from them, as the server does. Questions and answers are JSON, so that
// the page needs no more than a pair of functions; they are refused as *model.Problem.
//
// It is pure: the page's store, its outbox and its conversation with the server are
// TypeScript in viewer/src/storage and viewer/src/sync. A device that runs Go is in sync/device.
package phonecompute
