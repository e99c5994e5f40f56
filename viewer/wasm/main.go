//go:build js && wasm

// Command wasm is model/compute in a browser: the same computations as the server's, from
// the same code, to the same bytes. It offers them to compute.ts and knows nothing of
// pages. The builder in viewer/bundle makes it; it is not committed.
package main

import (
	"fmt"
	"runtime/debug"
	"syscall/js"

	"headcut/model"
	"headcut/model/compute"
)

// ready is the global function that compute.ts waits to be called, with an object of
// answer(name, input) and catalogue(). Texts are UTF-8 in a Uint8Array, both ways, so
// that no conversion between the two worlds' strings can change a byte.
const ready = "headcutReady"

// gcPercent lets the program use some 32 MB before it collects: a collection stops a page
// for longer than most computations take.
const gcPercent = 800

func main() {
	debug.SetGCPercent(gcPercent)
	js.Global().Call(ready, map[string]any{
		"answer":    js.FuncOf(answer),
		"catalogue": js.FuncOf(func(js.Value, []js.Value) any { return toPage(compute.Catalogue()) }),
	})
	select {} // the functions live as long as the page
}

// answer gives {text, refused}.
func answer(_ js.Value, args []js.Value) (result any) {
	defer func() {
		if p := recover(); p != nil { // one failure must not take the others' functions away
			result = told(compute.Refusal(&model.Problem{Reason: fmt.Sprintf("the computation failed: %v", p), Fix: "report this with its input"}), true)
		}
	}()
	in := make([]byte, args[1].Get("length").Int())
	js.CopyBytesToGo(in, args[1])
	return told(compute.Answer(args[0].String(), in))
}

func told(text []byte, refused bool) any {
	return map[string]any{"text": toPage(text), "refused": refused}
}

func toPage(text []byte) js.Value {
	bytes := js.Global().Get("Uint8Array").New(len(text))
	js.CopyBytesToJS(bytes, text)
	return bytes
}
