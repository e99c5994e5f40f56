package boltstore

import (
	"bytes"
	"encoding/binary"
	"time"

	"headcut/sync/register"
)

// record is an entry as the entries bucket holds it.
type record struct {
	capped  register.Stamp
	arrived time.Time // whole milliseconds
	prev    uint64    // number of the feature's entry before this one, 0 for none
	hash    register.Hash
	chain   register.Hash
	raw     []byte
}

const (
	recordFormat = 1
	recordHead   = 1 + 8 + 8 + 8 + 32 + 32
)

// recordStart is where the bytes of an entry stand in its sealed record.
const recordStart = sealLen + recordHead

// unsealed takes room for the record of an entry from the front of memory and puts the entry's
// bytes in their place in it, as the one copy of them that the committer needs.
func unsealed(text, memory []byte) (room, raw, left []byte) {
	end := recordStart + len(text)
	room, left = memory[:end:end], memory[end:]
	raw = room[recordStart:]
	copy(raw, text)
	return room, raw, left
}

// seal fills in room that unsealed made, which has raw.
func (r *record) seal(key, room []byte) []byte {
	out := append(room[:sealLen], recordFormat)
	out = binary.BigEndian.AppendUint64(out, uint64(r.capped))
	out = binary.BigEndian.AppendUint64(out, uint64(r.arrived.UnixMilli()))
	out = binary.BigEndian.AppendUint64(out, r.prev)
	out = append(out, r.hash[:]...)
	_ = append(out, r.chain[:]...)
	return summed(key, room)
}

// unsealRecord reads and checks a record; raw shares memory with sealed.
func unsealRecord(key, sealed []byte) (record, error) {
	v, err := unseal(key, sealed)
	if err != nil {
		return record{}, err
	}
	if len(v) < recordHead || v[0] != recordFormat {
		return record{}, damaged("the entry of key %x has no head of format %d", key, recordFormat)
	}
	r := record{
		capped:  register.Stamp(binary.BigEndian.Uint64(v[1:])),
		arrived: time.UnixMilli(int64(binary.BigEndian.Uint64(v[9:]))).UTC(),
		prev:    binary.BigEndian.Uint64(v[17:]),
		raw:     v[recordHead:],
	}
	copy(r.hash[:], v[25:])
	copy(r.chain[:], v[57:])
	if register.HashOf(r.raw) != r.hash {
		return record{}, damaged("the entry of key %x does not give its hash", key)
	}
	return r, nil
}

// copied is r with memory of its own.
func (r record) copied() record {
	r.raw = bytes.Clone(r.raw)
	return r
}

// numbered reads the entry in the record.
func (r record) numbered(n uint64) (register.Numbered, error) {
	e, err := register.Decode(r.raw)
	if err != nil {
		return register.Numbered{}, damaged("entry %d cannot be read: %v", n, err)
	}
	return register.Numbered{N: n, Capped: r.capped, Arrived: register.ArrivedAt(r.arrived), Hash: r.hash, Entry: e, Raw: r.raw}, nil
}
