// Command kindtable writes viewer/src/base/kinds.json: the kinds of model.Kinds with all the
// fields of each, for the forms, symbols and legends of the pages; and viewer/src/base/units.json:
// how the units of fields and figures are written. The files are committed, so that pages
// are built and checked without Go; a test fails when they are not what model has.
package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"

	"headcut/model"
	"headcut/model/figures"
)

//go:generate go run . ../src/base

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "kindtable: give the folder to write to")
		os.Exit(2)
	}
	for name, made := range files {
		text, err := made()
		if err == nil {
			err = os.WriteFile(filepath.Join(os.Args[1], name), text, 0o644)
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, "kindtable:", err)
			os.Exit(1)
		}
	}
}

var files = map[string]func() ([]byte, error){"kinds.json": table, "units.json": units}

// units is a file of how each unit is written, by its UCUM code.
func units() ([]byte, error) {
	words := map[string]string{"har": model.UnitInWords("har")} // in which the pages write large areas
	for _, kind := range model.Kinds {
		for _, field := range kind.AllFields() {
			words[field.Unit] = model.UnitInWords(field.Unit)
		}
		for _, figure := range figures.Columns(kind.Name) {
			words[figure.Unit] = model.UnitInWords(figure.Unit)
		}
	}
	delete(words, "") // of fields that are no numbers
	text, err := line(words)
	return append(text, '\n'), err
}

// table is the file of kinds: one kind a line, so that a changed kind is a changed line.
func table() ([]byte, error) {
	common, err := line(model.CommonFields)
	if err != nil {
		return nil, err
	}
	work, err := line(model.WorkFields)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "{\n\"commonFields\": %s,\n\"workFields\": %s,\n\"kinds\": [\n", common, work)
	for i, kind := range model.Kinds {
		if kind.Fields == nil {
			kind.Fields = []model.Field{} // a list in JSON, however short
		}
		text, err := line(kind)
		if err != nil {
			return nil, err
		}
		b.Write(text)
		if i < len(model.Kinds)-1 {
			b.WriteByte(',')
		}
		b.WriteByte('\n')
	}
	b.WriteString("]\n}\n")
	return b.Bytes(), nil
}

// line is v as JSON on one line, with <, > and & as they are: it is no HTML.
func line(v any) ([]byte, error) {
	var b bytes.Buffer
	encoder := json.NewEncoder(&b)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimRight(b.Bytes(), "\n"), nil
}
