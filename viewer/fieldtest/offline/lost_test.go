package offline

import (
	"os"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// The browser has lost its database, far from any signal. The officer is told, and at one
// tap has again what was not sent: entries, a photo, and the book that was begun. The day
// goes on, and all of it reaches the office once.
func TestLostStoreComesBackWithNoSignal(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := enrolled(t, office)
	mark(p)
	p.WaitFor(unsent + ".then(n => n === 0)")
	p.Offline(true)
	mark(p)
	sha := addPhoto(t, p)
	p.Go("#/status")
	p.WaitText("Second copy yes, of all not sent yet")
	p.Go("#/level")
	p.Tap("New level book")
	p.WaitText("First a backsight")
	p.TapSelector(".pad .k1")
	p.TapSelector(".pad .kpoint")
	p.TapSelector(".pad .k4")
	book := phone.Eval[string](p.Page, "location.hash")
	p.WaitFor(bookDraft)
	waits := phone.Eval[int](p.Page, unsent)
	p.Close()
	office.Kill()
	if err := os.RemoveAll(storeFiles(t, p)); err != nil {
		t.Fatal(err)
	}
	p.Start()
	p.At(here)
	p.Expect("ERR_CONNECTION_REFUSED")
	p.Open("/field/#/")
	p.WaitHeading("The browser has lost this phone's entries")
	p.WaitText("There is a second copy of what was not sent: 2 entries, 1 photo and unfinished work")
	p.Screenshot("lost")
	p.CheckFit("a store that was lost")
	if got := phone.Eval[[]string](p.Page, "indexedDB.databases().then(all => all.map(d => d.name))"); len(got) > 0 {
		t.Errorf("a database was made before anybody asked for it: %v", got)
	}
	p.Tap("Bring it back")
	p.WaitSaid("Brought back: 2 entries, 1 photo and unfinished work")
	p.WaitHeading(property)
	p.WaitText("2 + 1 photo not sent")
	p.Screenshot("brought-back")
	if got := phone.Eval[int](p.Page, unsent); got != waits {
		t.Errorf("%d entries wait, want the %d of before", got, waits)
	}
	if got := phone.Eval[string](p.Page, waitingPhoto); got != sha {
		t.Errorf("photo %q waits, want %q", got, sha)
	}
	p.Go(book)
	p.WaitFor(`[...document.querySelectorAll("input")].some(i => i.value === "1.4")`)
	mark(p)
	p.Reload()
	p.WaitText("3 + 1 photo not sent")
	office.Start()
	p.Go("#/status")
	p.Tap("Send now")
	p.WaitFor(unsent + ".then(n => n === 0)")
	p.WaitFor(waitingPhoto + `.then(s => s === "")`)
	wantOnce(t, office, 4)
	if _, ok := office.Photo(sha); !ok {
		t.Error("the photo is not in the office")
	}
	p.Go("#/")
	p.WaitText("4 entries on phone") // what had been sent came to the phone again
}

// bookDraft is true once a level book that was begun is in the phone's store, with what is typed.
const bookDraft = `new Promise((yes, no) => {
	const open = indexedDB.open("headcut");
	open.onerror = () => no(open.error);
	open.onsuccess = () => {
		const all = open.result.transaction("drafts").objectStore("drafts").getAll();
		all.onsuccess = () => { open.result.close(); yes(all.result.some(d => d?.pad?.texts?.reading === "1.4")); };
	};
})`

// As above on a phone of two properties and one that it has begun: all comes back, each under its name,
// and is sent to where it belongs.
func TestLostStoreOfSeveralProperties(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := enrolled(t, office)
	p.Open("/field/#/enrol/" + office.Invite(second, "R. Field"))
	p.Tap("Add the property")
	p.WaitHeading(second)
	p.WaitText("The property is on this phone")
	office.Kill()
	mark(p)
	sha := addPhoto(t, p)
	p.Go("#/property/new")
	p.Type("Name of the property", "Old Hut")
	p.Tap("Begin")
	p.WaitHeading("Old Hut")
	mark(p)
	openProperty(p, property)
	mark(p)
	p.WaitText("4 + 1 photo not sent")
	p.Go("#/status")
	p.WaitText("Second copy yes, of all not sent yet")
	p.Close()
	if err := os.RemoveAll(storeFiles(t, p)); err != nil {
		t.Fatal(err)
	}
	p.Start()
	p.At(here)
	p.Open("/field/#/")
	p.WaitText("There is a second copy of what was not sent: 4 entries, 1 photo")
	p.Tap("Bring it back")
	p.WaitText("4 + 1 photo not sent")
	p.Go("#/property")
	for _, name := range []string{property, second, "Old Hut"} {
		p.WaitText(name)
	}
	p.WaitText("begun on this phone, not accepted by the office yet")
	p.Screenshot("brought-back-several")
	office.Start()
	p.Go("#/status")
	p.Tap("Send now")
	p.WaitFor(unsent + ".then(n => n === 0)")
	p.WaitFor(waitingPhoto + `.then(s => s === "")`)
	wantHeld(t, office, property, 1)
	wantHeld(t, office, second, 2)
	wantHeld(t, office, "Old Hut", 1)
	if _, ok := office.Photo(sha); !ok {
		t.Error("the photo is not in the office")
	}
}
