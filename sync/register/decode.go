package register

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"headcut/model"
)

// Limits of one entry.
const (
	EntryBytes     = 256 << 10
	FieldsPerEntry = 256
	FieldNameBytes = 64
	DevicesSeen    = 1000
	AuthorRunes    = 200
	IDBytes        = 64
	LevelRowLimit  = 10_000
	seqLimit       = 1<<53 - 1 // the largest whole number every JSON reader keeps exactly
)

// Decode reads an entry and checks all that can be checked without the feature's state;
// [Check] does the rest. The error is a [*model.Problem] that names the member at fault.
// The entry's values share memory with raw.
func Decode(raw []byte) (Entry, error) { return read(raw, false) }

// DecodeNew is Decode for an entry that is in no register yet. It also refuses members whose
// names differ in case alone: other readers of JSON take them for one, and which of the two they
// believe differs. Fields may have such names, as columns of a file have. So may entries in
// older registers, where every name means itself.
func DecodeNew(raw []byte) (Entry, error) { return read(raw, true) }

func read(raw []byte, isNew bool) (Entry, error) {
	if len(raw) > EntryBytes {
		return Entry{}, &model.Problem{Reason: fmt.Sprintf("the entry has %d bytes and may have %d", len(raw), EntryBytes),
			Fix: "send photos and long records apart"}
	}
	if at := bytes.IndexByte(raw, '\n'); at >= 0 {
		return Entry{}, &model.Problem{Reason: fmt.Sprintf("the entry has a line feed, at byte %d", at+1),
			Fix: "write it on one line: entries travel as lines"}
	}
	members, set, p := scan(raw, isNew)
	if p != nil {
		return Entry{}, p
	}
	if members == nil {
		return Entry{}, &model.Problem{Reason: "the entry is not a JSON object"}
	}
	return decode(members, set)
}

func decode(members, set map[string]json.RawMessage) (e Entry, err error) {
	r := reader{members: members}
	r.read("v", &e.Version, "a whole number from 1", func() bool { return e.Version >= 1 })
	r.read("id", &e.ID, "a UUIDv7 in lower case", func() bool { return e.ID.valid() })
	r.read("property", &e.Property, shortID, func() bool { return ValidID(e.Property) })
	r.read("feature", &e.Feature, shortID, func() bool { return ValidID(e.Feature) })
	r.read("device", &e.Device, shortID, func() bool { return ValidID(e.Device) })
	r.read("deviceSeq", &e.DeviceSeq, wholeFromOne, func() bool { return e.DeviceSeq >= 1 && e.DeviceSeq <= seqLimit })
	if e.Version > Version { // what follows may mean something else there
		return e, r.err()
	}
	r.read("stamp", &e.Stamp, "16 lower-case hexadecimal digits", nil)
	r.read("seenAt", &e.SeenAt, "a time as 2026-11-25T09:30:00+10:00", func() bool {
		_, err := time.Parse(time.RFC3339Nano, e.SeenAt)
		return err == nil
	})
	r.read("author", &e.Author, "a name of 1 to 200 characters", func() bool { return validAuthor(e.Author) })
	if r.has("saw") {
		r.read("saw", &e.Saw, "an object from device to deviceSeq", nil)
		r.saw(e)
	}
	if r.has("set") {
		if e.Set = set; set == nil {
			r.fail("set", "is not an object", "give an object from field to value")
		}
		r.set(e)
	}
	if r.has("strike") {
		r.read("strike", &e.Strike, "true or false", func() bool { return e.Strike != nil })
	}
	switch {
	case r.has("set") && r.has("strike"):
		r.fail("strike", "an entry either sets fields or strikes out", "send two entries")
	case !r.has("set") && !r.has("strike"):
		r.fail("set", "the entry says nothing", "set a field or strike the feature out")
	}
	return e, r.err()
}

const (
	shortID      = "1 to 64 of a-z, 0-9 and -"
	wholeFromOne = "a whole number from 1, below 2^53"
)

// reader reads members one after the other and keeps the first problem.
type reader struct {
	members map[string]json.RawMessage
	problem *model.Problem
}

func (r *reader) err() error {
	if r.problem == nil {
		return nil
	}
	return r.problem
}

func (r *reader) has(name string) bool { _, ok := r.members[name]; return ok }

func (r *reader) fail(path, reason, fix string) {
	if r.problem == nil {
		r.problem = &model.Problem{Path: path, Reason: reason, Fix: fix}
	}
}

func (r *reader) read(name string, into any, want string, ok func() bool) {
	if r.problem != nil {
		return
	}
	raw, found := r.members[name]
	if text, plain := plainText(raw); plain {
		// The commonest members, without the cost of a JSON reader for each.
		switch into := into.(type) {
		case *string:
			*into = text
			if !ok() {
				r.fail(name, short(raw)+" cannot be read", "give "+want)
			}
			return
		case *ID:
			*into = ID(text)
			if !ok() {
				r.fail(name, short(raw)+" cannot be read", "give "+want)
			}
			return
		}
	}
	switch {
	case !found:
		r.fail(name, "is missing", "give "+want)
	case string(raw) == "null" || json.Unmarshal(raw, into) != nil || ok != nil && !ok():
		r.fail(name, short(raw)+" cannot be read", "give "+want)
	}
}

