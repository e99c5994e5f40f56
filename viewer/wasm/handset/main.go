//go:build js && wasm

// Command handset is sync/handset in a browser: it folds the entries that the phone keeps
// and works out the figures of its property. It is a program of its own beside the
// computations, since a page that only computes has no use for it. Texts travel as in
// viewer/wasm.
package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"runtime/debug"
	"syscall/js"

	"headcut/model"
	"headcut/sync/handset"
)

// ready is the global function that compute.ts waits to be called, with an object of
// gather(question) and sheets(question).
const ready = "headcutReady"

// gcPercent is that of the computations, and for the same reason.
const gcPercent = 800

// property keeps the figures of the property that the page shows.
var property handset.Sheets

func main() {
	debug.SetGCPercent(gcPercent)
	js.Global().Call(ready, map[string]any{"gather": answering(handset.Fold), "sheets": answering(property.Ask)})
	select {} // the functions live as long as the page
}

// answering makes a function of the page that gives {text, refused}.
func answering(ask func([]byte) ([]byte, error)) js.Func {
	return js.FuncOf(func(_ js.Value, args []js.Value) (result any) {
		defer func() {
			if p := recover(); p != nil { // one failure must not take the others' functions away
				result = refusal(&model.Problem{Reason: fmt.Sprintf("the work failed: %v", p), Fix: "report this with what was asked"})
			}
		}()
		question := make([]byte, args[0].Get("length").Int())
		js.CopyBytesToGo(question, args[0])
		text, err := ask(question)
		if err != nil {
			return refusal(err)
		}
		return told(text, false)
	})
}

func refusal(err error) any {
	p, ok := errors.AsType[*model.Problem](err)
	if !ok {
		p = &model.Problem{Reason: err.Error()}
	}
	text, _ := json.Marshal(p) // texts and a line number can always be written
	return told(text, true)
}

func told(text []byte, refused bool) any {
	bytes := js.Global().Get("Uint8Array").New(len(text))
	js.CopyBytesToJS(bytes, text)
	return map[string]any{"text": bytes, "refused": refused}
}
