// Package wasmfile takes a WebAssembly program apart into its sections and its data segments, and puts it
// together again: as much of the binary format as a change of a program's data needs. Code is never looked at.
// Source: W3C, WebAssembly Core Specification 2.0, 5.5 "Modules", from memory.
package wasmfile

import (
	"bytes"
	"errors"
	"fmt"
)

// The sections that are named here; the others are carried as they are.
const (
	Custom    = 0
	Data      = 11
	DataCount = 12
)

// preamble is the magic word and version 1 of the format.
var preamble = []byte("\x00asm\x01\x00\x00\x00")

// Section is one section of a module, without the number and the length before it.
type Section struct {
	ID   byte
	Body []byte
}

// Sections cuts a module. The bodies share its bytes.
func Sections(module []byte) ([]Section, error) {
	rest, found := bytes.CutPrefix(module, preamble)
	if !found {
		return nil, errors.New("this is no WebAssembly module of version 1")
	}
	var sections []Section
	r := reader{rest}
	for len(r.rest) > 0 {
		id, _ := r.byte()
		body, err := r.vector()
		if err != nil {
			return nil, fmt.Errorf("section %d, number %d: %w", id, len(sections)+1, err)
		}
		sections = append(sections, Section{ID: id, Body: body})
	}
	return sections, nil
}

// Module joins sections.
func Module(sections []Section) []byte {
	module := bytes.Clone(preamble)
	for _, s := range sections {
		module = append(module, s.ID)
		module = appendUnsigned(module, uint64(len(s.Body)))
		module = append(module, s.Body...)
	}
	return module
}
