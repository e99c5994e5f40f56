package tab

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// notes is a test that keeps what it is told of instead of failing.
type notes struct {
	testing.TB
	told []string
}

func (n *notes) Helper() {}
func (n *notes) Errorf(format string, args ...any) {
	n.told = append(n.told, fmt.Sprintf(format, args...))
}

const sound = `<!doctype html><html lang="en"><title>Trial</title>
<meta name="viewport" content="width=device-width, initial-scale=1"><link rel="icon" href="data:,">
<style>body { font: 18px sans-serif; color: #1c1b17; background: white } button { min-width: 60px; min-height: 60px }</style>
<main><h1>Trial</h1><p>Ink on paper</p><button>Press</button><div id="more"></div></main>`

// Every check must be silent on a sound page, and must find what it is for on one that is
// not: a check that sees nothing would let every page pass.
func TestChecksFindWhatIsWrong(t *testing.T) {
	web := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path != "/" {
			http.NotFound(w, r)
			return
		}
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		fmt.Fprint(w, sound)
	}))
	defer web.Close()
	root, leave, err := Launch(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	defer leave()
	all := func(b *Tab) {
		b.CheckFit("the page")
		b.WantQuiet(nil)
		b.WantOnly(strings.TrimPrefix(web.URL, "http://"))
	}
	for _, c := range []struct{ name, script, want string }{
		{"sound", `0`, ""},
		{"small-target", `more.innerHTML = '<button style="min-width: 20px; min-height: 60px; width: 20px; padding: 0">x</button>'`, "too small to press"},
		{"wide", `more.innerHTML = '<p style="width: 700px">wide</p>'`, "the page is 7"},
		{"grey-text", `more.innerHTML = '<p style="color: #777">grey</p>'`, "contrast 4.4"},
		{"text-in-a-drawing", `more.innerHTML = '<svg class="profile" width="90" height="90"><rect class="ground" fill="#555" width="90" height="90"/><text y="40" fill="#000">level</text></svg>'`, `"level" is rgb(0, 0, 0) on rgb(85, 85, 85)`},
		{"no-label", `more.innerHTML = '<input style="min-height: 60px">'`, "label:"},
		{"thrown", `(setTimeout(() => { throw new Error("a peg is missing") }), new Promise(r => setTimeout(r, 100)))`, "a peg is missing"},
		{"logged", `console.error("no", "level")`, `console: "no" "level"`},
		{"not-found", `fetch("/gone")`, "404"},
		{"another-server", `fetch("http://127.0.0.2:9/").catch(() => 0)`, "asked for http://127.0.0.2:9/"},
	} {
		t.Run(c.name, func(t *testing.T) {
			ctx, stop := chromedp.NewContext(root)
			defer stop()
			n := &notes{TB: t}
			b := New(n, ctx, 412, 800, chromedp.EmulateMobile)
			b.Do(chromedp.Navigate(web.URL + "/"))
			Ask(b, chromedp.Evaluate[chromedp.Void]("Promise.resolve("+c.script+").then(() => undefined)", chromedp.EvalAwaitPromise))
			all(b)
			told := strings.Join(n.told, "\n")
			for deadline := time.Now().Add(Patience); !strings.Contains(told, c.want) && time.Now().Before(deadline); time.Sleep(20 * time.Millisecond) {
				all(b) // what the browser tells of a page may come after what the page answers
				told = strings.Join(n.told, "\n")
			}
			if c.want == "" && told != "" || !strings.Contains(told, c.want) {
				t.Errorf("after %s the checks say %q, want %q in it", c.script, told, c.want)
			}
		})
	}
}

// A step that reaches for what is drawn a moment later waits for it instead of failing.
func TestEvalWaitsForWhatIsNotDrawn(t *testing.T) {
	root, leave, err := Launch(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	defer leave()
	ctx, stop := chromedp.NewContext(root)
	defer stop()
	b := New(t, ctx, 400, 400)
	Eval[bool](b, `(setTimeout(() => { document.body.innerHTML = "<p id=late>late</p>" }, 300), true)`)
	if got := Eval[string](b, `document.querySelector("#late").textContent`); got != "late" {
		t.Errorf("read %q, want late", got)
	}
	if got := Eval[string](b, `[...document.querySelectorAll("p")].find((p) => p.id === "late").textContent`); got != "late" {
		t.Errorf("read %q, want late", got)
	}
}

// A wait ends in time, whatever its expression does on the way: it may reach for what is drawn
// no more, and come true later; or it may throw, or promise what never comes.
func TestWaitsEnd(t *testing.T) {
	root, leave, err := Launch(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	defer leave()
	ctx, stop := chromedp.NewContext(root)
	defer stop()
	n := &notes{TB: t}
	b := New(n, ctx, 400, 400)
	ends := func(expression string, within time.Duration) (came bool) {
		t.Helper()
		done := make(chan bool, 1)
		go func() { done <- b.Comes(expression, within) }()
		select {
		case came = <-done:
		case <-time.After(within + Patience):
			t.Fatalf("the wait for %s has not ended", expression)
		}
		return came
	}
	Eval[bool](b, `(document.body.innerHTML = "<p>early</p>",
		setTimeout(() => { document.body.innerHTML = "" }, 200),
		setTimeout(() => { document.body.innerHTML = "<p>late</p>" }, 400), true)`)
	if !ends(`document.querySelector("p").textContent === "late"`, Patience) {
		t.Error("what was taken away and drawn again has not come")
	}
	if ends(`new Promise(() => {})`, 300*time.Millisecond) || ends(`false`, 300*time.Millisecond) {
		t.Error("what never comes has come")
	}
}
