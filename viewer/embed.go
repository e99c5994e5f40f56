// Package viewer holds the built web pages and says under which content policy they run.
// It knows nothing of properties, links or features: the server serves it, and the pages
// fetch their data over HTTP.
//
// landholder.html, served at an address P, fetches P/land.json, P/blocks/{name} and P/photos/{sha}.
// field.html, the officer's page on a phone, is served at /field/ with field-worker.js as
// /field/worker.js and field.webmanifest as /field/manifest.webmanifest; it enrols at /enrol and
// speaks sync/wire at /sync and sync/photo at /photos/{sha}. desk.html, the one on a computer, does
// the same at /desk/. The landholder's page finds its scripts and styles under /assets/, the others
// under /field/assets/ and /desk/assets/, where their service workers answer; those names carry a
// hash of the content, so they may be cached for ever. NOTICE.txt, beside them, holds the licences
// of the libraries in them.
//
// The files in dist are made from src by the bundler in viewer/bundle and are committed,
// so that go build alone gives a working server; the bundler's own tests hold that they are what the
// sources give. Files whose names carry a hash are compressed once, by the bundler, as .br and .gz
// beside them.
//
// The computations for browsers are too large to commit. make build compiles them and embeds them by
// the tag wasm_embedded; a server built by go build alone serves everything else and says what it
// lacks. A file beside the binary would be one more thing to lose.
package viewer

import (
	"embed"
	"io/fs"
)

//go:generate go run -C bundle .

//go:embed dist
var built embed.FS

// ContentPolicy is the strictest Content-Security-Policy under which the pages run, and
// under which they are tested: nothing from elsewhere, no inline script or style, no eval.
const ContentPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; " +
	"connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// DevicePolicy is ContentPolicy for the officer's pages and their service workers: they compute,
// work offline, can be installed, and show photos that are only on the device. The socket to
// their own server is 'self' too.
const DevicePolicy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' blob:; " +
	"connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// Pages is the folder of built files, flat.
func Pages() fs.FS {
	dist, err := fs.Sub(built, "dist")
	if err != nil {
		panic(err) // "dist" is a valid path
	}
	return dist
}
