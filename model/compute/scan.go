package compute

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"headcut/model"
)

// scanner reads the tokens of JSON (RFC 8259) one after the other, and says in plain words, by
// line and path, what it cannot read. FuzzDecode holds it to the standard package.
type scanner struct {
	in []byte // UTF-8
	at int    // the next byte
}

// token is a value's beginning: all of it when it is neither an object nor a list.
type token struct {
	kind kind
	text string // of a text, unescaped; of a number, as written
}

// kind is what sort of value a token begins, by the byte that such values begin with.
type kind byte

const (
	anObject kind = '{'
	aList    kind = '['
	aText    kind = '"'
	aNumber  kind = '0'
	isTrue   kind = 't'
	isFalse  kind = 'f'
	isNull   kind = 'n'
)

// value reads the beginning of a value; path is where it belongs.
func (s *scanner) value(path string) (token, *model.Problem) {
	c, p := s.peek(path)
	if p != nil {
		return token{}, p
	}
	switch c {
	case '{', '[':
		s.at++
		return token{kind: kind(c)}, nil
	case '"':
		read, p := s.string(path)
		return token{aText, read}, p
	case 't':
		return s.word("true", isTrue, path)
	case 'f':
		return s.word("false", isFalse, path)
	case 'n':
		return s.word("null", isNull, path)
	}
	if c == '-' || '0' <= c && c <= '9' {
		return s.number(path)
	}
	return token{}, s.unexpected(path, "a value")
}

// more tells whether another member follows in an object or a list that ends with end,
// and reads the end when none does. first is whether none has been read yet.
func (s *scanner) more(first bool, end byte, path string) (bool, *model.Problem) {
	c, p := s.peek(path)
	if p != nil {
		return false, p
	}
	if c == end {
		s.at++
		return false, nil
	}
	if first {
		return true, nil
	}
	if c != ',' {
		return false, s.unexpected(path, "a comma or '"+string(end)+"'")
	}
	s.at++
	return true, nil
}

// name reads the name of a member and the colon after it.
func (s *scanner) name(path string) (string, *model.Problem) {
	c, p := s.peek(path)
	if p != nil {
		return "", p
	}
	if c != '"' {
		return "", s.unexpected(path, "a name in quotes")
	}
	read, p := s.string(path)
	if p != nil {
		return "", p
	}
	if c, p = s.peek(path); p != nil {
		return "", p
	}
	if c != ':' {
		return "", s.unexpected(path, "a colon")
	}
	s.at++
	return read, nil
}

// peek passes over white space and gives the byte after it.
func (s *scanner) peek(path string) (byte, *model.Problem) {
	for s.at < len(s.in) {
		switch c := s.in[s.at]; c {
		case ' ', '\t', '\n', '\r':
			s.at++
		default:
			return c, nil
		}
	}
	return 0, s.early(path)
}

func (s *scanner) word(word string, kind kind, path string) (token, *model.Problem) {
	for i := range len(word) {
		if s.at+i == len(s.in) {
			return token{}, s.early(path)
		}
		if s.in[s.at+i] != word[i] {
			return token{}, s.unexpected(path, "a value")
		}
	}
	s.at += len(word)
	return token{kind: kind}, nil
}

func (s *scanner) number(path string) (token, *model.Problem) {
	from := s.at
	if s.in[s.at] == '-' {
		s.at++
	}
	leading := s.at
	if p := s.digits(path); p != nil {
		return token{}, p
	}
	if s.in[leading] == '0' && s.at > leading+1 {
		s.at = leading + 1
		return token{}, s.unexpected(path, "a number without leading noughts")
	}
	if s.at < len(s.in) && s.in[s.at] == '.' {
		s.at++
		if p := s.digits(path); p != nil {
			return token{}, p
		}
	}
	if s.at < len(s.in) && (s.in[s.at] == 'e' || s.in[s.at] == 'E') {
		s.at++
		if s.at < len(s.in) && (s.in[s.at] == '+' || s.in[s.at] == '-') {
			s.at++
		}
		if p := s.digits(path); p != nil {
			return token{}, p
		}
	}
	return token{aNumber, string(s.in[from:s.at])}, nil
}

// digits reads one digit or more.
func (s *scanner) digits(path string) *model.Problem {
	from := s.at
	for s.at < len(s.in) && '0' <= s.in[s.at] && s.in[s.at] <= '9' {
		s.at++
	}
	switch {
	case s.at > from:
		return nil
	case s.at == len(s.in):
		return s.early(path)
	default:
		return s.unexpected(path, "a digit")
	}
}

// string reads a text in quotes.
func (s *scanner) string(path string) (string, *model.Problem) {
	from := s.at
	escaped := false
	for s.at++; s.at < len(s.in); s.at++ {
		switch c := s.in[s.at]; {
		case c == '"':
			s.at++
			if !escaped {
				return string(s.in[from+1 : s.at-1]), nil
			}
			var read string
			_ = json.Unmarshal(s.in[from:s.at], &read) // it has been scanned
			return read, nil
		case c == '\\':
			escaped = true
			if p := s.escape(path); p != nil {
				return "", p
			}
		case c < ' ' && escaped:
			return "", s.unexpected(path, "a letter")
		case c < ' ':
			return "", s.unexpected(path, fmt.Sprintf("a letter (write it as \\u%04x)", c))
		}
	}
	return "", s.early(path)
}

// escape passes over what a backslash begins, but for its last byte.
func (s *scanner) escape(path string) *model.Problem {
	if s.at++; s.at == len(s.in) {
		return s.early(path)
	}
	if s.in[s.at] != 'u' {
		if strings.IndexByte(`"\/bfnrt`, s.in[s.at]) < 0 {
			return s.unexpected(path, `one of "\/bfnrtu after a backslash`)
		}
		return nil
	}
	for range 4 {
		if s.at++; s.at == len(s.in) {
			return s.early(path)
		}
		if strings.IndexByte("0123456789abcdefABCDEF", s.in[s.at]) < 0 {
			return s.unexpected(path, "four hexadecimal digits after \\u")
		}
	}
	return nil
}

func (s *scanner) early(path string) *model.Problem {
	s.at = len(s.in)
	return &model.Problem{Path: path, Line: s.line(), Reason: "the input ends too early", Fix: "close the bracket, brace or quote that is open, or send all of it"}
}

// unexpected is the Problem of what stands at s.at.
func (s *scanner) unexpected(path, wanted string) *model.Problem {
	rest := strings.ToLower(strings.TrimLeft(string(s.in[s.at:min(len(s.in), s.at+8)]), "+-"))
	for _, not := range []string{"NaN", "Inf"} {
		if strings.HasPrefix(rest, strings.ToLower(not)) {
			return &model.Problem{Path: path, Line: s.line(), Reason: not + " is not a number", Fix: "leave out what was not measured"}
		}
	}
	r, _ := utf8.DecodeRune(s.in[s.at:])
	return &model.Problem{Path: path, Line: s.line(), Reason: "is not JSON: there is " + strconv.QuoteRune(r) + " where " + wanted + " should be", Fix: "write " + wanted + " there"}
}

// line is the line of s.at, counted from 1.
func (s *scanner) line() int { return 1 + bytes.Count(s.in[:s.at], []byte("\n")) }
