// Command typing writes viewer/wasm/types.ts: the inputs and outputs of every computation
// as TypeScript knows them, from the same schemas that the server hands out. The file is
// committed, so that pages are checked against it without Go; a test tells when it is not
// what the computations are.
package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"headcut/model/compute"
)

//go:generate go run . ../wasm/types.ts

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "typing: give the file to write")
		os.Exit(2)
	}
	if err := os.WriteFile(filepath.Clean(os.Args[1]), []byte(types()), 0o644); err != nil {
		fmt.Fprintln(os.Stderr, "typing:", err)
		os.Exit(1)
	}
}

// types is the whole file.
func types() string {
	var b strings.Builder
	b.WriteString("// Written by go generate ./viewer/typing from the schemas of model/compute.\n\n")
	b.WriteString("/** The input and the output of every computation, by its name. */\nexport interface Types {\n")
	for _, c := range compute.All() {
		b.WriteString("  /** " + comment(c.Summary) + " */\n  " + strconv.Quote(c.Name) + ": {\n")
		b.WriteString("    input: " + typeOf(c.InputSchema(), "    ") + ";\n")
		b.WriteString("    output: " + typeOf(c.OutputSchema(), "    ") + ";\n  };\n")
	}
	b.WriteString("}\n")
	return b.String()
}

// typeOf is the TypeScript type of a schema, its lines indented.
func typeOf(s *compute.Schema, indent string) string {
	var any []string
	for _, t := range s.Type {
		any = append(any, oneType(s, t, indent))
	}
	return strings.Join(any, " | ")
}

func oneType(s *compute.Schema, name, indent string) string {
	switch name {
	case "null", "boolean":
		return name
	case "number", "integer":
		return "number"
	case "string":
		if s.Enum == nil {
			return "string"
		}
		var choices []string
		for _, e := range s.Enum {
			if e != nil {
				choices = append(choices, strconv.Quote(*e))
			}
		}
		return strings.Join(choices, " | ")
	case "array":
		item := typeOf(s.Items, indent)
		if s.MinItems != nil {
			return "[" + strings.Join(slices.Repeat([]string{item}, *s.MinItems), ", ") + "]"
		}
		if strings.Contains(item, " | ") {
			item = "(" + item + ")"
		}
		return item + "[]"
	}
	var b strings.Builder
	b.WriteString("{\n")
	for _, p := range s.Properties {
		inner := indent + "  "
		if told := describe(p.Schema); told != "" {
			b.WriteString(inner + "/** " + told + " */\n")
		}
		b.WriteString(inner + p.Name)
		if !slices.Contains(s.Required, p.Name) {
			b.WriteString("?")
		}
		b.WriteString(": " + typeOf(p.Schema, inner) + ";\n")
	}
	b.WriteString(indent + "}")
	return b.String()
}

func describe(s *compute.Schema) string {
	told := comment(s.Description)
	if s.Unit != "" && s.Unit != "1" {
		told = "[" + comment(s.Unit) + "] " + told
	}
	return strings.TrimSpace(told)
}

// comment keeps a text from ending the comment it stands in.
func comment(text string) string { return strings.ReplaceAll(text, "*/", "* /") }
