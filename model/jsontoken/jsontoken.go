// Package jsontoken passes over the tokens of JSON (RFC 8259), byte by byte as the standard has them, for
// those who read texts and must say where one is wrong: computations their input (model/compute), the
// register its entries (sync/register). What the values mean, how deep they may stand in one another and
// which names are known is theirs. Fuzz tests of both hold this to encoding/json.
//
// A place is an index into the text. Each function is given the place where its token begins and gives
// the one after it, or that of what is wrong: the text's length when it ends too early.
package jsontoken

import (
	"strconv"
	"unicode/utf16"
	"unicode/utf8"
)

// Fault is what should stand at a place; the zero Fault where nothing is wrong.
type Fault byte

// What should stand where a token goes wrong.
const (
	_         Fault = iota
	Value           // one of the values
	Digit           // of a number
	OneNought       // at a number's beginning
	Escape          // what may follow a backslash
	Hex             // a digit of \u
	Letter          // of a text, and not a control character
	Quote           // the closing one
)

// String says it in plain words.
func (f Fault) String() string {
	return [...]string{
		Value: "a value", Digit: "a digit", OneNought: "a number without leading noughts", Escape: `one of "\/bfnrtu after a backslash`,
		Hex: "four hexadecimal digits after \\u", Letter: "text without control characters", Quote: "the closing quote",
	}[f]
}

// Space passes over white space.
func Space(text []byte, at int) int {
	for at < len(text) && (text[at] == ' ' || text[at] == '\n' || text[at] == '\t' || text[at] == '\r') {
		at++
	}
	return at
}

// Text passes over a text in quotes, and tells whether it has escapes. Halves of surrogate pairs are
// escapes like others (section 8.2): see HalfPair.
func Text(text []byte, at int) (end int, escaped bool, wrong Fault) {
	for at++; at < len(text); at++ {
		switch c := text[at]; {
		case c > '\\' || c > '"' && c < '\\':
		case c == '"':
			return at + 1, escaped, 0
		case c < ' ':
			return at, escaped, Letter
		case c == '\\':
			escaped = true
			if at, wrong = escape(text, at+1); wrong != 0 {
				return at, escaped, wrong
			}
		}
	}
	return len(text), escaped, Quote
}

// escape gives the place of an escape's last byte; at is that after the backslash.
func escape(text []byte, at int) (int, Fault) {
	if at == len(text) {
		return at, Escape
	}
	switch text[at] {
	case '"', '\\', '/', 'b', 'f', 'n', 'r', 't':
		return at, 0
	case 'u':
		for range 4 {
			if at++; at == len(text) || !hexadecimal(text[at]) {
				return at, Hex
			}
		}
		return at, 0
	}
	return at, Escape
}

func hexadecimal(c byte) bool {
	return '0' <= c && c <= '9' || 'a' <= c|0x20 && c|0x20 <= 'f'
}

// HalfPair tells whether a text in quotes that Text passed over has half a surrogate pair, which some readers
// refuse and others replace.
func HalfPair(text []byte) bool {
	for i := 0; i < len(text); i++ {
		if text[i] != '\\' {
			continue
		}
		high, ok := EscapedUnit(text[i:])
		if i++; !ok {
			continue // another escape
		}
		if i += 4; !utf16.IsSurrogate(high) {
			continue
		}
		low, ok := EscapedUnit(text[i+1:])
		if !ok || utf16.DecodeRune(high, low) == utf8.RuneError {
			return true
		}
		i += 6
	}
	return false
}

// EscapedUnit reads the escape of six bytes at the beginning: \u and four hexadecimal digits; false where
// there is none.
func EscapedUnit(text []byte) (rune, bool) {
	if len(text) < 6 || text[0] != '\\' || text[1] != 'u' {
		return 0, false
	}
	v, err := strconv.ParseUint(string(text[2:6]), 16, 16)
	return rune(v), err == nil
}

// Number passes over a number. How large it is does not matter.
func Number(text []byte, at int) (end int, wrong Fault) {
	if at < len(text) && text[at] == '-' {
		at++
	}
	nought := at < len(text) && text[at] == '0'
	first := at
	if at, wrong = digits(text, at); wrong != 0 {
		return at, wrong
	}
	if nought && at > first+1 {
		return first + 1, OneNought
	}
	if at < len(text) && text[at] == '.' {
		if at, wrong = digits(text, at+1); wrong != 0 {
			return at, wrong
		}
	}
	if at < len(text) && text[at]|0x20 == 'e' {
		if at++; at < len(text) && (text[at] == '+' || text[at] == '-') {
			at++
		}
		return digits(text, at)
	}
	return at, 0
}

// digits passes over one digit or more.
func digits(text []byte, at int) (int, Fault) {
	first := at
	for at < len(text) && '0' <= text[at] && text[at] <= '9' {
		at++
	}
	if at == first {
		return at, Digit
	}
	return at, 0
}

// Word passes over true, false or null. A word that is none of them is wrong from its beginning.
func Word(text []byte, at int) (end int, wrong Fault) {
	for _, word := range [...]string{"true", "false", "null"} {
		n := 0
		for n < len(word) && at+n < len(text) && text[at+n] == word[n] {
			n++
		}
		if n == len(word) {
			return at + n, 0
		}
		if n > 0 && at+n == len(text) {
			return at + n, Value
		}
	}
	return at, Value
}
