package register

import (
	"crypto/sha256"
	"encoding/json"
	"time"
)

// Version is the newest entry encoding this program folds. An entry of a newer version
// is stored, numbered and passed on, but not folded.
const Version = 1

// ID is a UUIDv7 (RFC 9562) in its 36-character text form, made on the device.
type ID string

// Hash is the SHA-256 of an entry's bytes as they were received.
type Hash [sha256.Size]byte

// Entry is one immutable statement by one device about one feature: set these fields, or
// strike it out. It travels and is stored as the JSON text the device wrote, byte for
// byte, and its hash is over that text, so members this program does not know survive.
type Entry struct {
	Version   int    `json:"v"`
	ID        ID     `json:"id"`
	Property  string `json:"property"`
	Feature   string `json:"feature"`   // id of the feature, made on the device that first saw it
	Device    string `json:"device"`    // made at install, never from hardware
	DeviceSeq uint64 `json:"deviceSeq"` // from 1, without gaps, per device and property
	Stamp     Stamp  `json:"stamp"`
	SeenAt    string `json:"seenAt"` // RFC 3339 with offset: when the officer saw it, by the device
	Author    string `json:"author"`

	// Saw is what the device had applied of this feature when it wrote the entry: for
	// each other device, the highest DeviceSeq of that device's entries about this
	// feature. A device always has seen its own earlier entries. Being per feature it is
	// small, and being free of the server's numbers it means the same after a restore.
	Saw map[string]uint64 `json:"saw,omitempty"`

	Set    map[string]json.RawMessage `json:"set,omitempty"`    // field name to value; null clears
	Strike *bool                      `json:"strike,omitempty"` // true strikes the feature out, false restores it
}

// Stamp is a hybrid logical clock: milliseconds since 1970 by the device's clock, pushed
// ahead of every stamp the device has seen, with a counter for events within one
// millisecond in the low bits.
type Stamp uint64

const stampCounterBits = 16

// StampAt is the stamp of a wall-clock instant with its counter at zero.
func StampAt(t time.Time) Stamp {
	ms := t.UnixMilli()
	if ms < 0 {
		return 0
	}
	return Stamp(ms) << stampCounterBits
}

// Time is the wall-clock part of the stamp.
func (s Stamp) Time() time.Time { return time.UnixMilli(int64(s >> stampCounterBits)).UTC() }

// Next is the stamp for an event at now by the device's clock that comes after last, the
// greatest stamp the device has made or seen.
func Next(last Stamp, now time.Time) Stamp {
	return max(StampAt(now), last+1)
}

// Numbered is an entry as a register holds it.
type Numbered struct {
	N       uint64 // gapless per property, from 1
	Capped  Stamp  // the entry's stamp, held to at most five minutes past Arrived
	Arrived time.Time
	Hash    Hash
	Entry   Entry
	Raw     json.RawMessage // the bytes the device wrote
}
