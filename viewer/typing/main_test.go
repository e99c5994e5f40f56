package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

func TestTypesAreWhatTheComputationsAre(t *testing.T) {
	folder := filepath.Join("..", "src", "compute", "types")
	want := files()
	there, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range there {
		if _, ok := want[d.Name()]; !ok {
			t.Errorf("%s is of no computation: run go generate ./viewer/typing and commit the folder", d.Name())
		}
	}
	for name, text := range want {
		have, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil {
			t.Error(err)
		} else if string(have) != text {
			t.Errorf("viewer/src/compute/types/%s is not what the computations are: run go generate ./viewer/typing and commit the folder", name)
		}
	}
}

func TestTypeOfAnInput(t *testing.T) {
	all := files()
	for _, want := range []struct{ file, text string }{
		{"staff-reading.ts", "export interface Input {\n  /** [m] level of the line of sight: level of the backsight point plus its reading */\n  instrumentLevelM: number;\n"},
		{"staff-reading.ts", "\n  readM?: number | null;\n"},
		{"line.ts", "positions: [number, number][];"},
		{"line.ts", "basis?: \"levelled\" | \"taped\" | \"GPS\" | \"drawn on the map\" | \"estimated\" | \"from plan\" | \"not recorded\" | \"unproven\" | null;"},
		{"dam-check.ts", "  dams: Dam[];\n"},
		{"dam-check.ts", "  worst?: Pair;\n"},
		{"dam-check.ts", "import type { Bed, Caution } from \"./shared.ts\";\n"},
		{"shared.ts", "export interface Caution {\n"},
		{"quantities.ts", "import type { Input as Dam } from \"./rock-dam.ts\";\n"},
		{"dam-layout.ts", "import type { Input as Notch } from \"./notch.ts\";\n"},
		{"index.ts", "  \"dam-check\": { input: damCheck.Input; output: damCheck.Output };\n"},
	} {
		if !strings.Contains(all[want.file], want.text) {
			t.Errorf("%s lacks %q", want.file, want.text)
		}
	}
}

// A file defines or imports every name that it uses, once, and imports none that it does not use.
func TestFilesNameWhatTheyUse(t *testing.T) {
	defined := regexp.MustCompile(`(?m)^export interface (\w+) \{$`)
	lent := regexp.MustCompile(`(?m)^import type \{ Input as (\w+) \} from "./[a-z-]+.ts";$`)
	imported := regexp.MustCompile(`(?m)^import type \{ (.*) \} from "./shared.ts";$`)
	used := regexp.MustCompile(`\??: \(?([A-Z]\w*)`)
	comments := regexp.MustCompile(`/\*\*.*\*/`)
	for name, text := range files() {
		if name == "index.ts" {
			continue
		}
		known, uses := map[string]int{}, map[string]bool{}
		for _, found := range defined.FindAllStringSubmatch(text, -1) {
			known[found[1]]++
		}
		for _, found := range lent.FindAllStringSubmatch(text, -1) {
			known[found[1]]++
			if !strings.Contains(text, ": "+found[1]) && !strings.Contains(text, "("+found[1]) {
				t.Errorf("%s imports %s for nothing", name, found[1])
			}
		}
		for _, found := range imported.FindAllStringSubmatch(text, -1) {
			for _, one := range strings.Split(found[1], ", ") {
				known[one]++
				if !strings.Contains(text, ": "+one) && !strings.Contains(text, "("+one) {
					t.Errorf("%s imports %s for nothing", name, one)
				}
			}
		}
		for _, found := range used.FindAllStringSubmatch(comments.ReplaceAllString(text, ""), -1) {
			uses[found[1]] = true
		}
		for one := range uses {
			if known[one] != 1 {
				t.Errorf("%s uses %s, which it knows %d times", name, one, known[one])
			}
		}
	}
}
