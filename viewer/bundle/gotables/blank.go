package gotables

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"headcut/viewer/bundle/wasmfile"
)

// Blank returns the program, a WebAssembly module made by Go, without what only a trace of its stack reads.
// It refuses a program whose tables it does not know in full, and leaves the one given as it is.
func Blank(program []byte) ([]byte, error) {
	blank, err := blankSections(program)
	if err != nil {
		return nil, fmt.Errorf("taking the names of functions out of the program: %w; "+
			"-names builds it with them, and viewer/bundle/gotables says what to read for another version of Go", err)
	}
	return blank, nil
}

func blankSections(program []byte) ([]byte, error) {
	sections, err := wasmfile.Sections(program)
	if err != nil {
		return nil, err
	}
	if err := checkVersion(sections); err != nil {
		return nil, err
	}
	isData := func(s wasmfile.Section) bool { return s.ID == wasmfile.Data }
	i := slices.IndexFunc(sections, isData)
	if i < 0 || slices.ContainsFunc(sections[i+1:], isData) {
		return nil, errors.New("it has no data section, or several")
	}
	if slices.ContainsFunc(sections, func(s wasmfile.Section) bool { return s.ID == wasmfile.DataCount }) {
		return nil, errors.New("it counts its data segments, which Go's linker does not")
	}
	memory, err := wasmfile.Memory(sections[i].Body)
	if err != nil {
		return nil, fmt.Errorf("data section: %w", err)
	}
	t, err := find(memory)
	if err == nil {
		err = t.blank()
	}
	if err != nil {
		return nil, fmt.Errorf("tables of functions: %w", err)
	}
	sections[i].Body = wasmfile.DataSection(memory)
	return wasmfile.Module(sections), nil
}

// knownVersion is the Go whose tables are known.
const knownVersion = "go1.26"

// checkVersion refuses a program of a Go whose tables are not known.
func checkVersion(sections []wasmfile.Section) error {
	version, err := wasmfile.LanguageVersion(sections, "Go")
	if err != nil {
		return err
	}
	if version == "" {
		return errors.New("it does not say which Go made it")
	}
	if rest, of := strings.CutPrefix(version, knownVersion); !of || rest != "" && rest[0] != '.' && rest[0] != '-' {
		return fmt.Errorf("it is made by %s, and only the tables of %s are known", version, knownVersion)
	}
	return nil
}

// Parts of a function's record (runtime2.go: _func), by their place in it, all but the last two four bytes long. After it
// come the places of the tables by address, then those in go:func.*, as internal/abi/symtab.go numbers them.
const (
	nameOff      = 4
	pcsp         = 16
	pcfile       = 20
	pcln         = 24
	npcdata      = 28
	cuOffset     = 32
	startLine    = 36
	funcID       = 40
	nfuncdata    = 43
	recordBytes  = 44
	absentData   = ^uint32(0)
	mostByPC     = 5 // PCDATA numbers that are known
	mostFuncdata = 8 // and FUNCDATA numbers
)

// A wrapper's record keeps what is inlined in it, by which the runtime tells who may recover from a panic.
const (
	idOfWrappers = 23 // abi.FuncIDWrapper
	inlTreeIndex = 2  // PCDATA
	inlTree      = 3  // FUNCDATA
)

// Of the tables by address and of a function's data: those that only a trace, a signal or the tracer reads.
var (
	blankByPC     = map[int]bool{0: true /* UnsafePoint */, inlTreeIndex: true, 3: true /* ArgLiveIndex */}
	blankFuncdata = map[int]bool{inlTree: true, 5: true /* ArgInfo */, 6: true /* ArgLiveInfo */, 7: true /* WrapInfo */}
)

