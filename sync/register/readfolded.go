package register

import (
	"bytes"
	"encoding/json"
	"slices"
)

// FoldedReader reads features straight from the form of [State.Encode], in a third of the
// time that reading the state and then folding takes, for those that read a whole property.
// It is not for use by several goroutines at once.
type FoldedReader struct {
	names [512]string // field names read, so that one that comes again is seldom allocated again
}

// Read reads what Encode wrote; ok is false when the state is of no entries. The values
// share memory with raw. It gives what [State.Folded] gives.
func (r *FoldedReader) Read(feature string, raw []byte) (f Folded, ok bool, err error) {
	f, plain := r.plain(feature, raw)
	if plain {
		return f, true, nil
	}
	state, err := DecodeState(feature, raw)
	if err != nil {
		return Folded{}, false, err
	}
	return state.Folded(), !state.Empty(), nil
}

// Kind reads the kind alone, "" when there is none; false when only Read can tell.
func (r *FoldedReader) Kind(raw []byte) (kind string, ok bool) {
	escaped := false
	ok = r.scan(raw, nil, func(_ uint64, name, value []byte) bool {
		if string(name) == "kind" && len(value) > 1 && value[0] == '"' {
			kind, escaped = r.name(value[1:len(value)-1]), bytes.IndexByte(value, '\\') >= 0
		}
		return string(name) < "kind"
	})
	return kind, ok && !escaped
}

// plain reads a state in which nothing is contested and nothing was struck out; false for
// any other, and for one that is broken.
func (r *FoldedReader) plain(feature string, raw []byte) (Folded, bool) {
	f := Folded{Feature: feature}
	ok := r.scan(raw, &f, func(count uint64, name, value []byte) bool {
		if f.Fields == nil {
			f.Fields = make(map[string]json.RawMessage, min(count, 64)) // of at most 8 it is small and quick
		}
		if string(value) != "null" {
			f.Fields[r.name(name)] = slices.Clip(value)
		}
		return true
	})
	return f, ok && f.Fields != nil
}

// scan goes over the fields of a state by name while each, which is given their number too,
// returns true, and fills in all else that Folded has, unless f is nil. It is false for a
// state that needs the whole reader.
func (r *FoldedReader) scan(raw []byte, f *Folded, each func(count uint64, name, value []byte) bool) bool {
	if len(raw) == 0 || raw[0] != StateVersion {
		return false
	}
	b := formReader[[]byte]{left: raw[1:]}
	n := b.number()
	var devices [8][]byte
	count := b.number()
	if count > uint64(len(devices)) {
		return false
	}
	for i := range count {
		devices[i] = b.text()
	}
	seen := fnvStart
	for _, device := range devices[:count] {
		if seq := b.number(); f != nil {
			seen = and(seen, device, seq)
		}
		b.take(8)
		b.number()
		b.number()
		for range b.number() {
			b.number()
			b.number()
			if b.broken {
				return false
			}
		}
	}
	awaits := false
	if ahead := b.number(); ahead <= aheadLimit {
		for range ahead {
			awaits = bytes.HasPrefix(b.text(), []byte(IntakePrefix)) || awaits
			b.number()
		}
	} else {
		awaits = true // of whom is not known
	}
	authors := b.number()
	var changed, recorded struct{ author, seenAt []byte }
	for i := range authors {
		b.number()
		b.number()
		b.take(8)
		if b.number() == 1 {
			b.text()
			recorded.author, recorded.seenAt = b.text(), b.text()
			if i == 0 {
				changed = recorded
			}
		}
		if b.broken {
			return false
		}
	}
	if f != nil {
		f.N, f.Seen, f.Awaits = n, seen, awaits
		f.Changed = Word{r.name(changed.author), string(changed.seenAt)}
		if f.Recorded = f.Changed; authors > 1 {
			f.Recorded = Word{r.name(recorded.author), string(recorded.seenAt)}
		}
	}
	fields := b.number()
	for range fields {
		name := b.text()
		if b.number() != 1 {
			return false // contested
		}
		if b.number() >= authors || b.broken {
			return false
		}
		value := b.text()
		if b.broken {
			return false
		}
		if !each(fields, name, value) {
			return true
		}
	}
	return b.number() == 0 && !b.broken && len(b.left) == 0 // no strikes
}

// name is text as a string: the one that was made when the same text was read before, unless
// another took its place.
func (r *FoldedReader) name(text []byte) string {
	if len(text) == 0 {
		return ""
	}
	// The factors keep the fields of one kind apart.
	place := &r.names[uint(len(text)*129+int(text[0])*31+int(text[len(text)/2])*107+int(text[len(text)-1])*221)%uint(len(r.names))]
	if *place != string(text) {
		*place = string(text)
	}
	return *place
}
