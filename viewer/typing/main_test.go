package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestTypesAreWhatTheComputationsAre(t *testing.T) {
	have, err := os.ReadFile(filepath.Join("..", "wasm", "types.ts"))
	if err != nil {
		t.Fatal(err)
	}
	if string(have) != types() {
		t.Error("viewer/wasm/types.ts is not what the computations are: run go generate ./viewer/typing and commit it")
	}
}

func TestTypeOfAnInput(t *testing.T) {
	for _, want := range []string{
		"  \"staff-reading\": {\n    input: {\n      /** [m] level of the line of sight: level of the backsight point plus its reading */\n      instrumentLevelM: number;\n",
		"\n      readM?: number | null;\n", "positions: [number, number][];", "basis?: \"levelled\" | \"taped\" | \"GPS\" | \"drawn on the map\" | \"estimated\" | \"from plan\" | \"not recorded\" | \"unproven\" | null;",
	} {
		if !strings.Contains(types(), want) {
			t.Errorf("types lack %q", want)
		}
	}
}
