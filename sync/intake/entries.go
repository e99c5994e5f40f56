package intake

import (
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"iter"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"headcut/model"
	"headcut/sync/register"
)

// DefaultAuthor is the author of entries when nobody is named.
const DefaultAuthor = "intake"

// unknownTime stands in an entry whose record does not say when it was seen: an entry must
// have a time, and it must be the same one whenever the file is read. Its stamp is zero.
const unknownTime = "1970-01-01T00:00:00Z"

// Feature is the id of the record's feature on a property: a UUID in the shape of version
// 7 (RFC 9562) of the instant it was seen, zero when unknown, and the first bits of the
// SHA-256 of "feature", the property's id and the record's key.
func (r Record) Feature(property string) string {
	digest := sha256.Sum256(append([]byte("feature\x00"+property+"\x00"), r.Key[:]...))
	return string(EntryID(r.SeenAt, digest))
}

// Entries are the entries that say on a property what the file says, in its order: one a
// record, or as few as hold it where it is long. They depend on nothing but the records,
// the property and the author, as the package's comment explains. The error is a
// *model.Problem when the property or the author cannot stand in an entry.
func Entries(file File, property, author string) (iter.Seq[register.Entry], error) {
	author = cmp.Or(author, DefaultAuthor)
	trial := Record{Fields: map[string]json.RawMessage{"kind": rawText(Unsorted)}}
	for _, e := range trial.Entries(property, author) {
		if _, err := register.Encode(e); err != nil {
			return nil, err
		}
	}
	return func(yield func(register.Entry) bool) {
		for _, record := range file.Records {
			for _, e := range record.Entries(property, author) {
				if !yield(e) {
					return
				}
			}
		}
	}, nil
}

// Entries are the entries of one record, as [Entries] gives them.
func (r Record) Entries(property, author string) []register.Entry {
	author = cmp.Or(author, DefaultAuthor)
	seenAt := unknownTime
	if !r.SeenAt.IsZero() {
		seenAt = r.SeenAt.Format(time.RFC3339Nano)
	}
	feature := r.Feature(property)
	var entries []register.Entry
	for i, set := range share(r.Fields) {
		e := register.Entry{
			Version: register.Version, Property: property, Feature: feature, DeviceSeq: uint64(i + 1),
			SeenAt: seenAt, Author: author, Set: model.FieldValuesOf(set),
		}
		if !r.SeenAt.IsZero() {
			e.Stamp = register.StampAt(r.SeenAt) + register.Stamp(i)
		}
		entries = append(entries, e)
	}
	digest := digestOf(entries)
	for i := range entries {
		entries[i].Device = DevicePrefix + hex.EncodeToString(digest[:16])
		entries[i].ID = EntryID(r.SeenAt, sha256.Sum256(fmt.Appendf(digest[:], "%d", i)))
	}
	return entries
}

// Makes reports whether an entry is one that [Record.Entries] makes, of whatever author and reading: it
// says what a file said of a feature of its own, and was written without having seen anything.
func Makes(e register.Entry) bool {
	return strings.HasPrefix(e.Device, DevicePrefix) && len(e.Saw) == 0
}

// share puts fields into as many entries as they need, kind and place into the first.
func share(fields map[string]json.RawMessage) []map[string]json.RawMessage {
	const overhead = register.FieldNameBytes + 8
	first := map[string]int{"geometry": -2, "kind": -1}
	names := slices.SortedFunc(maps.Keys(fields), func(a, b string) int {
		return cmp.Or(first[a]-first[b], strings.Compare(a, b))
	})
	var all []map[string]json.RawMessage
	room := 0
	for _, name := range names {
		need := len(fields[name]) + overhead
		if room < need || len(all[len(all)-1]) == register.FieldsPerEntry {
			all, room = append(all, make(map[string]json.RawMessage)), fieldRoom+overhead
		}
		all[len(all)-1][name] = fields[name]
		room -= need
	}
	return all
}

// digestOf hashes all that the entries say, before they have ids and a device.
func digestOf(entries []register.Entry) [sha256.Size]byte {
	raw, err := json.Marshal(entries)
	if err != nil {
		panic(err) // every value is well-formed JSON: Read made it
	}
	return sha256.Sum256(raw)
}

// EntryID is a UUID in the shape of version 7: the milliseconds of an instant, then the
// first 74 bits of a digest where a device would have random ones.
func EntryID(at time.Time, digest [sha256.Size]byte) register.ID {
	var id uuid.UUID
	if !at.IsZero() {
		var ms [8]byte
		binary.BigEndian.PutUint64(ms[:], uint64(at.UnixMilli()))
		copy(id[:6], ms[2:])
	}
	copy(id[6:], digest[:10])
	id[6] = id[6]&0x0f | 0x70
	id[8] = id[8]&0x3f | 0x80
	return register.ID(id.String())
}

// KindEntry gives a kind to a feature that is unsorted in the register: a file that was taken
// in before its kind was known is read again. The author has seen all of state.
func KindEntry(state *register.State, property, feature, kind, author string, now time.Time) register.Entry {
	author = cmp.Or(author, DefaultAuthor)
	digest := sha256.Sum256(fmt.Appendf(nil, "kind\x00%s\x00%s\x00%s", property, feature, kind))
	return entryAfter(state, property, feature, author, now, digest, model.FieldValues{{Name: "kind", Raw: rawText(kind)}})
}