// blank empties the tables in place.
func (t *tables) blank() error {
	kept := t.newNames()
	pcs := make([]bool, t.pcs.size) // which bytes of pctab stay
	data := dataParts{}
	for i := range t.count {
		at, err := t.record(i)
		if err != nil {
			return err
		}
		name, err := t.name(at)
		if err != nil {
			return err
		}
		t.setWord(at+nameOff, kept.offset(name))
		for _, part := range []int{pcfile, pcln, cuOffset, startLine} {
			t.setWord(at+part, 0)
		}
		wrapper := t.memory[at+funcID] == idOfWrappers
		byPC := at + recordBytes
		funcdata := byPC + 4*int(t.word(at+npcdata))
		tablesByPC := []int{at + pcsp}
		for k := range int(t.word(at + npcdata)) {
			if blankByPC[k] && !(k == inlTreeIndex && wrapper) {
				t.setWord(byPC+4*k, 0)
			} else {
				tablesByPC = append(tablesByPC, byPC+4*k)
			}
		}
		for _, of := range tablesByPC {
			if err := t.keepByPC(pcs, int(t.word(of))); err != nil {
				return fmt.Errorf("%s: %w", name, err)
			}
		}
		for k := range int(t.memory[at+nfuncdata]) {
			place := funcdata + 4*k
			offset := t.word(place)
			if offset == absentData {
				continue
			}
			if !t.data.holds(int(offset), 1) {
				return fmt.Errorf("%s: its data %d is outside of their table", name, k)
			}
			stays := !blankFuncdata[k] || k == inlTree && wrapper
			data[int(offset)] = data[int(offset)] || stays
			if !stays {
				t.setWord(place, absentData)
			}
		}
	}
	if err := t.coarsenFinder(); err != nil {
		return err
	}
	if err := kept.write(); err != nil {
		return err
	}
	clear(t.bytes(t.pathsOfUnits))
	clear(t.bytes(t.paths))
	for i, stays := range pcs {
		if !stays {
			t.memory[t.pcs.at+i] = 0
		}
	}
	data.clear(t.bytes(t.data))
	return nil
}

// record is where the record of function i is, which it checks to be whole.
func (t *tables) record(i int) (at int, err error) {
	offset := int(t.word(t.functions.at + 8*i + 4))
	if offset < 8*t.count+4 || !t.functions.holds(offset, recordBytes) {
		return 0, fmt.Errorf("the record of function %d is outside of their table", i)
	}
	at = t.functions.at + offset
	byPC, funcdata := int(t.word(at+npcdata)), int(t.memory[at+nfuncdata])
	if byPC > mostByPC || funcdata > mostFuncdata || !t.functions.holds(offset, recordBytes+4*(byPC+funcdata)) {
		return 0, fmt.Errorf("the record of function %d has %d tables by address and %d of data", i, byPC, funcdata)
	}
	if t.word(at) != t.word(t.functions.at+8*i) {
		return 0, fmt.Errorf("function %d does not begin where its record says", i)
	}
	return at, nil
}

// keepByPC marks the bytes of a table by address, pairs of numbers that end with a zero in place of
// the first of a pair (symtab.go: step).
func (t *tables) keepByPC(stays []bool, offset int) error {
	if offset == 0 {
		return nil // no table
	}
	at := offset
	number := func() (first byte, ok bool) {
		if at >= 0 && at < t.pcs.size {
			first = t.memory[t.pcs.at+at]
		}
		for ; at >= 0 && at < t.pcs.size; at++ {
			if t.memory[t.pcs.at+at] < 0x80 {
				at++
				return first, true
			}
		}
		return first, false
	}
	for {
		first, ok := number()
		if ok && first == 0 && at > offset+1 {
			break
		}
		if ok {
			_, ok = number()
		}
		if !ok {
			return errors.New("a table by address does not end")
		}
	}
	for i := offset; i < at; i++ {
		stays[i] = true
	}
	return nil
}

// dataParts are the places at which something begins in go:func.*, and whether it stays.
type dataParts map[int]bool

// clear empties what does not stay, each part up to where the next begins.
func (parts dataParts) clear(all []byte) {
	places := make([]int, 0, len(parts)+1)
	for place := range parts {
		places = append(places, place)
	}
	slices.Sort(places)
	places = append(places, len(all))
	for i, place := range places[:len(places)-1] {
		if !parts[place] {
			clear(all[place:places[i+1]])
		}
	}
}
