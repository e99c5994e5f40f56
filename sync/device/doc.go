// Package device is a phone in Go, in memory. An officer's day reads
//
//	d, err := device.Enrol(ctx, "https://register.example", code, "A. Officer", time.Now)
//	err = d.Set(property, feature, device.Fields{"kind": "gully-head", "headDepthM": 1.6})
//	err = d.Photo(property, feature, jpeg)
//	err = d.Sync(ctx)
//
// It is for the demo and for measuring alone. It keeps nothing and does not try again: its first
// error ends it. Officers' phones run viewer/src/storage and viewer/src/sync, with the same frames
// (sync/wire) and the same fold (sync/register); viewer/fieldtest/node plays those against the
// server.
package device
