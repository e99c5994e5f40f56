package viewer

import "strings"

// ComputingPolicy is ContentPolicy for a page that runs the computations, and for their
// worker: compiling WebAssembly is allowed, and still no eval of text. Other pages keep
// ContentPolicy.
var ComputingPolicy = strings.Replace(ContentPolicy, "script-src 'self'", "script-src 'self' 'wasm-unsafe-eval'", 1)

// ComputationsList is the file of Computations that names the others.
const ComputationsList = "compute.json"