// plainText reads a JSON string without escapes.
func plainText(raw []byte) (string, bool) {
	if len(raw) < 2 || raw[0] != '"' || bytes.IndexByte(raw, '\\') >= 0 {
		return "", false
	}
	return string(raw[1 : len(raw)-1]), true
}

func (r *reader) saw(e Entry) {
	if len(e.Saw) > DevicesSeen {
		r.fail("saw", fmt.Sprintf("names %d devices and may name %d", len(e.Saw), DevicesSeen), "")
	}
	for _, device := range slices.Sorted(maps.Keys(e.Saw)) {
		seq := e.Saw[device]
		switch {
		case !ValidID(device):
			r.fail("saw", short([]byte(device))+" is not a device's id", "give "+shortID)
		case seq < 1 || seq > seqLimit:
			r.fail("saw."+device, "cannot be read", "give "+wholeFromOne)
		case device == e.Device && seq >= e.DeviceSeq:
			r.fail("saw."+device, "claims to have seen itself", "name other devices only")
		}
	}
}

func (r *reader) set(e Entry) {
	switch {
	case len(e.Set) == 0:
		r.fail("set", "sets no field", "set a field or strike the feature out")
	case len(e.Set) > FieldsPerEntry:
		r.fail("set", fmt.Sprintf("has %d fields and may have %d", len(e.Set), FieldsPerEntry), "send several entries")
	}
	for _, name := range slices.Sorted(maps.Keys(e.Set)) {
		if !validFieldName(name) {
			r.fail("set."+short([]byte(name)), "is not a field's name",
				"use up to 64 bytes of letters, digits, space, and _ - . : with a letter or digit at each end")
		}
	}
}

// Check tells what values of e a feature of this kind cannot have: kind is that of the
// feature as folded so far, used unless e sets another. An entry of a newer version is
// not checked.
func Check(e Entry, kind string) error {
	if e.Version > Version || e.Set == nil {
		return nil
	}
	if raw, ok := e.Set["kind"]; ok {
		kind = ""
		_ = json.Unmarshal(raw, &kind) // what is not text is told by CheckFields
	}
	if problems := model.CheckFields(kind, e.Set); len(problems) > 0 {
		return problems[0].Within("set")
	}
	if k, ok := model.KindNamed(kind); ok {
		for _, f := range k.Fields {
			var rows []json.RawMessage
			if raw, ok := e.Set[f.Name]; ok && f.Type == model.LevelRows && json.Unmarshal(raw, &rows) == nil && len(rows) > LevelRowLimit {
				return &model.Problem{Path: "set." + f.Name, Reason: fmt.Sprintf("has %d rows and may have %d", len(rows), LevelRowLimit),
					Fix: "book several runs"}
			}
		}
	}
	return nil
}

// valid tells whether the id is a UUID of version 7 in lower case.
func (id ID) valid() bool {
	if len(id) != 36 || id[8] != '-' || id[13] != '-' || id[18] != '-' || id[23] != '-' {
		return false
	}
	return isHex(strings.ReplaceAll(string(id), "-", ""), 32) &&
		id[14] == '7' && strings.IndexByte("89ab", id[19]) >= 0
}

// ValidID tells whether s can be the id of a property, a feature or a device.
func ValidID(s string) bool {
	if len(s) < 1 || len(s) > IDBytes {
		return false
	}
	for _, c := range []byte(s) {
		if (c < 'a' || c > 'z') && (c < '0' || c > '9') && c != '-' {
			return false
		}
	}
	return true
}

func validAuthor(s string) bool {
	return s != "" && utf8.RuneCountInString(s) <= AuthorRunes && strings.IndexFunc(s, unicode.IsControl) < 0
}

// validFieldName also keeps the name of the strike-out, which is folded like a field.
func validFieldName(s string) bool {
	if s == "" || len(s) > FieldNameBytes || s == strikeField {
		return false
	}
	first, _ := utf8.DecodeRuneInString(s)
	last, _ := utf8.DecodeLastRuneInString(s)
	sound := func(c rune) bool { return unicode.IsLetter(c) || unicode.IsDigit(c) || unicode.IsMark(c) }
	if !sound(first) || !sound(last) {
		return false
	}
	return strings.IndexFunc(s, func(c rune) bool { return !sound(c) && !strings.ContainsRune(" _-.:", c) }) < 0
}

// short quotes what was found, cut to what a person reads at a glance.
func short(raw []byte) string {
	const most = 40
	if len(raw) <= most {
		return string(raw)
	}
	return strings.ToValidUTF8(string(raw[:most]), "") + "…"
}

// Encode writes an entry as its device sends it, and refuses what DecodeNew would refuse.
// The bytes stay the same when they pass through encoding/json.
func Encode(e Entry) (json.RawMessage, error) {
	raw, err := json.Marshal(e)
	if err != nil {
		return nil, &model.Problem{Reason: "the entry cannot be written", Fix: err.Error()}
	}
	if _, err := DecodeNew(raw); err != nil {
		if p, ok := errors.AsType[*model.Problem](err); ok {
			return nil, p
		}
		return nil, err
	}
	return raw, nil
}
