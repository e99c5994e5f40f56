package jsontoken

import (
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"
)

// pass passes over the token that begins a text which has no white space before it.
func pass(text []byte) (end int, wrong Fault) {
	switch {
	case len(text) > 0 && text[0] == '"':
		end, _, wrong = Text(text, 0)
		return end, wrong
	case len(text) > 0 && (text[0] == '-' || '0' <= text[0] && text[0] <= '9'):
		return Number(text, 0)
	}
	return Word(text, 0)
}

// TestTokens: what is wrong, and where; RFC 8259, sections 3, 6 and 7.
func TestTokens(t *testing.T) {
	for text, want := range map[string]struct {
		end   int
		wrong Fault
	}{
		"true": {4, 0}, "false": {5, 0}, "null,": {4, 0}, "tru": {3, Value}, "trux": {0, Value}, "nan": {0, Value}, "": {0, Value}, "x": {0, Value},
		"0": {1, 0}, "-0": {2, 0}, "10": {2, 0}, "0.5]": {3, 0}, "1e5": {3, 0}, "1E+05": {5, 0}, "1.25e-3 ": {7, 0}, "1-2": {1, 0}, "0x": {1, 0},
		"-": {1, Digit}, "-x": {1, Digit}, "1.": {2, Digit}, "1.e": {2, Digit}, "1e": {2, Digit}, "1e+": {3, Digit}, "1e-x": {3, Digit},
		"01": {1, OneNought}, "-00": {2, OneNought}, "00.5": {1, OneNought},
		`""`: {2, 0}, `"a" b`: {3, 0}, `"\""`: {4, 0}, `"\\"`: {4, 0}, `"\/\b\f\n\r\t"`: {14, 0}, `"\u00eF"`: {8, 0}, `"\ud83d"`: {8, 0}, "\"\u00e9\x7f!\"": {6, 0},
		`"`: {1, Quote}, `"a`: {2, Quote}, `"\`: {2, Escape}, `"\x"`: {2, Escape}, `"\U0000"`: {2, Escape}, `"\u`: {3, Hex}, `"\u00g0"`: {5, Hex}, `"\u004"`: {6, Hex}, "\"\x1f\"": {1, Letter}, "\"\\n\n\"": {3, Letter},
	} {
		if end, wrong := pass([]byte(text)); end != want.end || wrong != want.wrong {
			t.Errorf("%q: %d, %q, want %d, %q", text, end, wrong, want.end, want.wrong)
		}
	}
	for text, want := range map[string]bool{`"a"`: false, `"a\n"`: true, `"\u0041`: true, `"/"`: false} {
		if _, escaped, _ := Text([]byte(text), 0); escaped != want {
			t.Errorf("%s has escapes: %t", text, escaped)
		}
	}
	for text, want := range map[string]int{"": 0, "  \t\r\n1": 5, "1": 0, "\v": 0, "\u00a0": 0, "\n": 1} {
		if at := Space([]byte(text), 0); at != want {
			t.Errorf("%q: white space ends at %d, want %d", text, at, want)
		}
	}
}

// TestHalfPairs: RFC 8259, sections 7 and 8.2.
func TestHalfPairs(t *testing.T) {
	for text, want := range map[string]bool{
		`"a"`: false, `"\\ud83d"`: false, `"\ud83d\ude00"`: false, `"\uD83D\uDE00x"`: false, `"\u00e9"`: false, `"\n\\"`: false, `"\ud83d\ude00\ud83d\ude00"`: false,
		`"\ud83d"`: true, `"\ude00"`: true, `"\ude00\ud83d"`: true, `"\ud83dx"`: true, `"\ud83d\n"`: true, `"\ud83d\u0041"`: true, `"\ud83d\ude00\ud83d"`: true, `"\ud83d\\ude00"`: true,
	} {
		if HalfPair([]byte(text)) != want {
			t.Errorf("%s: half a pair is %t", text, !want)
		}
	}
}

// FuzzTokens holds the tokens to encoding/json: what is passed over is one value there, and what goes
// wrong is none, however it goes on after the place.
func FuzzTokens(f *testing.F) {
	for _, text := range []string{`"a\u00e9"x`, "-1.5e+10,", "true]", "01", `"\x"`, "nul"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if text == "" || strings.ContainsRune("{[ \t\r\n", rune(text[0])) || !utf8.ValidString(text) {
			return
		}
		end, wrong := pass([]byte(text))
		if end < 0 || end > len(text) {
			t.Fatalf("%q: place %d", text, end)
		}
		if wrong == 0 {
			if !json.Valid([]byte(text[:end])) {
				t.Fatalf("%q is passed over as %q, which is not JSON", text, text[:end])
			}
			return
		}
		var first json.RawMessage
		if err := json.NewDecoder(strings.NewReader(text)).Decode(&first); err == nil && wrong != OneNought {
			t.Fatalf("%q: %q at %d, and encoding/json reads %q", text, wrong, end, first)
		}
	})
}
