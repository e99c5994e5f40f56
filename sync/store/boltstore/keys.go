package boltstore

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"

	"github.com/google/uuid"
	"go.etcd.io/bbolt"

	"headcut/sync/register"
	"headcut/sync/store"
)

// diskFormat is the version of the bucket layout in the package comment. Files of the first had
// an index of places besides, which nobody asked anything of: see dropPlaces.
const (
	diskFormat = 2
	withPlaces = 1
)

var (
	metaBucket     = []byte("meta")
	epochsBucket   = []byte("epochs")
	propsBucket    = []byte("props")
	devicesBucket  = []byte("devices")
	entriesBucket  = []byte("entries")
	idsBucket      = []byte("ids")
	featuresBucket = []byte("features")
	cellsBucket    = []byte("cells") // of the first disk format alone

	allBuckets = [][]byte{metaBucket, epochsBucket, propsBucket, devicesBucket, entriesBucket,
		idsBucket, featuresBucket}

	formatKey = []byte("format")
)

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

const sealLen = 4

// seal puts a checksum over key and value before the value.
func seal(key []byte, value ...[]byte) []byte {
	n := sealLen
	for _, v := range value {
		n += len(v)
	}
	out := make([]byte, sealLen, n)
	for _, v := range value {
		out = append(out, v...)
	}
	return summed(key, out)
}

// summed fills in the checksum, for which out has left room before the value.
func summed(key, out []byte) []byte {
	binary.BigEndian.PutUint32(out, crc32.Update(crc32.Update(0, castagnoli, key), castagnoli, out[sealLen:]))
	return out
}

// unseal checks a sealed value and returns what it holds, sharing its memory.
func unseal(key, sealed []byte) ([]byte, error) {
	if len(sealed) < sealLen {
		return nil, damaged("the record of key %x is cut short", key)
	}
	value := sealed[sealLen:]
	if crc32.Update(crc32.Update(0, castagnoli, key), castagnoli, value) != binary.BigEndian.Uint32(sealed) {
		return nil, damaged("the record of key %x does not give its checksum", key)
	}
	return value, nil
}

// unsealSized is unseal for values of a fixed length.
func unsealSized(key, sealed []byte, size int) ([]byte, error) {
	value, err := unseal(key, sealed)
	if err == nil && len(value) != size {
		err = damaged("the record of key %x has %d bytes, not %d", key, len(value), size)
	}
	return value, err
}

func damaged(format string, args ...any) error {
	return fmt.Errorf("%w: %s", store.ErrDamaged, fmt.Sprintf(format, args...))
}

// seek puts a cursor at the first key that is not before from. Where a branch of the tree is
// broken a search goes astray; who went on from a key before it would come there again, for
// ever.
func seek(c *bbolt.Cursor, from []byte) (key, value []byte, err error) {
	key, value = c.Seek(from)
	if key != nil && bytes.Compare(key, from) < 0 {
		return nil, nil, damaged("the search for key %x led back to %x", from, key)
	}
	return key, value, nil
}

// found is the value of a key, nil when there is none.
func found(c *bbolt.Cursor, key []byte) []byte {
	at, value := c.Seek(key)
	if !bytes.Equal(at, key) {
		return nil
	}
	return value
}

func beU32(b []byte) uint32 { return binary.BigEndian.Uint32(b) }
func beU64(b []byte) uint64 { return binary.BigEndian.Uint64(b) }

func u32(v uint32) []byte { return binary.BigEndian.AppendUint32(nil, v) }
func u64(v uint64) []byte { return binary.BigEndian.AppendUint64(nil, v) }

func numberKey(property uint32, n uint64) []byte {
	return appendNumberKey(make([]byte, 0, 12), property, n)
}

func appendNumberKey(dst []byte, property uint32, n uint64) []byte {
	return binary.BigEndian.AppendUint64(binary.BigEndian.AppendUint32(dst, property), n)
}

func textKey(property uint32, text string) []byte {
	return appendTextKey(make([]byte, 0, 4+len(text)), property, text)
}

func appendTextKey(dst []byte, property uint32, text string) []byte {
	return append(binary.BigEndian.AppendUint32(dst, property), text...)
}

// idKey is the 16 bytes of a UUID, nil when id is none.
func idKey(id register.ID) []byte {
	key, err := uuid.Parse(string(id))
	if err != nil || len(id) != 36 { // it reads shorter and longer forms too
		return nil
	}
	return key[:]
}
