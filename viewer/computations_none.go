//go:build !wasm_embedded

package viewer

import (
	"embed"
	"io/fs"
)

// Computations is an empty folder: this server was built by go build alone, without the
// tag wasm_embedded. It serves everything else, and says so when a page asks for them.
func Computations() fs.FS { return embed.FS{} }
