package register

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"

	"headcut/model"
)

// nestingLimit is how deep arrays and objects may stand in one another.
const nestingLimit = 32

// scan checks that raw is one JSON text without the looseness that readers of JSON
// disagree about: members named twice, half surrogates, numbers beyond a float64. A
// fault's Problem has the JSON path to it.
//
// With anyCase, names that differ in case alone count as the same, but for those of fields,
// which are free.
//
// It returns the members of the object that raw is, nil when it is something else, and
// those of the object in its member "set".
func scan(raw []byte, anyCase bool) (top, set map[string]json.RawMessage, p *model.Problem) {
	if !utf8.Valid(raw) {
		return nil, nil, &model.Problem{Reason: "the entry is not UTF-8 text"}
	}
	s := scanner{raw: raw, anyCase: anyCase}
	if s.next() == '{' {
		s.top = make(map[string]json.RawMessage, 16)
	}
	if p := s.value(0, s.top); p != nil {
		return nil, nil, p
	}
	if s.space(); s.pos < len(raw) {
		return nil, nil, s.unexpected("the end")
	}
	return s.top, s.set, nil
}

type scanner struct {
	raw      []byte
	pos      int
	anyCase  bool
	top, set map[string]json.RawMessage
}

func (s *scanner) space() {
	for s.pos < len(s.raw) {
		switch s.raw[s.pos] {
		case ' ', '\t', '\n', '\r':
			s.pos++
		default:
			return
		}
	}
}

