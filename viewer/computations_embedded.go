//go:build wasm_embedded

package viewer

import (
	"embed"
	"io/fs"
)

//go:embed wasm/built
var computations embed.FS

// Computations is the folder of files that viewer/src/compute/compute.ts loads, flat: the program, the
// scripts, each also as .br and .gz, and compute.json. make builds them and then the
// server with the tag wasm_embedded, since they change with the code of model and are too
// large to commit. A server built by go build alone has none: it serves everything else,
// and says so when a page asks for them.
func Computations() fs.FS {
	built, err := fs.Sub(computations, "wasm/built")
	if err != nil {
		panic(err) // "wasm/built" is a valid path
	}
	return built
}
