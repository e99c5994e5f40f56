// Command kindtable writes viewer/src/kinds.json: the kinds of model.Kinds with all the
// fields of each, for the forms, marks and legends of the pages. The file is committed, so
// that pages are built and checked without Go; a test tells when it is not what the table
// of kinds is.
package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"

	"headcut/model"
)

//go:generate go run . ../src/kinds.json

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "kindtable: give the file to write")
		os.Exit(2)
	}
	text, err := table()
	if err == nil {
		err = os.WriteFile(filepath.Clean(os.Args[1]), text, 0o644)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "kindtable:", err)
		os.Exit(1)
	}
}

// table is the whole file: one kind a line, so that a changed kind is a changed line.
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
