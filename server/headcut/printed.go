package main

import (
	"bytes"
	"io"
	"unicode"
)

// printed writes words for a person. What is no letter, sign or space is shown as U+FFFD: names
// come from phones and files of anybody, and a control character in one could colour, hide or forge
// what the office reads in a terminal.
type printed struct{ to io.Writer }

// Write implements io.Writer.
func (p printed) Write(b []byte) (int, error) {
	if _, err := p.to.Write(bytes.Map(shown, b)); err != nil {
		return 0, err
	}
	return len(b), nil
}

func shown(r rune) rune {
	if r == '\n' || r == '\t' || !unicode.IsControl(r) && !redirects(r) {
		return r
	}
	return unicode.ReplacementChar
}

// redirects reports whether a character turns the direction of the text round it (Unicode UAX 9).
func redirects(r rune) bool {
	return r >= 0x202A && r <= 0x202E || r >= 0x2066 && r <= 0x2069
}

// plainOutput is where control sequences of our own go.
func plainOutput(w io.Writer) io.Writer {
	if p, ok := w.(printed); ok {
		return p.to
	}
	return w
}
