package register

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"headcut/model"
	"headcut/model/jsontoken"
	"headcut/model/jsonvalue"
)

// nestingLimit is how deep arrays and objects may stand in one another.
const nestingLimit = 32

// members are those of an entry's object, as places in its text: of those that this program
// knows, and of the fields in "set".
type members struct {
	raw  []byte
	text string // raw again, so that what is read of it needs no memory of its own; "" for long entries
	at   [memberCount]span
	set  model.FieldValues // nil when "set" is no object or not there
}

// span is a value's place in the text; none of a length of zero.
type span struct{ start, end int }

// The members that this program knows.
const (
	memberVersion = iota
	memberID
	memberProperty
	memberFeature
	memberDevice
	memberDeviceSeq
	memberStamp
	memberSeenAt
	memberAuthor
	memberSaw
	memberSet
	memberStrike
	memberCount
)

var memberNames = [memberCount]string{"v", "id", "property", "feature", "device", "deviceSeq", "stamp", "seenAt", "author", "saw", "set", "strike"}

func memberNamed(name string) (int, bool) {
	for i := range memberNames {
		if memberNames[i] == name {
			return i, true
		}
	}
	return 0, false
}

// sharedText is how long an entry may be whose texts are kept as parts of one copy of it: a
// short text kept of a long entry would keep all of that.
const sharedText = 4 << 10

// ReadAlike is the Problem of a text that readers of JSON may take for different things, as one that names
// a member twice.
func ReadAlike(raw []byte) *model.Problem {
	_, p := new(members).scan(raw, true)
	return p
}

// scan checks that raw is one JSON text without the looseness that readers of JSON
// disagree about: members named twice, half surrogates, numbers beyond a float64. A
// fault's Problem has the JSON path to it.
//
// With anyCase, names that differ in case alone count as the same, but for those of fields,
// which are free.
//
// It fills in the members of the object that raw is; isObject is false when it is something
// else.
func (m *members) scan(raw []byte, anyCase bool) (isObject bool, p *model.Problem) {
	m.raw = raw
	if !utf8.Valid(raw) {
		return isObject, &model.Problem{Reason: "the entry is not UTF-8 text"}
	}
	if len(raw) <= sharedText {
		m.text = string(raw)
	}
	s := scanner{members: *m, anyCase: anyCase}
	isObject = s.next() == '{'
	if p := s.skip(0); p != nil {
		return isObject, p
	}
	if s.pos = jsontoken.Space(raw, s.pos); s.pos < len(raw) {
		return isObject, s.unexpected("the end")
	}
	*m = s.members
	return isObject, nil
}

// slice is a part of the text.
func (m *members) slice(start, end int) string {
	if m.text != "" {
		return m.text[start:end]
	}
	return string(m.raw[start:end])
}

func (m *members) value(member int) json.RawMessage {
	at := m.at[member]
	return m.raw[at.start:at.end:at.end]
}

type scanner struct {
	members // by value, so that they need no memory of their own
	pos     int
	anyCase bool
	inSet   bool // the object read next is that of fields
}

// next skips white space and returns the byte that follows, 0 at the end.
func (s *scanner) next() byte {
	if s.pos < len(s.raw) && s.raw[s.pos] > ' ' { // as in nearly all entries
		return s.raw[s.pos]
	}
	if s.pos = jsontoken.Space(s.raw, s.pos); s.pos == len(s.raw) {
		return 0
	}
	return s.raw[s.pos]
}

func (s *scanner) unexpected(wanted string) *model.Problem {
	found := "the text ends"
	if s.pos < len(s.raw) {
		rest := s.raw[s.pos:]
		found = strconv.QuoteToGraphic(string(rest[:wordLength(rest)])) + " stands"
	}
	return &model.Problem{Reason: fmt.Sprintf("%s where %s should be, at byte %d", found, wanted, s.pos+1),
		Fix: "write it as JSON (RFC 8259)"}
}

// wordLength is how much of rest to quote: a bare word such as NaN, else one character.
func wordLength(rest []byte) int {
	n := 0
	for n < len(rest) && n < 12 && (rest[n]|0x20 >= 'a' && rest[n]|0x20 <= 'z' || n > 0 && rest[n] == '-') {
		n++
	}
	if n == 0 {
		_, n = utf8.DecodeRune(rest)
	}
	return n
}

func (s *scanner) skip(depth int) *model.Problem {
	if depth > nestingLimit {
		return &model.Problem{Reason: fmt.Sprintf("nests more than %d deep", nestingLimit)}
	}
	switch c := s.next(); {
	case c == '"':
		_, p := s.text()
		return p
	case c == '-' || c >= '0' && c <= '9':
		return s.number()
	case c == '{':
		return s.object(depth)
	case c == '[':
		return s.array(depth)
	}
	end, wrong := jsontoken.Word(s.raw, s.pos)
	if wrong != 0 {
		return s.unexpected(wrong.String()) // with the whole of the word that stands there
	}
	s.pos = end
	return nil
}

