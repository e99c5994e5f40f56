package register

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"headcut/model"
	"headcut/model/calendar"
	"headcut/model/jsonvalue"
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
	var m members
	isObject, p := m.scan(raw, isNew)
	if p != nil {
		return Entry{}, p
	}
	if !isObject {
		return Entry{}, &model.Problem{Reason: "the entry is not a JSON object"}
	}
	return decode(&m)
}

func decode(m *members) (e Entry, err error) {
	r := reader{members: *m}
	e.Version = int(r.number(memberVersion, "a whole number from 1", 1, math.MaxInt))
	e.ID = ID(r.text(memberID, "a UUIDv7 in lower case", validUUID))
	e.Property = r.text(memberProperty, shortID, ValidID)
	e.Feature = r.text(memberFeature, shortID, ValidID)
	e.Device = r.text(memberDevice, shortID, ValidID)
	e.DeviceSeq = r.number(memberDeviceSeq, wholeFromOne, 1, seqLimit)
	if e.Version > Version { // what follows may mean something else there
		return e, r.err()
	}
	stamp := r.text(memberStamp, "16 lower-case hexadecimal digits", validStamp)
	e.Stamp, _ = parseStamp(stamp) // it is valid, or told
	e.SeenAt = r.text(memberSeenAt, "a time as 2026-11-25T09:30:00+10:00", calendar.IsInstant)
	e.Author = r.text(memberAuthor, "a name of 1 to 200 characters", validAuthor)
	if r.has(memberSaw) {
		e.Saw = other[map[string]uint64](&r, memberSaw, "an object from device to deviceSeq")
		r.saw(&e)
	}
	if r.has(memberSet) {
		if e.Set = m.set; e.Set == nil {
			r.fail("set", "is not an object", "give an object from field to value")
		}
		r.set(&e)
	}
	if r.has(memberStrike) {
		e.Strike = other[*bool](&r, memberStrike, "true or false")
	}
	switch {
	case r.has(memberSet) && r.has(memberStrike):
		r.fail("strike", "an entry either sets fields or strikes out", "send two entries")
	case !r.has(memberSet) && !r.has(memberStrike):
		r.fail("set", "the entry says nothing", "set a field or strike the feature out")
	}
	return e, r.err()
}

const (
	shortID      = "1 to 64 of a-z, 0-9 and -"
	wholeFromOne = "a whole number from 1, below 2^53"
)

// reader reads members one after the other and keeps the first problem. Texts and whole numbers
// are read without a JSON reader when they are plain, as nearly all are.
type reader struct {
	members
	problem *model.Problem
}

func (r *reader) err() error {
	if r.problem == nil {
		return nil
	}
	return r.problem
}

func (r *reader) has(member int) bool { return r.at[member].end > 0 }

func (r *reader) fail(path, reason, fix string) {
	if r.problem == nil {
		r.problem = &model.Problem{Path: path, Reason: reason, Fix: fix}
	}
}

// wants tells whether a member is to be read: it is there, and nothing was wrong before.
func (r *reader) wants(member int, want string) bool {
	if !r.has(member) {
		r.fail(memberNames[member], "is missing", "give "+want)
	}
	return r.problem == nil
}

func (r *reader) unread(member int, want string) {
	r.fail(memberNames[member], short(r.value(member))+" cannot be read", "give "+want)
}

func (r *reader) text(member int, want string, ok func(string) bool) (text string) {
	if !r.wants(member, want) {
		return ""
	}
	raw := r.value(member)
	switch {
	case raw[0] != '"':
		r.unread(member, want)
		return ""
	case !bytes.ContainsRune(raw, '\\'):
		text = r.slice(r.at[member].start+1, r.at[member].end-1)
	default:
		text = jsonvalue.Text(raw)
	}
	if !ok(text) {
		r.unread(member, want)
	}
	return text
}

func (r *reader) number(member int, want string, least, most uint64) uint64 {
	if !r.wants(member, want) {
		return 0
	}
	n, ok := wholeNumber(r.value(member))
	if !ok || n < least || n > most {
		r.unread(member, want)
	}
	return n
}

