package intake

import (
	"io"
	"strings"
	"unicode/utf8"
)

// singleBytes turns a single-byte encoding that an XML declaration names into UTF-8, a
// byte at a time so that the limits on tokens still hold.
type singleBytes struct {
	in     io.ByteReader
	high   func(byte) rune // the character of a byte from 0x80 up
	queued []byte          // the rest of a character
}

// charsetReader is for xml.Decoder.CharsetReader.
func charsetReader(label string, in io.Reader) (io.Reader, error) {
	bytewise := in.(io.ByteReader) // the decoder passes on the source it was given
	switch strings.ToLower(label) {
	case "iso-8859-1", "iso_8859-1", "latin1", "us-ascii":
		return &singleBytes{in: bytewise, high: func(b byte) rune { return rune(b) }}, nil
	case "windows-1252", "cp1252":
		return &singleBytes{in: bytewise, high: windows1252}, nil
	}
	return nil, unreadEncoding(label)
}

// unreadEncoding is the name of an encoding that charsetReader does not read.
type unreadEncoding string

// Error implements error.
func (label unreadEncoding) Error() string {
	return "the encoding " + quote(string(label)) + " is not read"
}

func (s *singleBytes) ReadByte() (byte, error) {
	if len(s.queued) > 0 {
		b := s.queued[0]
		s.queued = s.queued[1:]
		return b, nil
	}
	b, err := s.in.ReadByte()
	if err != nil || b < utf8.RuneSelf {
		return b, err
	}
	s.queued = utf8.AppendRune(s.queued[:0], s.high(b))
	return s.ReadByte()
}

func (s *singleBytes) Read(p []byte) (int, error) {
	if len(p) == 0 {
		return 0, nil
	}
	b, err := s.ReadByte()
	if err != nil {
		return 0, err
	}
	p[0] = b
	return 1, nil
}

// windows1252 follows the Encoding Standard's index: only 0x80 to 0x9f differ from
// ISO 8859-1, and the five unassigned bytes there stand for themselves.
func windows1252(b byte) rune {
	if b >= 0xa0 {
		return rune(b)
	}
	return [...]rune{
		'€', 0x81, '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', 0x8d, 'Ž', 0x8f,
		0x90, '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', 0x9d, 'ž', 'Ÿ',
	}[b-0x80]
}
