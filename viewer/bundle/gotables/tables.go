package gotables

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
)

// tables are the runtime's tables of functions in a program's memory.
type tables struct {
	memory []byte

	names, paths, pathsOfUnits, pcs table // what the runtime calls funcnametab, filetab, cutab, pctab
	functions                       table // pclntab: where each function starts, and its record
	finder                          table // findfunctab: near which function an address is
	data                            table // go:func.*: stack maps and the like
	count                           int   // of functions
	pcRange                         int   // from the first function's address to the end of the last
}

// table is a part of memory, as [at, at+size).
type table struct{ at, size int }

// headerBytes is the length of the runtime's pcHeader, moduledataWords how much of its moduledata is read.
const (
	headerBytes     = 72
	moduledataWords = 42
)

// magic begins the pcHeader since Go 1.20 (internal/abi/symtab.go), for wasm: addresses of one byte's
// grain, words of eight.
var magic = []byte{0xf1, 0xff, 0xff, 0xff, 0, 0, 1, 8}

// find finds the tables by the header and by the linker's moduledata, which must agree in all that both say.
func find(memory []byte) (*tables, error) {
	var found *tables
	for at := 0; ; at++ {
		next := bytes.Index(memory[at:], magic)
		if next < 0 {
			break
		}
		at += next
		t, err := tablesAt(memory, at)
		if err != nil {
			return nil, fmt.Errorf("at %#x: %w", at, err)
		}
		if t != nil && found != nil {
			return nil, errors.New("there are two tables of functions")
		} else if t != nil {
			found = t
		}
	}
	if found == nil {
		return nil, errors.New("there is no table of functions")
	}
	return found, nil
}

// tablesAt reads the tables whose header may be at a place; nil where no moduledata names it.
func tablesAt(memory []byte, header int) (*tables, error) {
	if header+headerBytes > len(memory) {
		return nil, nil
	}
	words := func(at, n int) []int {
		w := make([]int, n)
		for i := range w {
			w[i] = int(binary.LittleEndian.Uint64(memory[at+8*i:]))
		}
		return w
	}
	h := words(header+8, 8) // functions, files, unused, then the tables' distances from the header
	link := binary.LittleEndian.AppendUint64(nil, uint64(header))
	link = binary.LittleEndian.AppendUint64(link, uint64(header+h[3]))
	md := bytes.Index(memory, link)
	if md < 0 {
		return nil, nil
	}
	if bytes.Contains(memory[md+1:], link) || md+8*moduledataWords > len(memory) {
		return nil, errors.New("the linker's moduledata is not told apart")
	}
	m := words(md, moduledataWords)
	t := &tables{memory: memory, count: h[0]}
	var distances []int
	for i, of := range []*table{&t.names, &t.pathsOfUnits, &t.paths, &t.pcs, &t.functions} {
		at, length, capacity := m[1+3*i], m[2+3*i], m[3+3*i]
		*of = table{at, length}
		if length != capacity || length < 0 || length > len(memory) {
			return nil, errors.New("a table's length is not its capacity, or more than the memory")
		}
		distances = append(distances, at-header)
	}
	t.pathsOfUnits.size *= 4
	const finder, minpc, maxpc, gofunc, epclntab = 19, 20, 21, 40, 41
	t.finder = table{m[finder], m[epclntab] - m[finder]}
	t.data = table{m[gofunc], m[finder] - m[gofunc]}
	t.pcRange = m[maxpc] - m[minpc]
	order := []table{t.names, t.pathsOfUnits, t.paths, t.pcs, t.functions, t.data, t.finder}
	last := header + headerBytes
	for _, of := range order {
		if of.size < 0 || of.at < last || of.at+of.size < of.at || of.at+of.size > len(memory) {
			return nil, errors.New("the tables are not one after another")
		}
		last = of.at + of.size
	}
	for i, distance := range distances {
		if h[3+i] != distance {
			return nil, errors.New("the header and the linker's moduledata give the tables different places")
		}
	}
	if ftab, length := m[16], m[17]; ftab != t.functions.at || length != t.count+1 || t.count < 1 || 8*t.count+4 > t.functions.size {
		return nil, fmt.Errorf("the header counts %d functions, the linker's moduledata %d", t.count, length-1)
	}
	return t, nil
}

func (t *tables) word(at int) uint32         { return binary.LittleEndian.Uint32(t.memory[at:]) }
func (t *tables) setWord(at int, to uint32)  { binary.LittleEndian.PutUint32(t.memory[at:], to) }
func (t *tables) bytes(of table) []byte      { return t.memory[of.at : of.at+of.size] }
func (of table) holds(offset, size int) bool { return offset >= 0 && size <= of.size-offset }
