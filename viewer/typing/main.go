// Command typing writes the folder viewer/src/compute/types: the inputs and outputs of every
// computation as TypeScript knows them, one file each, from the same schemas that the server
// hands out. The files are committed, so that pages are checked against them without Go; a
// test says when they are not what the computations are.
package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"headcut/model"
	"headcut/model/compute"
)

//go:generate go run . ../src/compute/types

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "typing: give the folder to write")
		os.Exit(2)
	}
	if err := write(os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, "typing:", err)
		os.Exit(1)
	}
}

// write makes the folder hold the files and no others.
func write(folder string) error {
	if err := os.RemoveAll(folder); err != nil {
		return err
	}
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	for name, text := range files() {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644); err != nil {
			return err
		}
	}
	return nil
}

const written = "// Written by go generate ./viewer/typing from the schemas of model/compute.\n\n"

// files are the texts of all files, by their names.
func files() map[string]string {
	all := model.Each(compute.All(), moduleOf)
	shared := sharedBy(all)
	out := map[string]string{"shared.ts": shared.text("Parts that several computations have in common.", nil, nil)}
	var imports, names strings.Builder
	for _, m := range all {
		out[m.name+".ts"] = m.text(m.summary, shared, m.lent(all, shared))
		camel := lowerFirst(pascal(m.name))
		fmt.Fprintf(&imports, "import type * as %s from \"./%s.ts\";\n", camel, m.name)
		fmt.Fprintf(&names, "  %q: { input: %s.Input; output: %s.Output };\n", m.name, camel, camel)
	}
	out["index.ts"] = written + imports.String() + "\n/** The input and the output of every computation, by its name. */\nexport interface Types {\n" + names.String() + "}\n"
	return out
}
