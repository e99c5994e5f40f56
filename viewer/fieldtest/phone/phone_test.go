package phone

import (
	"strings"
	"testing"

	"headcut/viewer/tab"
)

func TestMain(m *testing.M) { Main(m, "src/base/words.ts") }

// What tests lean on: the page is the server's own, secure, on a phone's screen, and a
// kill of either side leaves what was stored.
func TestPhoneAndOfficeOutliveKills(t *testing.T) {
	office := NewOffice(t)
	p := New(t, office, Durable())
	p.Open("/field/")
	if !Eval[bool](p.Page, "isSecureContext && navigator.maxTouchPoints > 0 && devicePixelRatio === 2 && innerWidth === 412") {
		t.Error("the page is not that of a phone")
	}
	if !Eval[bool](p.Page, "navigator.storage.persist()") {
		t.Error("storage is not durable")
	}
	Eval[bool](p.Page, `(localStorage.setItem("kept", "yes"), true)`)
	code, url := office.Invite("Stony Block", "R. Field"), office.URL
	p.Close()
	office.Kill()
	office.Start()
	if office.URL != url {
		t.Errorf("the office is at %s after a kill, want %s", office.URL, url)
	}
	p.Start()
	p.Open("/field/")
	if got := Eval[string](p.Page, `localStorage.getItem("kept")`); got != "yes" {
		t.Errorf("the page finds %q of what it kept, want yes", got)
	}
	status := Eval[int](p.Page, `fetch("/enrol", {method: "POST", body: JSON.stringify({code: `+quoted(code)+`, device: "d-1", author: "R. Field"})}).then(r => r.status)`)
	if status != 200 {
		t.Errorf("enrolling after a kill of the office: %d, want 200", status)
	}
	if got := len(office.Entries("Stony Block")); got != 0 {
		t.Errorf("the office holds %d entries, want none", got)
	}
	p.Kill()
	if left := processesOf(p.profile); len(left) > 0 {
		t.Errorf("processes %v are left after a kill", left)
	}
}

// The checks of a screen must find what is wrong with one.
func TestHandAndEyesOfThePhone(t *testing.T) {
	p := New(t, NewOffice(t))
	p.At(Fix{Lon: 146.5, Lat: -20.25, AccuracyM: 4})
	p.Open("/field/")
	Eval[bool](p.Page, `(document.body.innerHTML = '<main><h1>Trial</h1><p role="status"></p><button>Press</button>' +
		'<label>Name <input></label><label>Soil <select><option>sand<option>clay</select></label></main>',
		document.querySelectorAll("button, input, select").forEach(e => { e.style.minWidth = e.style.minHeight = "60px"; }),
		document.querySelector("button").onclick = () => document.querySelector("[role=status]").textContent = "pressed " + document.querySelector("input").value + " " + document.querySelector("select").value, true)`)
	p.Type("Name", "toe 7")
	p.Choose("Soil", "clay")
	p.Tap("Press")
	p.WaitSaid("pressed toe 7 clay")
	if p.Has("Nothing") || !p.Has("Press") {
		t.Error("Has does not tell which controls are there")
	}
	p.CheckFit("a good page")
	got := Eval[[]float64](p.Page, `new Promise((yes, no) => navigator.geolocation.getCurrentPosition(f => yes([f.coords.longitude, f.coords.latitude, f.coords.accuracy]), no))`)
	if len(got) != 3 || got[0] != 146.5 || got[1] != -20.25 || got[2] != 4 {
		t.Errorf("the receiver gives %v, want 146.5 -20.25 4", got)
	}
	small := Eval[[]string](p.Page, `(document.querySelector("main").append(Object.assign(document.createElement("button"), {textContent: "x"})), `+tab.SmallTargets+`)`)
	if len(small) != 1 || !strings.Contains(small[0], "x") {
		t.Errorf("small targets found: %q, want the one button", small)
	}
}
