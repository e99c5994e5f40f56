package export

import (
	"unicode/utf8"
)

// Texts pass through here twice: appendClean takes out what no XML 1.0 document can carry,
// then one of the escapers writes it into a format. Nothing else puts text into a file.

// appendClean copies text without the characters that XML 1.0 forbids even when escaped
// (production 2, Char): controls but tab, line feed and carriage return, U+FFFE and U+FFFF.
// Bytes that are not UTF-8 become U+FFFD.
func appendClean(dst []byte, text string) []byte {
	if isPlainASCII(text) {
		return append(dst, text...)
	}
	for _, r := range text {
		switch {
		case r < 0x20 && r != '\t' && r != '\n' && r != '\r', r == 0xFFFE, r == 0xFFFF:
		default:
			dst = utf8.AppendRune(dst, r)
		}
	}
	return dst
}

// isPlainASCII tells whether text is clean as it is and stands for itself in JSON.
func isPlainASCII[T string | []byte](text T) bool {
	i := 0
	for ; i+8 <= len(text); i += 8 {
		x := eight(text[i : i+8])
		quotes, slashes := x^each*'"', x^each*'\\'
		if (x|(x-each*0x20)|(quotes-each)|(slashes-each))&top != 0 {
			break
		}
	}
	return isPlainSlowly(text[i:])
}

// Eight bytes are looked at in one number: taking each*y from bytes below 0x80 sets the top
// bit of those below y and, by borrowing, may set that of others behind one such.
const each, top = 0x0101010101010101, 0x8080808080808080

func eight[T string | []byte](text T) uint64 {
	return uint64(text[0]) | uint64(text[1])<<8 | uint64(text[2])<<16 | uint64(text[3])<<24 |
		uint64(text[4])<<32 | uint64(text[5])<<40 | uint64(text[6])<<48 | uint64(text[7])<<56
}

func isPlainSlowly[T string | []byte](text T) bool {
	for i := range len(text) {
		if c := text[i]; c < 0x20 || c >= 0x80 || c == '\\' || c == '"' {
			return false
		}
	}
	return true
}

// clean is appendClean for the few texts that are not on the way of every feature.
func clean(text string) string {
	if isPlainASCII(text) {
		return text
	}
	return string(appendClean(nil, text))
}

// appendJSONText writes clean text as a JSON string.
func appendJSONText[T string | []byte](dst []byte, text T) []byte {
	dst = append(dst, '"')
	start := 0
	for i := 0; i < len(text); i++ {
		escaped := ""
		switch text[i] {
		case '"':
			escaped = `\"`
		case '\\':
			escaped = `\\`
		case '\n':
			escaped = `\n`
		case '\r':
			escaped = `\r`
		case '\t':
			escaped = `\t`
		default:
			continue
		}
		dst = append(append(dst, text[start:i]...), escaped...)
		start = i + 1
	}
	return append(append(dst, text[start:]...), '"')
}

// appendXMLText writes clean text as the content of an element. A bare carriage return
// would reach the reader as a line feed (XML 1.0, 2.11), so it is written as a reference.
func appendXMLText[T string | []byte](dst []byte, text T) []byte {
	return escape(dst, text, "&amp;", "&lt;", "&gt;")
}

// appendXMLofHTML writes clean text into an element whose content is read as HTML once the
// XML is undone, which is what a KML description is: escaped for both, it shows as typed.
func appendXMLofHTML[T string | []byte](dst []byte, text T) []byte {
	return escape(dst, text, "&amp;amp;", "&amp;lt;", "&amp;gt;")
}

// inXML are the bytes that XML text writes in another way.
var inXML = [256]bool{'&': true, '<': true, '>': true, '\r': true}

func escape[T string | []byte](dst []byte, text T, and, less, greater string) []byte {
	start := 0
	for i := 0; i < len(text); i++ {
		for i+8 <= len(text) && !mayEscape(eight(text[i:i+8])) {
			i += 8
		}
		if i == len(text) {
			break
		}
		if !inXML[text[i]] {
			continue // nearly always
		}
		escaped := ""
		switch text[i] {
		case '&':
			escaped = and
		case '<':
			escaped = less
		case '>':
			escaped = greater
		case '\r':
			escaped = "&#13;"
		}
		dst = append(append(dst, text[start:i]...), escaped...)
		start = i + 1
	}
	return append(dst, text[start:]...)
}

// mayEscape is false of eight bytes none of which XML text writes in another way: '<' and '>'
// differ in one bit.
func mayEscape(x uint64) bool {
	ands, angles := x^each*'&', (x|each*2)^each*'>'
	return ((x-each*0x20)|(ands-each)|(angles-each))&^x&top != 0 // those above 0x80 are no such bytes
}

// appendXMLName writes text as the rest of an XML ID or NCName after a prefix of letters.
// What a name may not hold, and the underscore itself, become _hex_, so that different
// texts stay different.
func appendXMLName(dst []byte, text string) []byte {
	const hex = "0123456789abcdef"
	start := 0
	for i := 0; i < len(text); i++ {
		if c := text[i]; !inXMLName[c] {
			dst = append(append(dst, text[start:i]...), '_', hex[c>>4], hex[c&15], '_')
			start = i + 1
		}
	}
	return append(dst, text[start:]...)
}

// inXMLName are the bytes that stand for themselves in a name.
var inXMLName = func() (is [256]bool) {
	for _, c := range []byte("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-.") {
		is[c] = true
	}
	return is
}()
