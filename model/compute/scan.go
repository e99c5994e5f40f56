package compute

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"headcut/model"
	"headcut/model/jsontoken"
	"headcut/model/jsonvalue"
)

// scanner reads the tokens of JSON (RFC 8259) one after the other, and says in plain words, by
// line, what it cannot read. Paths are put together on the way back, so that a whole input costs none. FuzzDecode holds it to the standard package.
type scanner struct {
	in []byte // UTF-8
	at int    // the next byte
}

// token is a value's beginning: all of it when it is neither an object nor a list.
type token struct {
	kind kind
	text []byte // of a text, unescaped; else as written; a part of the input, where it can be
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

// value reads the beginning of a value.
func (s *scanner) value() (token, *model.Problem) {
	c, p := s.peek()
	if p != nil {
		return token{}, p
	}
	switch c {
	case '{', '[':
		s.at++
		return token{kind: kind(c)}, nil
	case '"':
		read, p := s.string()
		return token{aText, read}, p
	}
	from := s.at
	kind, pass := kind(c), jsontoken.Word
	if c == '-' || '0' <= c && c <= '9' {
		kind, pass = aNumber, jsontoken.Number
	}
	end, wrong := pass(s.in, from)
	if p := s.read(end, wrong); p != nil {
		return token{}, p
	}
	return token{kind, s.in[from:end]}, nil
}

// more tells whether another member follows in an object or a list that ends with end,
// and reads the end when none does. first is whether none has been read yet.
func (s *scanner) more(first bool, end byte) (bool, *model.Problem) {
	c, p := s.peek()
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
		return false, s.unexpected("a comma or '" + string(end) + "'")
	}
	s.at++
	return true, nil
}

// name reads the name of a member and the colon after it.
func (s *scanner) name() ([]byte, *model.Problem) {
	c, p := s.peek()
	if p != nil {
		return nil, p
	}
	if c != '"' {
		return nil, s.unexpected("a name in quotes")
	}
	read, p := s.string()
	if p != nil {
		return nil, p
	}
	if c, p = s.peek(); p != nil {
		return nil, p
	}
	if c != ':' {
		return nil, s.unexpected("a colon")
	}
	s.at++
	return read, nil
}

// peek passes over white space and gives the byte after it.
func (s *scanner) peek() (byte, *model.Problem) {
	if s.at = jsontoken.Space(s.in, s.at); s.at < len(s.in) {
		return s.in[s.at], nil
	}
	return 0, s.early()
}

// read takes over what was passed over, and says what is wrong there.
func (s *scanner) read(end int, wrong jsontoken.Fault) *model.Problem {
	s.at = end
	switch {
	case wrong == 0:
		return nil
	case end == len(s.in):
		return s.early()
	case wrong == jsontoken.Letter:
		return s.unexpected(fmt.Sprintf("a letter (write it as \\u%04x)", s.in[end]))
	}
	return s.unexpected(wrong.String())
}

// string reads a text in quotes.
func (s *scanner) string() ([]byte, *model.Problem) {
	from := s.at
	end, escaped, wrong := jsontoken.Text(s.in, from)
	if p := s.read(end, wrong); p != nil {
		return nil, p
	}
	if !escaped {
		return s.in[from+1 : end-1], nil
	}
	if jsontoken.HalfPair(s.in[from:end]) {
		return nil, &model.Problem{Line: s.line(), Reason: "has half a surrogate pair", Fix: "write the character itself in UTF-8"}
	}
	return []byte(jsonvalue.Text(s.in[from:end])), nil
}

func (s *scanner) early() *model.Problem {
	s.at = len(s.in)
	return &model.Problem{Line: s.line(), Reason: "the input ends too early", Fix: "close the bracket, brace or quote that is open, or send all of it"}
}

// unexpected is the Problem of what stands at s.at.
func (s *scanner) unexpected(wanted string) *model.Problem {
	rest := strings.ToLower(strings.TrimLeft(string(s.in[s.at:min(len(s.in), s.at+8)]), "+-"))
	for _, not := range []string{"NaN", "Inf"} {
		if strings.HasPrefix(rest, strings.ToLower(not)) {
			return &model.Problem{Line: s.line(), Reason: not + " is not a number", Fix: "leave out what was not measured"}
		}
	}
	r, _ := utf8.DecodeRune(s.in[s.at:])
	return &model.Problem{Line: s.line(), Reason: "is not JSON: there is " + strconv.QuoteRune(r) + " where " + wanted + " should be", Fix: "write " + wanted + " there"}
}

// line is the line of s.at, counted from 1.
func (s *scanner) line() int { return 1 + bytes.Count(s.in[:s.at], []byte("\n")) }
