// Package viewer holds the built web pages and says under which content policy they run.
// It knows nothing of properties, links or features: the server serves it, and the pages
// fetch their data over HTTP.
//
// landholder.html, served at an address P, fetches P/land.json, P/blocks/{name} and P/photos/{sha}.
// field.html, served at /field/ with field-worker.js as /field/worker.js and
// field.webmanifest as /field/manifest.webmanifest, enrols at /enrol and speaks sync/wire
// at /sync and sync/photo at /photos/{sha}. Pages find their scripts and styles under
// /assets/, the field page under /field/assets/, where its service worker answers; those
// names carry a hash of the content, so they may be cached for ever. NOTICE.txt, beside them, holds the licences of the
// libraries in them.
//
// The files in dist are made from src by the bundler in viewer/bundle and are committed,
// so that go build alone gives a working server; make check-pages proves that they are what the
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

// FieldPolicy is ContentPolicy for the field page and its service worker: it computes,
// works offline, can be installed, and shows photos that are only on the phone. The socket
// to its own server is 'self' too.
const FieldPolicy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' blob:; " +
	"connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// Pages is the folder of built files, flat.
func Pages() fs.FS {
	dist, err := fs.Sub(built, "dist")
	if err != nil {
		panic(err) // "dist" is a valid path
	}
	return dist
}
