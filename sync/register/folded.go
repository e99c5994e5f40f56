package register

import (
	"encoding/json"
	"strconv"
	"strings"

	"headcut/model"
)

// Folded is the state of one feature after all its entries.
type Folded struct {
	Feature string                     `json:"feature"`
	Fields  map[string]json.RawMessage `json:"fields"` // the winning values; cleared fields are absent
	Struck  bool                       `json:"struck,omitempty"`
	Clashes []Clash                    `json:"clashes,omitempty"` // by field
	N       uint64                     `json:"n"`                 // number of the newest entry folded in

	// Not of the form a phone keeps:
	Seen     Fingerprint `json:"-"` // of the entries folded in
	Awaits   bool        `json:"-"` // entries say they saw what an intake wrote of it, and that is not here
	Recorded Word        `json:"-"` // the first entry
	Changed  Word        `json:"-"` // the newest entry
}

// Word is who wrote an entry and when, by the device's clock; empty when there is none.
type Word struct {
	Author string
	SeenAt string // RFC 3339 with offset
}

// Fingerprint tells which entries of a feature a state was folded from: a 64-bit FNV-1a hash
// of each device's highest deviceSeq. Two states of a feature with the same one hold the
// same entries, but for a chance of one in 10^19; it proves nothing against forgery.
type Fingerprint uint64

const (
	fnvStart Fingerprint = 14695981039346656037
	fnvPrime Fingerprint = 1099511628211
)

// and adds a device's highest deviceSeq; devices must come in rising order.
func and[T string | []byte](f Fingerprint, device T, seq uint64) Fingerprint {
	for i := range len(device) {
		f = (f ^ Fingerprint(device[i])) * fnvPrime
	}
	f *= fnvPrime // a zero byte, which no device's id has
	for range 8 {
		f = (f ^ Fingerprint(seq&0xff)) * fnvPrime
		seq >>= 8
	}
	return f
}

// FingerprintOf is that of the entries that somebody has of a feature: by device, the highest deviceSeq.
func FingerprintOf(saw map[string]uint64) Fingerprint {
	seen := fnvStart
	for _, device := range model.Keys(saw) {
		seen = and(seen, device, saw[device])
	}
	return seen
}

// Append writes the fingerprint as a "v" and 16 lower-case hexadecimal digits. The letter
// keeps programs that guess types from taking it for a number.
func (f Fingerprint) Append(dst []byte) []byte {
	const hex = "0123456789abcdef"
	dst = append(dst, 'v')
	for shift := 60; shift >= 0; shift -= 4 {
		dst = append(dst, hex[f>>shift&0xf])
	}
	return dst
}

// ParseFingerprint reads what Append writes and nothing else.
func ParseFingerprint(text string) (Fingerprint, bool) {
	digits, ok := strings.CutPrefix(text, "v")
	if !ok || !isHex(digits, 16) {
		return 0, false
	}
	v, err := strconv.ParseUint(digits, 16, 64)
	return Fingerprint(v), err == nil
}

// Clash is a field that two devices set to different values, neither having seen the
// other's entry. It lasts until an entry that saw both sets the field.
type Clash struct {
	Field  string  `json:"field"`  // "strike" when one struck out what the other edited
	Values []Claim `json:"values"` // the one shown first is the one in Fields
}

// Claim is one side of a clash.
type Claim struct {
	Value  json.RawMessage `json:"value"`
	Entry  ID              `json:"entry"`
	Device string          `json:"device"`
	Author string          `json:"author"`
	SeenAt string          `json:"seenAt"`
}

// Model is the feature as computations and exports take it, in the words of today. A place that cannot be read
// is left out; the entry that set it was refused or is of a newer version.
func (f Folded) Model() model.Feature {
	out := model.Feature{ID: f.Feature, Fields: f.Fields}
	out.Kind = out.Text("kind")
	out.Fields = model.Now(out.Kind, out.Fields)
	if raw, ok := f.Fields["geometry"]; ok {
		out.Geometry, _ = model.ParseGeometry(raw)
	}
	return out
}
