package parity

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/compute"
	"headcut/model/modeltest"
	"headcut/sync/phonecompute"
	"headcut/viewer"
)

func (p *page) answer(t *testing.T, name string, in []byte) ([]byte, bool) {
	t.Helper()
	type told struct {
		Text    string
		Refused bool
	}
	got := eval[told](p, fmt.Sprintf("c.computeText(%s, %s)", inScript(t, name), inScript(t, string(in))))
	return []byte(got.Text), got.Refused
}

func inScript(t *testing.T, v any) string {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// TestEntryPointsGiveTheSameBytes puts every golden input of every computation through the three
// entry points: each must give the golden's bytes, answer and refusal alike.
func TestEntryPointsGiveTheSameBytes(t *testing.T) {
	entryPoints := []struct {
		name string
		entryPoint
	}{{"command-line", commandLine}, {"http", overHTTP}, {"browser", loaded(t).answer}}
	cases := 0
	for _, c := range compute.All() {
		t.Run(c.Name, func(t *testing.T) {
			for _, g := range modeltest.Goldens(t, c.Name) {
				cases++
				want, wantRefused := g.Out()
				for _, d := range entryPoints {
					if got, refused := d.entryPoint(t, c.Name, g.In()); string(got) != string(want) || refused != wantRefused {
						t.Errorf("%s by %s, of %.200s\n got %s (refused: %t)\nwant %s (refused: %t)", g.Name, d.name, g.In(), got, refused, want, wantRefused)
					}
				}
			}
		})
	}
	t.Logf("%d inputs, %d entry points", cases, len(entryPoints))
	t.Run("unknown-name", func(t *testing.T) {
		want, _ := compute.Answer("dam-chek", []byte("{}"))
		for _, d := range entryPoints {
			if got, refused := d.entryPoint(t, "dam-chek", []byte("{}")); string(got) != string(want) || !refused {
				t.Errorf("%s: got %s (refused: %t), want %s", d.name, got, refused, want)
			}
		}
	})
}

// TestBrowserListsWhatTheServerLists: the two catalogues are the same, computations in the
// same order with the same schemas.
func TestBrowserListsWhatTheServerLists(t *testing.T) {
	p := loaded(t)
	if got := eval[bool](p, `fetch("/compute").then(r => r.json()).then(list => JSON.stringify(list) === JSON.stringify(c.list()) && list.length)`+`.then(n => n === `+fmt.Sprint(len(compute.All()))+`)`); !got {
		t.Error("c.list() is not what GET /compute lists")
	}
}

// TestProgramLoadsOnceAndWhenAsked: nothing is fetched before load(), and a second call
// fetches nothing.
func TestProgramLoadsOnceAndWhenAsked(t *testing.T) {
	p := browser(t, viewer.ComputingPolicy)
	const fetched = `performance.getEntriesByType("resource").filter(e => e.name.endsWith(".wasm"))`
	if n := eval[int](p, importing+`.then(m => { globalThis.m = m; return `+fetched+`.length })`); n != 0 {
		t.Errorf("the program was fetched %d times before load()", n)
	}
	type loading struct {
		Fetched, Sent int
		Same          bool
	}
	got := eval[loading](p, `(async () => {
		const [one, two] = await Promise.all([m.load(), m.load()]);
		const three = await m.load();
		// The browser lists what it fetched a moment after the fetch ends.
		while (`+fetched+`.length === 0) await new Promise(r => setTimeout(r, 20));
		return {same: one === two && two === three, fetched: `+fetched+`.length, sent: `+fetched+`[0].encodedBodySize};
	})()`)
	if !got.Same || got.Fetched != 1 {
		t.Errorf("loading thrice told %+v, want the same, fetched once", got)
	}
	if got.Sent == 0 || got.Sent > 2_000_000 {
		t.Errorf("the program came as %d bytes, want it compressed", got.Sent)
	}
}

// TestWorkerAnswersLikeThePage runs the program where it cannot hold up the page: all that it
// offers.
func TestWorkerAnswersLikeThePage(t *testing.T) {
	p := browser(t, viewer.ComputingPolicy)
	got := eval[string](p, importing+`.then(m => m.loadInWorker()).then(async w => {
		const answers = await Promise.all([w.compute("staff-reading", {instrumentLevelM: 101.842, targetLevelM: 100.187}), w.compute("staff-reading", {}), w.list(),
			w.gather({features: []}), w.gather({features: [{feature: "x", entries: [{text: "{"}]}]}), w.sheets({property: "p"}), w.plan({property: "p", request: {}})]);
		w.stop();
		answers[2] = answers[2].length;
		return JSON.stringify(answers);
	})`)
	want := fmt.Sprintf(`[{"ok":true,"output":{"readingM":1.655}},{"ok":false,"problem":{"path":"instrumentLevelM","reason":"is missing","fix":"level of the line of sight: level of the backsight point plus its reading"}},%d,`+
		`{"ok":true,"output":{"features":[]}},{"ok":false,"problem":%s},{"ok":true,"output":{"sheets":{}}},{"ok":false,"problem":%s}]`, len(compute.All()), refusal(t, phonecompute.Fold, `{"features":[{"feature":"x","entries":[{"text":"{"}]}]}`), refusal(t, new(phonecompute.Sheets).Plan, `{"property":"p","request":{}}`))
	if got != want {
		t.Errorf("the worker answered %s, want %s", got, want)
	}
}

// TestWorkerAnswersEarlierPages: a page that was open before a newer version was taken starts
// the newer worker when its own has ended, and speaks to it as it was written to. The
// questions and the shapes of the answers are those of the pages until November 2026; they
// are not to be changed with the worker.
func TestWorkerAnswersEarlierPages(t *testing.T) {
	p := browser(t, viewer.ComputingPolicy)
	got := eval[string](p, `fetch("/assets/compute.json").then(r => r.json()).then(async built => {
		const worker = new Worker("/assets/" + built.worker, {type: "module"}), told = [];
		const next = () => new Promise(r => { worker.onmessage = e => { told.push(e.data); r(); }; });
		await next();
		for (const question of [{name: "staff-reading", input: {instrumentLevelM: 101.842, targetLevelM: 100.187}}, {gather: {features: []}}, {sheets: {property: "p"}}, {list: true}]) {
			worker.postMessage({id: told.length, ...question});
			await next();
		}
		worker.terminate();
		told[4].list = told[4].list.length;
		return JSON.stringify(told);
	})`)
	want := fmt.Sprintf(`[{"ready":true},{"id":1,"answer":{"ok":true,"output":{"readingM":1.655}}},{"id":2,"answer":{"ok":true,"output":{"features":[]}}},`+
		`{"id":3,"answer":{"ok":true,"output":{"sheets":{}}}},{"id":4,"list":%d}]`, len(compute.All()))
	if got != want {
		t.Errorf("the worker told %s, want %s", got, want)
	}
}

// refusal is how this process refuses a question.
func refusal(t *testing.T, answer func([]byte) ([]byte, error), question string) []byte {
	t.Helper()
	text, err := answer([]byte(question))
	if err == nil {
		t.Fatalf("%s is answered by %s", question, text)
	}
	return compute.Refusal(err)
}

// TestOtherPagesCannotCompile: the policy of pages that do not compute holds the program
// back, and load() says so instead of hanging.
func TestOtherPagesCannotCompile(t *testing.T) {
	p := browser(t, viewer.ContentPolicy)
	if got := eval[string](p, importing+`.then(m => m.load()).then(() => "loaded", error => String(error))`); !strings.Contains(got, "Content Security Policy") {
		t.Errorf("load() under the policy for other pages: %s, want it refused by the policy", got)
	}
	if got := viewer.ComputingPolicy; got == viewer.ContentPolicy || strings.ReplaceAll(got, " 'wasm-unsafe-eval'", "") != viewer.ContentPolicy {
		t.Errorf("ComputingPolicy %q differs from ContentPolicy in more than 'wasm-unsafe-eval'", got)
	}
}

// TestCommandTellsRefusalsInWords: without --json a person reads what is wrong.
func TestCommandTellsRefusalsInWords(t *testing.T) {
	text, _ := commandLine(t, "line", []byte(`{"positions":[]}`))
	var p model.Problem
	if err := json.Unmarshal(text, &p); err != nil || p.Path != "positions" {
		t.Errorf("headcut compute line --json = %s, want a problem of positions", text)
	}
}
