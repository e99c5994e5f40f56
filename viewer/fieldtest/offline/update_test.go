package offline

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// newerPages is the page with another version of its frame and main script.
func newerPages(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, phone.Pages()); err != nil {
		t.Fatal(err)
	}
	for _, ending := range []string{"*.br", "*.gz"} { // they are of the files before they are changed
		packed, err := filepath.Glob(filepath.Join(dir, ending))
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range packed {
			if err := os.Remove(file); err != nil {
				t.Fatal(err)
			}
		}
	}
	file := filepath.Join(dir, "field.html")
	html, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	changed := strings.Replace(string(html), "<head>", `<head>`+"\n"+`<meta name="generation" content="second">`, 1)
	if changed == string(html) {
		t.Fatal("the page has no head to change")
	}
	if err := os.WriteFile(file, []byte(changed), 0o644); err != nil {
		t.Fatal(err)
	}
	return dir
}

const generation = `(document.querySelector("meta[name=generation]")?.content ?? "first")`

// A newer version comes onto the phone beside the one in use. Neither a reload nor an
// empty battery makes it take over, nor a tap while captures are nowhere else; once they
// are in a file, the tap does, and every capture reaches the server exactly once.
func TestNewerVersionWaitsForTheOfficer(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := enrolled(t, office)
	p.WaitText("0 not sent")
	p.Offline(true) // its sockets are dead; the worker still reaches the server
	mark(p)
	mark(p)
	office.Stop()
	office.UsePages(newerPages(t))
	office.Start()
	p.Go("#/status")
	p.Tap("Check for a newer version")
	p.WaitText("A newer version is on this phone. First send what only this phone has, or save it to a file: 2 entries, 0 photos.")
	p.Screenshot("newer-version")
	p.CheckFit("a newer version")
	office.Kill() // so that a fresh page finds no server either
	p.Restart()
	p.At(here)
	downloads := p.Downloads()
	p.Open("/field/#/status")
	p.WaitText("A newer version is on this phone.")
	if got := phone.Eval[string](p.Page, generation); got != "first" {
		t.Errorf("after an empty battery the page is of the %s generation, want first", got)
	}
	if phone.Eval[bool](p.Page, `![...document.querySelectorAll("button")].find(b => b.innerText === "Update").disabled`) {
		t.Error("an update can be tapped while two captures are nowhere else")
	}
	saveToFile(t, p, downloads)
	p.Go("#/status")
	p.Tap("Update")
	p.WaitFor(generation + ` === "second"`)
	p.WaitText("2 not sent")
	if got := phone.Eval[int](p.Page, unsent); got != 2 {
		t.Errorf("%d entries wait after the update, want 2", got)
	}
	office.Start()
	p.Go("#/status")
	p.Tap("Send now")
	p.WaitFor(unsent + ".then(n => n === 0)")
	wantOnce(t, office, 2)
	p.Go("#/map")
	p.WaitHeading("Map")
}

// wantOnce checks that the office holds so many entries, each once.
func wantOnce(t *testing.T, office *phone.Office, n int) {
	t.Helper()
	seen := map[string]bool{}
	for _, e := range office.Entries(property) {
		if seen[string(e.ID)] {
			t.Errorf("the office holds %s twice", e.ID)
		}
		seen[string(e.ID)] = true
	}
	if len(seen) != n {
		t.Errorf("the office holds %d entries, want %d", len(seen), n)
	}
}
