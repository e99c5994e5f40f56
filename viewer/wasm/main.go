//go:build js && wasm

// Command wasm is what pages ask of Go: the computations of model/compute, and the fold, the
// figures, the plans, the order of works and the follow-up of sync/phonecompute. It is the server's own code, and gives the same bytes. It
// offers them to viewer/src/compute/compute.ts and knows nothing of pages. The builder in viewer/bundle makes
// it, and takes out what only traces of panics read (gotables); it is not committed.
//
// It weighs at most 1.39 MB by brotli (server/parity/size_test.go: TestProgramIsLight), since a phone
// loads it over a poor line. So it reads the tokens of JSON itself (model/jsontoken; a library would add
// 48 kB) and imports neither crypto/sha256, which brings all of FIPS 140, 40 kB (sync/register/hashing.go),
// nor package time, 30 kB (model/calendar), nor regexp, 50 kB; sorting is by model.SortStable, since slices.SortFunc is
// compiled for every type.
// What starts with the program is paid at every start: long tables are made when somebody asks.
package main

import (
	"fmt"
	"runtime/debug"
	"syscall/js"

	"headcut/model"
	"headcut/model/compute"
	"headcut/sync/phonecompute"
)

// ready is the global function that compute.ts waits to be called, with an object of
// answer(name, input), catalogue(), gather(question), sheets(question), plan(question), order(question) and
// followUp(question), each of which gives {text, refused}. Texts are UTF-8 in a Uint8Array, both ways, so that no conversion between
// the two worlds' strings can change a byte.
const ready = "headcutReady"

// gcPercent lets the program use some 32 MB before it collects: a collection stops a page
// for longer than most computations take.
const gcPercent = 800

// property keeps the figures of the property that the page shows.
var property phonecompute.Sheets

func main() {
	debug.SetGCPercent(gcPercent)
	js.Global().Call(ready, map[string]any{
		"answer": entryPoint(func(args []js.Value) ([]byte, bool) {
			return compute.Answer(args[0].String(), bytesOf(args[1]))
		}),
		"catalogue": entryPoint(func([]js.Value) ([]byte, bool) { return compute.Catalogue(), false }),
		"gather":    question(phonecompute.Fold),
		"sheets":    question(property.Ask),
		"plan":      question(property.Plan),
		"order":     question(property.Order),
		"followUp":  question(property.FollowUp),
	})
	select {} // the functions live as long as the page
}

// question is an entry point of sync/phonecompute.
func question(ask func([]byte) ([]byte, error)) js.Func {
	return entryPoint(func(args []js.Value) ([]byte, bool) {
		text, err := ask(bytesOf(args[0]))
		if err != nil {
			return compute.Refusal(err), true
		}
		return text, false
	})
}

func entryPoint(answer func(args []js.Value) (text []byte, refused bool)) js.Func {
	return js.FuncOf(func(_ js.Value, args []js.Value) (result any) {
		defer func() {
			if p := recover(); p != nil { // one failure must not take the others' functions away
				result = told(compute.Refusal(&model.Problem{Reason: fmt.Sprintf("the computation failed: %v", p), Fix: "report this with its input"}), true)
			}
		}()
		return told(answer(args))
	})
}

func bytesOf(array js.Value) []byte {
	bytes := make([]byte, array.Get("length").Int())
	js.CopyBytesToGo(bytes, array)
	return bytes
}

func told(text []byte, refused bool) any {
	array := js.Global().Get("Uint8Array").New(len(text))
	js.CopyBytesToJS(array, text)
	return map[string]any{"text": array, "refused": refused}
}
