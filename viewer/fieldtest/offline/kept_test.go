package offline

import (
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// Every screen opens with the server dead and nothing but what is on the phone, the heavy
// ones too, from the first day on: no second visit is needed.
func TestEveryScreenOpensOffline(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := enrolled(t, office)
	office.Kill()
	for _, route := range []string{"#/mark", "#/map", "#/line", "#/level", "#/peg", "#/photo", "#/visit", "#/plan/none", "#/peg/for/none", "#/level/none/none", "#/order", "#/follow-up", "#/handover", "#/status"} {
		t.Run(strings.TrimPrefix(route, "#/"), func(t *testing.T) {
			p.Go("#/")
			p.WaitHeading(property)
			p.Go(route)
			p.WaitFor(`!["", "` + property + `"].includes(document.querySelector("h1")?.innerText ?? "")`)
			if phone.Eval[bool](p.Page, `document.body.innerText.includes("not on the phone yet")`) { // drawn with its heading
				t.Errorf("%s is not on the phone", route)
			}
		})
	}
	p.Restart()
	p.At(here)
	p.Open("/field/")
	p.WaitHeading(property)
	mark(p)
	if got := phone.Eval[int](p.Page, unsent); got != 1 {
		t.Errorf("%d entries wait after a capture offline, want 1", got)
	}
	// The computations as well: the program and its worker are on the phone.
	if got := phone.Eval[string](p.Page, `fetch("/field/assets/compute.json").then(r => r.json()).then(built => Promise.all([built.program, built.worker].map(f => fetch("/field/assets/" + f).then(r => r.status)))).then(String)`); got != "200,200" {
		t.Errorf("the computations offline: %s, want all there", got)
	}
}

// shelvedFiles is the list that an office gives to the service worker.
func shelvedFiles(t *testing.T, office *phone.Office) (urls []string) {
	t.Helper()
	res, err := http.Get(office.URL + "/field/worker.js")
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	script, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	list, _, _ := strings.Cut(strings.TrimPrefix(string(script), "self.shelved="), ";\n")
	var got struct{ Files []struct{ URL string } }
	if err := json.Unmarshal([]byte(list), &got); err != nil || len(got.Files) == 0 {
		t.Fatalf("the worker's list %.200s: %v", list, err)
	}
	for _, f := range got.Files {
		urls = append(urls, f.URL)
	}
	return urls
}

// watchWorker notes what becomes of the worker that the page registers.
const watchWorker = `(() => {
	const register = navigator.serviceWorker.register.bind(navigator.serviceWorker);
	navigator.serviceWorker.register = async (...given) => {
		const registration = await register(...given), worker = registration.installing;
		worker?.addEventListener("statechange", () => { globalThis.workerState = worker.state; });
		return registration;
	};
})()`

// A version of which one file cannot be had, or has other bytes than the server says, is
// not used at all; the next visit goes on with what has come by then.
func TestHalfAVersionIsNotUsed(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name string
		how  phone.Spoil
	}{{"gone", phone.Gone}, {"other-bytes", phone.OtherBytes}} {
		t.Run(c.name, func(t *testing.T) {
			office := phone.NewOffice(t)
			urls := shelvedFiles(t, office)
			spoilt := ""
			for _, url := range urls { // a part that the first screen does without
				if strings.HasSuffix(url, ".wasm") {
					spoilt = url
				}
			}
			if spoilt == "" {
				t.Fatalf("the list has no program: %q", urls)
			}
			office.Stop()
			office.Spoil(map[string]phone.Spoil{spoilt: c.how})
			office.Start()
			p := phone.New(t, office)
			p.Expect(spoilt[len("/field/assets/"):])
			p.Expect("integrity")
			p.BeforeScripts(watchWorker)
			p.Open("/field/")
			p.WaitHeading("Enrol")
			p.WaitFor(`["redundant", "activated"].includes(globalThis.workerState)`)
			p.WaitFor(`navigator.serviceWorker.getRegistration("/field/").then(r => !r || !r.active && !r.installing && !r.waiting)`)
			if phone.Eval[bool](p.Page, `caches.match("/field/given-version").then(r => r !== undefined)`) {
				t.Error("half a version is given to the page")
			}
			office.Stop()
			if phone.Eval[bool](p.Page, `fetch("/field/").then(() => true, () => false)`) {
				t.Error("half a version is given where there is no signal")
			}
			office.Spoil(nil)
			office.Start()
			p.Open("/field/")
			p.WaitFor(kept)
			held := phone.Eval[int](p.Page, `caches.keys().then(names => Promise.all(names.filter(n => n.startsWith("page-")).map(n => caches.open(n).then(c => c.keys())))).then(all => all.flat().length)`)
			if held != len(urls) {
				t.Errorf("%d files are kept, want all %d", held, len(urls))
			}
		})
	}
}
