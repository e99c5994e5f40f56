package compute

import (
	"bytes"
	"reflect"
	"slices"
)

// Series answers inputs of one computation that have much in common, as plans with several values of one field
// have. The answers are those of Run, to the byte; the longest list of an input, where the next one has it too, is
// read once, and written once where answers repeat it. The zero Series is ready; it is not for use by several
// goroutines at once.
type Series struct{ list longest }

// Run answers as the package's Run does. rest is the answer without what the longest list has in it, as "bed":[].
func (s *Series) Run(name string, in []byte) (answer, rest []byte, err error) {
	c, err := named(name)
	if err != nil {
		return nil, nil, err
	}
	s.list.given, s.list.at = nil, 0
	if answer, err = c.run(in, deserved, budget(nil), &s.list); err != nil {
		return nil, nil, err
	}
	at := s.list.at
	if at == 0 {
		return answer, answer, nil
	}
	return answer, slices.Concat(answer[:at], []byte("[]"), answer[at+len(s.list.written):]), nil
}

// longest is the longest list of the inputs so far. nil: nobody asks for one again.
type longest struct {
	field   *field         // that it was read for; nil: there was none yet
	text    []byte         // in the input
	read    reflect.Value  // of which computations get copies, as they may turn one about
	room    int            // that it takes
	given   *reflect.Value // the copy that the input under way has; nil: it has another
	written []byte         // as an answer has it
	at      int            // where that begins in the answer; 0: nowhere
}

// longText is how many bytes a list has to be worth comparing.
const longText = 4 << 10

// again tells whether the text begins with the list, and gives it to v.
func (l *longest) again(text []byte, v reflect.Value, f *field) bool {
	if l == nil || l.field != f || l.read.Type() != v.Type() || !bytes.HasPrefix(text, l.text) {
		return false
	}
	l.give(v)
	return true
}

// keep takes a list that was read from this text.
func (l *longest) keep(text []byte, v reflect.Value, f *field, room int) {
	if l == nil || v.Kind() != reflect.Slice || len(text) < longText || l.field != f && len(text) < len(l.text) {
		return
	}
	*l = longest{field: f, text: text, read: reflect.ValueOf(v.Interface()), room: room}
	l.give(v)
}

func (l *longest) give(v reflect.Value) {
	list := reflect.MakeSlice(l.read.Type(), l.read.Len(), l.read.Len())
	reflect.Copy(list, l.read)
	v.Set(list)
	l.given = &list
}

// is tells whether a list of an answer is that of the input, in which no computation that repeats it changes
// anything.
func (l *longest) is(v reflect.Value) bool {
	return l != nil && l.given != nil && v.Len() == l.given.Len() && v.Type() == l.given.Type() && v.Pointer() == l.given.Pointer()
}