// wholeNumber reads a JSON number that is written with digits alone.
func wholeNumber(raw []byte) (n uint64, ok bool) {
	if len(raw) > 19 { // which are fewer than 2^64
		return 0, false
	}
	for _, c := range raw {
		if c < '0' || c > '9' {
			return 0, false
		}
		n = n*10 + uint64(c-'0')
	}
	return n, true
}

// other reads a member that is neither a text nor a number.
func other[T any](r *reader, member int, want string) (into T) {
	if !r.wants(member, want) {
		return into
	}
	if raw := r.value(member); string(raw) == "null" || jsonvalue.Unmarshal(raw, &into) != nil {
		r.unread(member, want)
	}
	return into
}

func (r *reader) saw(e *Entry) {
	if len(e.Saw) > DevicesSeen {
		r.fail("saw", fmt.Sprintf("names %d devices and may name %d", len(e.Saw), DevicesSeen), "")
	}
	for _, device := range model.Keys(e.Saw) {
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

func (r *reader) set(e *Entry) {
	switch {
	case len(e.Set) == 0:
		r.fail("set", "sets no field", "set a field or strike the feature out")
	case len(e.Set) > FieldsPerEntry:
		r.fail("set", fmt.Sprintf("has %d fields and may have %d", len(e.Set), FieldsPerEntry), "send several entries")
	}
	var wrong []string
	for i := range e.Set {
		if name := e.Set[i].Name; !validFieldName(name) {
			wrong = append(wrong, name)
		}
	}
	if len(wrong) > 0 {
		r.fail("set."+short([]byte(slices.Min(wrong))), "is not a field's name",
			"use up to 64 bytes of letters, digits, space, and _ - . : with a letter or digit at each end")
	}
}

// Check tells what values of e a feature of this kind cannot have: kind is that of the
// feature as folded so far, used unless e sets another. An entry of a newer version is
// not checked.
func Check(e Entry, kind string) error {
	if e.Version > Version || e.Set == nil {
		return nil
	}
	if raw, ok := e.Set.Value("kind"); ok {
		kind = model.TextOf(raw) // what is not text is told by CheckFields
	}
	if problems := model.CheckFields(kind, e.Set); len(problems) > 0 {
		return problems[0].Within("set")
	}
	if k, ok := model.KindNamed(kind); ok {
		for i := range k.Fields { // a Field is large to copy
			f := &k.Fields[i]
			if f.Type != model.LevelRows {
				continue
			}
			if n := rowsIn(e.Set.Get(f.Name)); n > LevelRowLimit {
				return &model.Problem{Path: "set." + f.Name, Reason: fmt.Sprintf("has %d rows and may have %d", n, LevelRowLimit),
					Fix: "book several runs"}
			}
		}
	}
	return nil
}

// rowsIn is how many rows a level run has; 0 for what is none.
func rowsIn(raw json.RawMessage) int {
	var rows []json.RawMessage
	if raw == nil || jsonvalue.Unmarshal(raw, &rows) != nil {
		return 0
	}
	return len(rows)
}

// validUUID tells whether s is a UUID of version 7 in lower case.
func validUUID(s string) bool {
	if len(s) != 36 || s[14] != '7' || strings.IndexByte("89ab", s[19]) < 0 {
		return false
	}
	for i, c := range []byte(s) {
		if isDash := i == 8 || i == 13 || i == 18 || i == 23; isDash && c != '-' || !isDash && !isHexDigit(c) {
			return false
		}
	}
	return true
}

func validStamp(s string) bool { return isHex(s, 16) }

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
	return s != "" && utf8.RuneCountInString(s) <= AuthorRunes && !strings.ContainsFunc(s, unicode.IsControl)
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
	return !strings.ContainsFunc(s, func(c rune) bool { return !sound(c) && !strings.ContainsRune(" _-.:", c) })
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
		return nil, &model.Problem{Reason: "the entry cannot be written", Fix: "see that the values of its fields are JSON"}
	}
	if _, err := DecodeNew(raw); err != nil {
		if p, ok := errors.AsType[*model.Problem](err); ok {
			return nil, p
		}
		return nil, err
	}
	return raw, nil
}
