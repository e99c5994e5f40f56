package gotables

import (
	"bytes"
	"encoding/binary"
	"os"
	"slices"
	"strings"
	"testing"

	"headcut/viewer/bundle/wasmfile"
)

// memoryOf takes a program apart, tablesOf finds the tables in it.
func memoryOf(t testing.TB, program []byte) (sections []wasmfile.Section, data int, memory []byte) {
	t.Helper()
	sections, err := wasmfile.Sections(program)
	if err != nil {
		t.Fatal(err)
	}
	data = slices.IndexFunc(sections, func(s wasmfile.Section) bool { return s.ID == wasmfile.Data })
	if memory, err = wasmfile.Memory(sections[data].Body); err != nil {
		t.Fatal(err)
	}
	return sections, data, memory
}

func tablesOf(t testing.TB, program []byte) *tables {
	t.Helper()
	_, _, memory := memoryOf(t, program)
	found, err := find(memory)
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// changed is the stress program with something else in its memory.
func changed(t *testing.T, change func(memory []byte, at *tables)) []byte {
	t.Helper()
	sections, data, memory := memoryOf(t, stress)
	tables, err := find(memory)
	if err != nil {
		t.Fatal(err)
	}
	change(memory, tables)
	sections[data].Body = wasmfile.DataSection(memory)
	return wasmfile.Module(sections)
}

// TestForeignProgramsAreRefused: each says why, and how to build without.
func TestForeignProgramsAreRefused(t *testing.T) {
	header := func(at *tables) int { return at.names.at - headerBytes }
	record := func(t *tables, i int) int {
		at, _ := t.record(i)
		return at
	}
	for name, c := range map[string]struct {
		program []byte
		want    string
	}{
		"nothing":       {nil, "no WebAssembly module"},
		"not-wasm":      {[]byte("\x7fELF\x02\x01\x01\x00 and so on"), "no WebAssembly module"},
		"half":          {stress[:len(stress)/2], "are left"},
		"no-sections":   {stress[:8], "does not say which Go"},
		"other-version": {bytes.ReplaceAll(stress, []byte("go1.26"), []byte("go1.27")), "made by go1.27"},
		"like-version":  {bytes.ReplaceAll(stress, []byte("go1.26."), []byte("go1.265")), "only the tables of go1.26 are known"},
		"no-tables": {changed(t, func(m []byte, at *tables) { clear(m[header(at):][:8]) }),
			"no table of functions"},
		"other-magic": {changed(t, func(m []byte, at *tables) { m[header(at)] = 0xf2 }),
			"no table of functions"},
		"header-without-linker": {changed(t, func(m []byte, at *tables) { m[header(at)+32]++ }),
			"no table of functions"},
		"header-moves-paths": {changed(t, func(m []byte, at *tables) { m[header(at)+48]++ }),
			"different places"},
		"header-counts-more": {changed(t, func(m []byte, at *tables) { m[header(at)+8]++ }),
			"functions"},
		"record-outside": {changed(t, func(m []byte, at *tables) { at.setWord(at.functions.at+4, uint32(at.functions.size)) }),
			"outside of their table"},
		"record-at-the-end": {changed(t, func(m []byte, at *tables) { at.setWord(at.functions.at+4, uint32(at.functions.size-8)) }),
			"outside of their table"},
		"record-of-another": {changed(t, func(m []byte, at *tables) { at.setWord(record(at, 3), 1) }),
			"does not begin where"},
		"more-tables-by-address": {changed(t, func(m []byte, at *tables) { at.setWord(record(at, 3)+npcdata, 9) }),
			"9 tables by address"},
		"more-funcdata": {changed(t, func(m []byte, at *tables) { m[record(at, 3)+nfuncdata] = 200 }),
			"200 of data"},
		"name-outside": {changed(t, func(m []byte, at *tables) { at.setWord(record(at, 3)+nameOff, 1<<30) }),
			"name is outside"},
		"stack-table-outside": {changed(t, func(m []byte, at *tables) { at.setWord(record(at, 3)+pcsp, 1<<31) }),
			"does not end"},
		"stack-table-endless": {changed(t, func(m []byte, at *tables) {
			tail := at.bytes(at.pcs)[at.pcs.size-20:]
			for i := range tail {
				tail[i] = 0xff
			}
			at.setWord(record(at, 3)+pcsp, uint32(at.pcs.size-20))
		}), "does not end"},
		"finder-of-native-code": {changed(t, func(m []byte, at *tables) { at.setWord(at.finder.at+2*bucketBytes, 2) }),
			"64 kB of addresses"},
		"function-left-out": {changed(t, func(m []byte, at *tables) {
			at.setWord(at.functions.at+8*5, at.word(at.functions.at+8*5)+1)
			at.setWord(record5(at), at.word(at.functions.at+8*5))
		}), "do not follow one another"},
		"two-tables": {changed(t, func(m []byte, at *tables) { copyTables(m, at) }), "told apart"},
	} {
		t.Run(name, func(t *testing.T) {
			before := bytes.Clone(c.program)
			blank, err := Blank(c.program)
			if err == nil || blank != nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "-names builds it") {
				t.Errorf("got %d bytes, %v; want a refusal with %q", len(blank), err, c.want)
			}
			if !bytes.Equal(c.program, before) {
				t.Error("the program that was refused has been changed")
			}
		})
	}
}

