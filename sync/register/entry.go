package register

import (
	"encoding/json"

	"headcut/model"
)

// Version is the newest entry encoding this program folds. An entry of a newer version
// is stored, numbered and passed on, but not folded.
const Version = 1

// ID is a UUIDv7 (RFC 9562) in its 36-character text form, made on the device.
type ID string

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

	Set    model.FieldValues `json:"set,omitempty"`    // null clears a field
	Strike *bool             `json:"strike,omitempty"` // true strikes the feature out, false restores it
}

// Numbered is an entry as a register holds it.
type Numbered struct {
	N       uint64 // gapless per property, from 1
	Capped  Stamp  // the entry's stamp, held to at most five minutes past Arrived
	Arrived Arrival
	Hash    Hash
	Entry   Entry
	Raw     json.RawMessage // the bytes the device wrote
}
