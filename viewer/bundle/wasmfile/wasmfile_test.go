package wasmfile

import (
	"bytes"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// small is a module with a custom section, and a data section that writes "ab" at 64 and "c" at 65, in numbers
// that are padded as Go's linker pads them.
var small = []byte("\x00asm\x01\x00\x00\x00" +
	"\x00\x05\x04name" +
	"\x0b\x92\x80\x80\x80\x00" + "\x02" + "\x00\x41\xc0\x00\x0b\x02ab" + "\x00\x41\xc1\x80\x00\x0b\x81\x00c")

func TestSmallModule(t *testing.T) {
	sections, err := Sections(small)
	if err != nil || len(sections) != 2 || sections[0].ID != Custom || sections[1].ID != Data {
		t.Fatalf("sections %v, %v", sections, err)
	}
	memory, err := Memory(sections[1].Body)
	if want := "\x00ac"; err != nil || string(memory[63:]) != want || len(memory) != 66 {
		t.Errorf("memory %q, %v; want it to end with %q", memory, err, want)
	}
	sections[1].Body = DataSection(memory)
	want := "\x00asm\x01\x00\x00\x00" + "\x00\x05\x04name" + "\x0b\x09\x01\x00\x41\xc0\x00\x0b\x02ac"
	if got := Module(sections); string(got) != want {
		t.Errorf("joined again %q, want %q", got, want)
	}
}

// TestMemoryComesBack: what is laid out again is what was taken apart, however many zeros are between.
func TestMemoryComesBack(t *testing.T) {
	const seed = 20261201
	random := rand.New(rand.NewPCG(seed, seed))
	for range 300 {
		var memory []byte
		for range random.IntN(6) {
			memory = append(memory, make([]byte, leastGapBytes-2+random.IntN(5))...)
			for range random.IntN(300) {
				memory = append(memory, byte(random.IntN(3)))
			}
		}
		memory = append(memory, 1)
		body := DataSection(memory)
		back, err := Memory(body)
		if err != nil || !bytes.Equal(back, memory) {
			t.Fatalf("seed %d: %d bytes came back as %d, %v", seed, len(memory), len(back), err)
		}
		if i := bytes.Index(body, make([]byte, leastGapBytes)); i >= 0 {
			t.Fatalf("seed %d: a gap of zeros at %d is in the file", seed, i)
		}
	}
	if got := DataSection(make([]byte, 9000)); !slices.Equal(got, []byte{0}) {
		t.Errorf("zeros alone are the section %v, want no segment", got)
	}
}

func TestLanguageVersion(t *testing.T) {
	producers := "\x09producers" + "\x02" +
		"\x0cprocessed-by\x01\x02Go\x031.0" + "\x08language\x02\x01C\x0217\x02Go\x06go1.26"
	for body, want := range map[string]string{producers: "go1.26", "\x04name": "", producers[:10] + "\x00": ""} {
		got, err := LanguageVersion([]Section{{ID: Custom, Body: []byte("\xff")}, {ID: Custom, Body: []byte(body)}}, "Go")
		if err != nil || got != want {
			t.Errorf("%q: %q, %v; want %q", body, got, err, want)
		}
	}
	for n := 11; n < len(producers); n++ {
		if got, err := LanguageVersion([]Section{{ID: Custom, Body: []byte(producers[:n])}}, "Go"); err == nil {
			t.Errorf("cut at %d it gives %q", n, got)
		}
	}
	if got, err := LanguageVersion(nil, "Go"); got != "" || err != nil {
		t.Errorf("no section: %q, %v", got, err)
	}
}

func TestOddModulesAreRefused(t *testing.T) {
	for module, want := range map[string]string{
		"":                             "no WebAssembly module",
		"\x00asm\x02\x00\x00\x00":      "version 1",
		string(small[:len(small)-1]):   "number 2: it is to have 18 bytes",
		string(small[:8]) + "\x0b":     "ends too early",
		string(small[:8]) + "\x0b\x80": "ends too early",
		string(small[:8]) + "\x0b\xff\xff\xff\xff\x7f\x00": "more than 32 bits",
	} {
		if got, err := Sections([]byte(module)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %d sections, %v; want %q", module, len(got), err, want)
		}
	}
	for body, want := range map[string]string{
		"":                                  "ends too early",
		"\x01":                              "segment 1 of 1: it ends too early",
		"\x01\x00":                          "ends too early",
		"\x01\x01\x00":                      "when the program starts", // passive
		"\x01\x02\x00\x41\x00\x0b\x00":      "memory 0",
		"\x01\x00\x23\x00\x0b\x01a":         "constant place", // a global
		"\x01\x00\x41\x00\x41\x00\x0b\x01a": "more than one constant",
		"\x01\x00\x41\x80":                  "ends too early",
		"\x01\x00\x41\x80\x80\x80\x80\x10\x0b\x01a": "more than 32 bits",
		"\x01\x00\x41\x80\x80\x80\x80\x80\x00\x0b":  "more than 32 bits",
		"\x01\x00\x41\x7f\x0b\x01a":                 "outside of the first",
		"\x01\x00\x41\x80\x80\x80\x20\x0b\x01a":     "outside of the first",
		"\x01\x00\x41\x00\x0b\x02a":                 "2 bytes, and 1 are left",
		"\x01\x00\x41\x00\x0b\x01ab":                "1 bytes follow",
		"\xff\xff\xff\xff\x0f":                      "segment 1 of 4294967295",
	} {
		if got, err := Memory([]byte(body)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %d bytes, %v; want %q", body, len(got), err, want)
		}
	}
}

// FuzzModule: what is read is written so that it is read the same.
func FuzzModule(f *testing.F) {
	f.Add(small)
	f.Add(small[:8])
	f.Add([]byte("\x00asm\x01\x00\x00\x00\x0b\x0a\x01\x00\x41\x80\x80\x01\x0b\x02ac"))
	f.Add([]byte("\x00asm\x01\x00\x00\x00\x00\x1a\x09producers\x01\x08language\x01\x02Go\x01x"))
	f.Fuzz(func(t *testing.T, module []byte) {
		sections, err := Sections(module)
		if err != nil {
			return
		}
		_, _ = LanguageVersion(sections, "Go")
		again, err := Sections(Module(sections))
		if err != nil || !slices.EqualFunc(again, sections, func(a, b Section) bool { return a.ID == b.ID && bytes.Equal(a.Body, b.Body) }) {
			t.Fatalf("%v came back as %v, %v", sections, again, err)
		}
		for _, s := range sections {
			memory, err := Memory(s.Body)
			if err != nil {
				continue
			}
			back, err := Memory(DataSection(memory))
			if err != nil || !bytes.Equal(back, bytes.TrimRight(memory, "\x00")) {
				t.Fatalf("%d bytes of memory came back as %d, %v", len(memory), len(back), err)
			}
		}
	})
}
