package intake

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"headcut/model"
)

// plainText watches the bytes of a JSON or CSV text on their way to a parser that would
// not mind: it stops at bytes that are not UTF-8, at NUL, and at JSON that nests beyond
// MaxDepth, and remembers where lines begin. Lines of a table may end with CR alone, as spreadsheets
// of old Macintoshes write them: the parser gets LF instead, but within quotation marks.
type plainText struct {
	in      *source
	nesting bool // it is JSON, whose brackets are counted; else a table

	offset   int64 // bytes passed on
	room     int   // bytes that may still be passed on before the next allow
	line     int
	part     []byte  // of a rune that is not yet whole
	newlines []int64 // offsets of line ends that lineAt has not passed
	passed   int     // line ends that lineAt has passed

	depth           int
	quoted, escaped bool
}

func newPlainText(in *source, nesting bool) *plainText {
	return &plainText{in: in, nesting: nesting, line: 1, room: MaxFeature}
}

// endLines makes an LF of each CR that ends a line alone.
func (t *plainText) endLines(p []byte) {
	for i, b := range p {
		switch {
		case b == '"':
			t.quoted = !t.quoted
		case b == '\r' && !t.quoted:
			next := p[i+1:]
			if len(next) == 0 {
				next, _ = t.in.buffered.Peek(1) // none at the end of the file
			}
			if len(next) == 0 || next[0] != '\n' {
				p[i] = '\n'
			}
		}
	}
}

// allow says how long the next part of the text may be: parsers keep a whole part in memory.
func (t *plainText) allow(room int) { t.room = room }

func (t *plainText) Read(p []byte) (int, error) {
	n, err := t.in.Read(p)
	before := t.offset
	if !t.nesting {
		t.endLines(p[:n])
	}
	usual := false // nothing is pending that an ordinary byte would end
	for i, b := range p[:n] {
		if usual && ordinary[b] {
			continue
		}
		t.offset = before + int64(i) + 1
		if fault := t.watch(b); fault != nil {
			t.in.err = fault
			return i, fault
		}
		usual = len(t.part) == 0 && !t.escaped
	}
	t.offset = before + int64(n)
	if t.room -= n; t.room < 0 {
		t.in.err = &model.Problem{Line: t.line, Reason: fmt.Sprintf("byte %d: a row or feature is too long to be read", t.offset), Fix: "split it"}
		return n, t.in.err
	}
	if err == io.EOF && len(t.part) > 0 {
		t.in.err = t.notUTF8()
		return n, t.in.err
	}
	return n, err
}

// ordinary are the bytes that watch need not check.
var ordinary = func() (yes [256]bool) {
	for b := range yes {
		yes[b] = b >= ' ' && b < utf8.RuneSelf && !strings.ContainsRune(`"\[]{}`, rune(b))
	}
	return yes
}()

// watch checks the byte that ends at offset.
func (t *plainText) watch(b byte) *model.Problem {
	switch {
	case b >= utf8.RuneSelf || len(t.part) > 0:
		t.part = append(t.part, b)
		if utf8.FullRune(t.part) {
			if r, size := utf8.DecodeRune(t.part); r == utf8.RuneError && size == 1 {
				return t.notUTF8()
			}
			t.part = t.part[:0]
		}
	case b == 0:
		return &model.Problem{Line: t.line, Reason: fmt.Sprintf("byte %d is NUL: this is not text", t.offset)}
	case b == '\n':
		t.newlines = append(t.newlines, t.offset-1)
		t.line++
	}
	if !t.nesting {
		return nil
	}
	switch {
	case t.escaped:
		t.escaped = false
	case t.quoted && b == '\\':
		t.escaped = true
	case b == '"':
		t.quoted = !t.quoted
	case t.quoted:
	case b == '[' || b == '{':
		if t.depth++; t.depth > MaxDepth {
			return &model.Problem{Line: t.line, Reason: fmt.Sprintf("byte %d: arrays and objects nest deeper than %d", t.offset, MaxDepth)}
		}
	case b == ']' || b == '}':
		t.depth--
	}
	return nil
}

func (t *plainText) notUTF8() *model.Problem {
	return &model.Problem{Line: t.line, Reason: fmt.Sprintf("byte %d is not UTF-8 text", t.offset+1-int64(len(t.part))), Fix: "save it as UTF-8"}
}

// lineAt is the line of the byte at offset. Calls must come with rising offsets.
func (t *plainText) lineAt(offset int64) int {
	for len(t.newlines) > 0 && t.newlines[0] < offset {
		t.newlines = t.newlines[1:]
		t.passed++
	}
	return t.passed + 1
}