// next skips white space and returns the byte that follows, 0 at the end.
func (s *scanner) next() byte {
	s.space()
	if s.pos == len(s.raw) {
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

// value reads a value; members of it, when it is an object, go into the map unless that is nil.
func (s *scanner) value(depth int, into map[string]json.RawMessage) *model.Problem {
	if depth > nestingLimit {
		return &model.Problem{Reason: fmt.Sprintf("nests more than %d deep", nestingLimit)}
	}
	switch c := s.next(); {
	case c == '{':
		return s.object(depth, into)
	case c == '[':
		return s.array(depth)
	case c == '"':
		_, _, p := s.text()
		return p
	case c == '-' || c >= '0' && c <= '9':
		return s.number()
	}
	for _, word := range [...]string{"true", "false", "null"} {
		if rest := s.raw[s.pos:]; len(rest) >= len(word) && string(rest[:len(word)]) == word {
			s.pos += len(word)
			return nil
		}
	}
	return s.unexpected("a value")
}

func (s *scanner) object(depth int, into map[string]json.RawMessage) *model.Problem {
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
		quoted, escaped, p := s.text()
		if p != nil {
			return p
		}
		name := string(quoted[1 : len(quoted)-1])
		if escaped && json.Unmarshal(quoted, &name) != nil {
			return s.unexpected("a member's name")
		}
		if isSet := depth == 1 && into != nil; !names.add(name, s.anyCase && !isSet) {
			return &model.Problem{Path: name, Reason: "stands twice", Fix: "name each member once, in upper or lower case"}
		}
		if s.next() != ':' {
			return s.unexpected("a colon").Within(name)
		}
		s.pos++
		var below map[string]json.RawMessage
		if first := s.next(); depth == 0 && name == "set" && first == '{' {
			s.set = make(map[string]json.RawMessage)
			below = s.set
		}
		start := s.pos
		if p := s.value(depth+1, below); p != nil {
			return p.Within(name)
		}
		if into != nil {
			into[name] = s.raw[start:s.pos]
		}
		switch s.next() {
		case ',':
			s.pos++
		case '}':
			s.pos++
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
		if p := s.value(depth+1, nil); p != nil {
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

// text reads a string, and returns it with its quotes and whether it has escapes.
func (s *scanner) text() (quoted []byte, escaped bool, p *model.Problem) {
	start := s.pos
	for s.pos++; s.pos < len(s.raw); s.pos++ {
		switch c := s.raw[s.pos]; {
		case c == '"':
			s.pos++
			return s.raw[start:s.pos], escaped, nil
		case c < ' ':
			return nil, false, s.unexpected("text without control characters")
		case c == '\\':
			escaped = true
			if p := s.escape(); p != nil {
				return nil, false, p
			}
		}
	}
	return nil, false, s.unexpected("the closing quote")
}

// escape reads one escape and leaves pos on its last byte.
func (s *scanner) escape() *model.Problem {
	if s.pos+1 < len(s.raw) && slices.Contains([]byte(`"\/bfnrt`), s.raw[s.pos+1]) {
		s.pos++
		return nil
	}
	high, ok := s.unicode()
	if !ok {
		return s.unexpected("an escape")
	}
	s.pos += 5
	if utf16.IsSurrogate(high) {
		s.pos++
		low, ok := s.unicode()
		if !ok || utf16.DecodeRune(high, low) == utf8.RuneError {
			return &model.Problem{Reason: "has half a surrogate pair", Fix: "write the character itself in UTF-8"}
		}
		s.pos += 5
	}
	return nil
}

// unicode reads the escape of six bytes at pos: \u and four hexadecimal digits.
func (s *scanner) unicode() (rune, bool) {
	if len(s.raw) < s.pos+6 || s.raw[s.pos] != '\\' || s.raw[s.pos+1] != 'u' {
		return 0, false
	}
	v, err := strconv.ParseUint(string(s.raw[s.pos+2:s.pos+6]), 16, 16)
	return rune(v), err == nil
}

func (s *scanner) number() *model.Problem {
	start := s.pos
	if s.raw[s.pos] == '-' {
		s.pos++
	}
	if s.pos < len(s.raw) && s.raw[s.pos] == '0' {
		s.pos++
	} else if !s.digits() {
		return s.unexpected("a digit")
	}
	if s.pos < len(s.raw) && s.raw[s.pos] == '.' {
		if s.pos++; !s.digits() {
			return s.unexpected("a digit")
		}
	}
	if s.pos < len(s.raw) && s.raw[s.pos]|0x20 == 'e' {
		s.pos++
		if s.pos < len(s.raw) && (s.raw[s.pos] == '+' || s.raw[s.pos] == '-') {
			s.pos++
		}
		if !s.digits() {
			return s.unexpected("a digit")
		}
	}
	if s.pos-start < 15 && !slices.Contains(s.raw[start:s.pos], 'e') && !slices.Contains(s.raw[start:s.pos], 'E') {
		return nil
	}
	if _, err := strconv.ParseFloat(string(s.raw[start:s.pos]), 64); err != nil {
		return &model.Problem{Reason: "is a number too large to be read", Fix: "give a number that fits a 64-bit float"}
	}
	return nil
}

func (s *scanner) digits() bool {
	start := s.pos
	for s.pos < len(s.raw) && s.raw[s.pos] >= '0' && s.raw[s.pos] <= '9' {
		s.pos++
	}
	return s.pos > start
}

// nameSet holds the names of an object's members; the few of a usual one need no map.
type nameSet struct {
	few  [12]string
	n    int
	many map[string]bool
}

// add returns false when the name was there; with anyCase, also when it was there in other case.
func (s *nameSet) add(name string, anyCase bool) bool {
	for _, other := range s.few[:s.n] {
		if other == name || anyCase && sameFolded(other, name) {
			return false
		}
	}
	if s.n < len(s.few) {
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

// sameFolded is strings.EqualFold, asked of few names of an entry: most differ in their first
// letter.
func sameFolded(a, b string) bool {
	if a == "" || b == "" || a[0] < utf8.RuneSelf && b[0] < utf8.RuneSelf && a[0]|0x20 != b[0]|0x20 {
		return false
	}
	return strings.EqualFold(a, b)
}

// folded is the same letter for all that strings.EqualFold takes for one: the least of them.
func folded(r rune) rune {
	for next := unicode.SimpleFold(r); ; next = unicode.SimpleFold(next) {
		if next <= r {
			return next
		}
	}
}
