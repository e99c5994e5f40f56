package offline

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// otherPages is the page as a version that shares no script with the present one.
func otherPages(t *testing.T) string {
	t.Helper()
	dir := newerPages(t)
	scripts, err := filepath.Glob(filepath.Join(dir, "field-*-*.js"))
	if err != nil || len(scripts) < 5 {
		t.Fatalf("the page has the scripts %q (%v), want several", scripts, err)
	}
	hashed := regexp.MustCompile(`(field-[\w.]+-)([0-9A-Z]{8})(\.js)`)
	files, err := filepath.Glob(filepath.Join(dir, "field*"))
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		body, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.Remove(file); err != nil {
			t.Fatal(err)
		}
		name := hashed.ReplaceAllString(filepath.Base(file), "${1}2${2}${3}")
		if err := os.WriteFile(filepath.Join(dir, name), hashed.ReplaceAll(body, []byte("${1}2${2}${3}")), 0o644); err != nil {
			t.Fatal(err)
		}
		if filepath.Ext(name) == ".html" && bytes.Equal(body, hashed.ReplaceAll(body, []byte("${1}2${2}${3}"))) {
			t.Fatal("the page names no script by its hash")
		}
	}
	return dir
}

// One tab stays open from before while another takes a newer version. The old one finds all
// its parts on the phone, also those it never asked for, though the server has them no more
// and then none at all; it says that it was overtaken, and keeps what is recorded in it.
func TestOldTabGoesOnAfterAnUpdateElsewhere(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := enrolled(t, office)
	p.Go("#/status") // of the tab's screens no other has been opened
	p.WaitHeading("Sync status")
	office.Stop()
	office.UsePages(otherPages(t))
	office.Start()
	tab := p.NewTab()
	tab.Open("/field/#/status")
	tab.Tap("Check for a newer version")
	tab.WaitText("A newer version is on this phone.")
	tab.Tap("Update")
	tab.WaitFor(generation + ` === "second"`)
	tab.WaitHeading("Sync status")
	p.WaitText("A newer version was installed in another tab.")
	phone.Eval[bool](p.Page, `([...document.querySelectorAll("button")].find(b => b.innerText === "Open again").scrollIntoView({block: "center"}), true)`)
	p.Screenshot("overtaken")
	p.CheckFit("a page that was overtaken")
	office.Kill()
	// The browser's own cache may have the parts by chance; a full phone empties it.
	p.EmptyCache()
	for _, screen := range []struct{ route, heading string }{{"#/map", "Map"}, {"#/line", "Record a line or area"}, {"#/handover", "Save to a file"}} {
		p.Go(screen.route)
		if !p.Comes(`document.querySelector("h1")?.innerText.trim() === "`+screen.heading+`"`, phone.Patience) || phone.Eval[bool](p.Page, `document.querySelector("#screen [role=alert]") !== null`) {
			t.Errorf("the old tab does not open %s: it shows %q", screen.route, p.Text())
		}
	}
	p.At(here)
	mark(p)
	p.WaitText("1 not sent")
	if got := phone.Eval[string](p.Page, generation); got != "first" {
		t.Errorf("the old tab is of the %s generation without having been opened again", got)
	}
	office.Start()
	p.Go("#/status")
	p.Tap("Open again")
	p.WaitFor(generation + ` === "second"`)
	p.WaitText("0 not sent")
	wantOnce(t, office, 1)
}
