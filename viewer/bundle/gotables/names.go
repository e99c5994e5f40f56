package gotables

import (
	"bytes"
	"errors"
	"strings"
)

// The names of functions that lose theirs: in a trace they say why there is none. Their form is that of a
// wrapper's name, which panicwrap cuts up.
const (
	namelessRuntime = "runtime.(*unnamed).function"
	nameless        = "headcut.(*unnamed).function"
)

// named are the functions that the runtime knows by their names.
var named = []string{"reflect.makeFuncStub", "reflect.methodValueCall"}

// newNames is the table of names that is written in place of the linker's.
type newNames struct {
	into    []byte
	content []byte
	offsets map[string]uint32
}

func (t *tables) newNames() *newNames {
	n := &newNames{into: t.bytes(t.names), offsets: map[string]uint32{}}
	n.content = []byte{0} // 0 is no name
	for _, name := range append([]string{nameless, namelessRuntime}, named...) {
		n.offsets[name] = uint32(len(n.content))
		n.content = append(append(n.content, name...), 0)
	}
	return n
}

// offset is where the new table has the name for the function called so.
func (n *newNames) offset(name string) uint32 {
	if at, kept := n.offsets[name]; kept {
		return at
	}
	if strings.HasPrefix(name, "runtime.") {
		return n.offsets[namelessRuntime]
	}
	return n.offsets[nameless]
}

func (n *newNames) write() error {
	if len(n.content) > len(n.into) {
		return errors.New("the table of names is shorter than what replaces it")
	}
	clear(n.into[copy(n.into, n.content):])
	return nil
}

// name is that of the function with its record at a place.
func (t *tables) name(record int) (string, error) {
	offset := int(t.word(record + nameOff))
	if !t.names.holds(offset, 1) {
		return "", errors.New("a name is outside of their table")
	}
	name, _, ends := bytes.Cut(t.bytes(t.names)[offset:], []byte{0})
	if !ends {
		return "", errors.New("a name does not end")
	}
	return string(name), nil
}
