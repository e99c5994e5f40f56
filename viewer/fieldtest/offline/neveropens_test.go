package offline

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// asksForMore makes the page want its database one version higher, as a newer page does.
// With failing, what brings it there breaks off each time, until it is mended.
func asksForMore(failing bool) string {
	return fmt.Sprintf(`(real => { IDBFactory.prototype.open = function(name, version) {
		if (version === undefined) return real.call(this, name);
		const asked = real.call(this, name, version + 1);
		if (%t && localStorage.getItem("mended") === null) asked.addEventListener("upgradeneeded", () => asked.transaction.abort());
		return asked; }; })(IDBFactory.prototype.open)`, failing)
}

// holdsOn opens the database as a page does that is frozen in the background: it does not
// let go when another asks.
const holdsOn = `new Promise((yes, no) => { const open = indexedDB.open("headcut");
	open.onerror = () => no(open.error); open.onsuccess = () => { globalThis.held = open.result; yes(true); }; })`

// The opening of the database is held up for ever by another page. The officer is told what
// to do, and when the other page is closed all is there as before.
func TestStoreHeldUpForEver(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := enrolled(t, office)
	p.Offline(true)
	mark(p)
	p.WaitText("1 not sent")
	holder := p.NewTab()
	holder.Expect("favicon")
	holder.Open("/field/addresses.json") // of the same origin, and runs no script of ours
	phone.Eval[bool](holder, holdsOn)
	p.BeforeScripts(asksForMore(false))
	p.Reload()
	p.WaitHeading("Nothing can be recorded now")
	p.WaitText("The browser does not open this phone's entries. Close all other tabs of this page and open it again.")
	p.Screenshot("never-opens")
	p.CheckFit("a store that never opens")
	phone.Eval[bool](holder, "(held.close(), true)")
	p.Tap("Open again")
	p.WaitHeading("Mark where you stand") // where it was
	p.Offline(false)
	p.Go("#/status")
	p.Tap("Send now")
	p.WaitFor(unsent + ".then(n => n === 0)")
	wantOnce(t, office, 1)
}

// The database does not open, every time, though what is in it can be read: it goes to
// the office by file. Once it opens again the phone has it too, and nothing is there twice.
func TestWhatCanBeReadIsSavedToAFile(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := enrolled(t, office)
	p.Offline(true)
	mark(p)
	p.WaitText("1 not sent")
	addPhoto(t, p)
	want := phone.Eval[int](p.Page, unsent)
	p.Expect("AbortError") // the library of the store leaves the broken transaction's promise alone
	p.BeforeScripts(asksForMore(true))
	p.Reload()
	p.WaitHeading("Nothing can be recorded now")
	if p.Has("Enrol this phone") {
		t.Error("a phone whose captures do not open can be enrolled into an empty store")
	}
	p.Tap("Save what can be read")
	p.WaitText(fmt.Sprintf("%d entries and 1 photo that are not sent yet can be read.", want))
	p.Screenshot("rescue")
	p.CheckFit("what can be read")
	downloads := p.Downloads()
	p.Tap("Save to a file")
	p.WaitSaid("went to this phone's downloads")
	taken := office.TakeIn(downloaded(t, downloads))
	if taken.New != want || len(taken.Refused) > 0 || taken.PhotosNew != 1 {
		t.Errorf("the office took %d entries and %d photos in and refused %v, want %d and 1 and none", taken.New, taken.PhotosNew, taken.Refused, want)
	}
	p.Tap("Open the page again")
	p.WaitHeading("Nothing can be recorded now")
	phone.Eval[bool](p.Page, `(localStorage.setItem("mended", "yes"), true)`)
	p.Tap("Open again")
	p.WaitHeading(property)
	if got := phone.Eval[int](p.Page, unsent); got != want {
		t.Errorf("%d entries wait on the phone, want all %d: only the server may say that it has them", got, want)
	}
	p.Offline(false)
	p.Go("#/status")
	p.Tap("Send now")
	p.WaitFor(unsent + ".then(n => n === 0)")
	wantOnce(t, office, want)
}

// The browser's files of the database cannot be opened, every time. The page says so,
// enrols nobody into an empty store beside them, and saves what is in the second copy to a
// file; when they can be opened again all of it is there.
func TestStoreFailsToOpenEachTime(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := enrolled(t, office)
	p.Offline(true)
	mark(p)
	p.WaitText("1 not sent")
	office.Kill() // a browser that is closed lets go of what it held back
	p.Close()
	files := storeFiles(t, p)
	aside := filepath.Join(t.TempDir(), "aside")
	if err := os.Rename(files, aside); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(files, []byte("in its place"), 0o400); err != nil {
		t.Fatal(err)
	}
	downloads := ""
	for _, copied := range []bool{true, false} {
		if !copied {
			removeCaches(t, p)
			office.Start() // the page comes from there now
		}
		p.Start()
		if copied {
			downloads = p.Downloads()
		}
		p.Open("/field/#/enrol/ABCDE-FGHJK")
		p.WaitHeading("Nothing can be recorded now")
		p.WaitText("Clear nothing: they may still be readable.")
		if p.Has("Enrol this phone") {
			t.Error("a phone whose captures cannot be opened can be enrolled into an empty store")
		}
		p.Screenshot("fails-to-open")
		p.CheckFit("a store that fails to open")
		p.Tap("Save what can be read")
		if copied {
			p.WaitText("1 entry and 0 photos that are not sent yet can be read.")
			p.CheckFit("what is in the second copy")
			p.Tap("Save to a file")
			p.WaitSaid("went to this phone's downloads")
		} else {
			p.WaitText("The browser does not give out what is on this phone.")
			p.Screenshot("rescue-fails")
			p.CheckFit("nothing can be read")
		}
		p.Tap("Open the page again")
		p.WaitHeading("Nothing can be recorded now")
		p.Close()
	}
	if err := os.Remove(files); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(aside, files); err != nil {
		t.Fatal(err)
	}
	if taken := office.TakeIn(downloaded(t, downloads)); taken.New != 1 || len(taken.Refused) > 0 {
		t.Errorf("the office took %d entries in and refused %v, want 1 and none", taken.New, taken.Refused)
	}
	p.Start()
	p.At(here)
	p.Open("/field/#/")
	p.WaitHeading(property)
	p.WaitText("1 entry on phone")
	p.WaitText("0 not sent")
	wantOnce(t, office, 1)
}

// removeCaches takes the second copy away, and the page's files with it.
func removeCaches(t *testing.T, p *phone.Phone) {
	t.Helper()
	found, err := filepath.Glob(filepath.Join(p.Profile(), "*", "Service Worker", "CacheStorage", "*"))
	if err != nil || len(found) == 0 {
		t.Fatalf("there are no caches in %s: %v", p.Profile(), err)
	}
	for _, dir := range found {
		if err := os.RemoveAll(dir); err != nil {
			t.Fatal(err)
		}
	}
}

// storeFiles is the folder of the profile in which the browser keeps this page's databases.
func storeFiles(t *testing.T, p *phone.Phone) string {
	t.Helper()
	found := ""
	err := filepath.WalkDir(p.Profile(), func(path string, _ os.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(path, "indexeddb.leveldb") {
			found = path
		}
		return err
	})
	if err != nil || found == "" {
		t.Fatalf("the browser's databases are not in %s: %v", p.Profile(), err)
	}
	return found
}