func (s *scanner) object(depth int) *model.Problem {
	isSet := s.inSet
	s.inSet = false
	if isSet {
		s.set = make(model.FieldValues, 0, usualFields)
	}
	s.pos++
	if s.next() == '}' {
		s.pos++
		return nil
	}
	var names nameSet
	for {
		if s.next() != '"' {
			return s.unexpected("a member's name")
		}
		start := s.pos
		escaped, p := s.text()
		if p != nil {
			return p
		}
		name := s.slice(start+1, s.pos-1)
		if escaped {
			name = jsonvalue.Text(s.raw[start:s.pos])
		}
		if !names.add(name, s.anyCase && !isSet) {
			return &model.Problem{Path: name, Reason: "stands twice", Fix: "name each member once, in upper or lower case"}
		}
		if s.next() != ':' {
			return s.unexpected("a colon").Within(name)
		}
		s.pos++
		member, known := 0, false
		if depth == 0 {
			member, known = memberNamed(name)
		}
		s.inSet = s.next() == '{' && known && member == memberSet
		start = s.pos
		if p := s.skip(depth + 1); p != nil {
			return p.Within(name)
		}
		switch {
		case known:
			s.at[member] = span{start, s.pos}
		case isSet:
			s.set = append(s.set, model.FieldValue{Name: name, Raw: s.raw[start:s.pos]})
		}
		switch s.next() {
		case ',':
			s.pos++
		case '}':
			s.pos++
			if isSet {
				s.set.Sort()
			}
			return nil
		default:
			return s.unexpected("a comma or a closing brace")
		}
	}
}

func (s *scanner) array(depth int) *model.Problem {
	s.pos++
	if s.next() == ']' {
		s.pos++
		return nil
	}
	for i := 0; ; i++ {
		if p := s.skip(depth + 1); p != nil {
			return p.Within(fmt.Sprintf("[%d]", i))
		}
		switch s.next() {
		case ',':
			s.pos++
		case ']':
			s.pos++
			return nil
		default:
			return s.unexpected("a comma or a closing bracket")
		}
	}
}

// text reads a string, and tells whether it has escapes.
func (s *scanner) text() (escaped bool, p *model.Problem) {
	start := s.pos
	end, escaped, wrong := jsontoken.Text(s.raw, start)
	s.pos = end
	switch {
	case wrong != 0:
		return escaped, s.unexpected(wrong.String())
	case escaped && jsontoken.HalfPair(s.raw[start:end]):
		return escaped, &model.Problem{Reason: "has half a surrogate pair", Fix: "write the character itself in UTF-8"}
	}
	return escaped, nil
}

func (s *scanner) number() *model.Problem {
	start := s.pos
	end, wrong := jsontoken.Number(s.raw, start)
	if s.pos = end; wrong != 0 {
		return s.unexpected(wrong.String())
	}
	if s.pos-start < 15 && !slices.Contains(s.raw[start:s.pos], 'e') && !slices.Contains(s.raw[start:s.pos], 'E') {
		return nil
	}
	if _, err := strconv.ParseFloat(string(s.raw[start:s.pos]), 64); err != nil {
		return &model.Problem{Reason: "is a number too large to be read", Fix: "give a number that fits a 64-bit float"}
	}
	return nil
}

// nameSet holds the names of an object's members; the few of a usual one need no map.
type nameSet struct {
	few    [12]string
	n      int
	places uint64 // of the few, by namePlace
	many   map[string]bool
}

// namePlace is one of 64 bits, the same for all names that strings.EqualFold takes for one: by
// length and first letter where all are ASCII, and all bits for a name with other letters, some of
// which fold to ASCII.
func namePlace(name string) uint64 {
	for i := range len(name) {
		if name[i] >= utf8.RuneSelf {
			return ^uint64(0)
		}
	}
	if name == "" {
		return 1
	}
	return 1 << ((uint(len(name))*7 + uint(name[0]|0x20)) % 64)
}

// add returns false when the name was there; with anyCase, also when it was there in other case.
func (s *nameSet) add(name string, anyCase bool) bool {
	place := namePlace(name)
	if s.places&place != 0 { // else it is none of them
		for _, other := range s.few[:s.n] {
			if other == name || anyCase && strings.EqualFold(other, name) {
				return false
			}
		}
	}
	if s.n < len(s.few) {
		s.places |= place
		s.few[s.n] = name
		s.n++
		return true
	}
	if anyCase {
		name = strings.Map(folded, name)
	}
	if s.many[name] {
		return false
	}
	if s.many == nil {
		s.many = make(map[string]bool)
	}
	s.many[name] = true
	return true
}

// folded is the same letter for all that strings.EqualFold takes for one: the least of them.
func folded(r rune) rune {
	for next := unicode.SimpleFold(r); ; next = unicode.SimpleFold(next) {
		if next <= r {
			return next
		}
	}
}