// record5 is the place of function 5's record, also where its number is wrong.
func record5(t *tables) int { return t.functions.at + int(t.word(t.functions.at+8*5+4)) }

// copyTables writes the linker's word of where the tables are a second time.
func copyTables(memory []byte, t *tables) {
	header := t.names.at - headerBytes
	link := binary.LittleEndian.AppendUint64(nil, uint64(header))
	link = binary.LittleEndian.AppendUint64(link, uint64(t.names.at))
	copy(memory[t.paths.at:], link)
}

// TestTruncatedProgramsAreRefused cuts the program at many places.
func TestTruncatedProgramsAreRefused(t *testing.T) {
	for n := 0; n < len(stress); n += len(stress)/300 + 1 {
		if blank, err := Blank(stress[:n]); err == nil || blank != nil {
			t.Errorf("the first %d bytes of %d are taken for a program", n, len(stress))
		}
	}
}

// FuzzDamagedTables: a program with a word of its tables changed is refused or comes out whole; nothing panics.
func FuzzDamagedTables(f *testing.F) {
	whole := tablesOf(f, stress)
	memory := whole.memory
	header := whole.names.at - headerBytes
	md := bytes.Index(memory, binary.LittleEndian.AppendUint64(binary.LittleEndian.AppendUint64(nil, uint64(header)), uint64(whole.names.at)))
	for place := range 8 * moduledataWords {
		f.Add(uint32(md+place), uint64(1)<<63)
		f.Add(uint32(md+place), uint64(0xff))
	}
	for place := range headerBytes {
		f.Add(uint32(header+place), uint64(0x80))
	}
	for place := range 200 {
		f.Add(uint32(whole.functions.at+8*whole.count+place), uint64(0x7fffffff))
	}
	f.Fuzz(func(t *testing.T, place uint32, flip uint64) {
		damaged := bytes.Clone(memory)
		if int(place) > len(damaged)-8 {
			return
		}
		binary.LittleEndian.PutUint64(damaged[place:], binary.LittleEndian.Uint64(damaged[place:])^flip)
		if found, err := find(damaged); err == nil {
			_ = found.blank()
		}
	})
}

// TestVersionIsThatOfTheToolchain: go.mod and the tables are raised together.
func TestVersionIsThatOfTheToolchain(t *testing.T) {
	mod, err := os.ReadFile("../go.mod")
	if err != nil {
		t.Fatal(err)
	}
	if want := "\ngo " + strings.TrimPrefix(knownVersion, "go") + "."; !bytes.Contains(mod, []byte(want)) {
		t.Errorf("go.mod does not have%q, whose tables are known", want)
	}
}
