package desktest

import (
	"slices"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// held lists what the browser keeps for this address: databases, caches, notes and locks.
const held = `(async () => ({
	Databases: (await indexedDB.databases()).map(d => d.name).sort(),
	Caches: (await caches.keys()).map(name => name.replace(/[0-9a-f]{16}$/, "N")).sort(),
	Notes: Object.keys(localStorage).sort(),
	Locks: (await navigator.locks.query()).held.map(l => l.name).sort(),
	Workers: (await navigator.serviceWorker.getRegistrations()).map(r => new URL(r.scope).pathname).sort(),
}))()`

type keeping struct{ Databases, Caches, Notes, Locks, Workers []string }

// The field page and the desk page in one browser are two devices: neither has the other's
// database, caches, notes or locks, both are connected at once, what one records the other gets
// from the server, and both open with no server. When one is forgotten the other stays whole.
func TestPhoneAndDeskInOneBrowser(t *testing.T) {
	t.Parallel()
	office, code := newOffice(t)
	p := phone.New(t, office, phone.Durable())
	p.Enrol(property, office.Invite(property, "R. Field"), here)
	p.WaitFor(`navigator.serviceWorker.getRegistration("/field/").then(r => r?.active?.state === "activated")`)
	p.Go("#/")
	p.WaitText("0 not sent")
	alone := phone.Eval[keeping](p.Page, held)

	desk := p.NewTab()
	desk.Open("/desk/#/enrol/" + code)
	desk.Tap("Enrol this computer")
	desk.WaitHeading("Properties")
	desk.WaitFor(kept)
	desk.WaitFor(link("Connected"))
	open(desk)
	both := phone.Eval[keeping](desk, held)
	for _, c := range []struct {
		what        string
		phone, both []string
		atLeast     int
	}{
		{"databases", alone.Databases, both.Databases, 1},
		{"caches", alone.Caches, both.Caches, 3},
		{"notes", alone.Notes, both.Notes, 2},
		{"locks", alone.Locks, both.Locks, 1},
		{"service workers", alone.Workers, both.Workers, 1},
	} {
		if len(c.phone) < c.atLeast {
			t.Errorf("the phone has the %s %q only: nothing was looked at", c.what, c.phone)
		}
		if !within(c.phone, c.both) {
			t.Errorf("with the desk there are the %s %q, and not all that the phone had: %q", c.what, c.both, c.phone)
		}
		if len(c.both) < 2*c.atLeast {
			t.Errorf("with the desk there are the %s %q, the phone has %q of them: the desk has none of its own", c.what, c.both, c.phone)
		}
	}

	mark(p)
	desk.WaitText("10 items")
	if self := phone.Eval[[]string](desk, devices); len(self) != 2 || self[0] == self[1] {
		t.Errorf("the device numbers of phone and desk are %q, want two", self)
	}

	p.Go("#/")
	office.Kill()
	for _, one := range []*phone.Page{p.Page, desk} {
		one.EmptyCache()
		one.Reload()
	}
	p.WaitHeading(property)
	p.WaitText("0 not sent")
	desk.WaitHeading(property)
	desk.WaitText("10 items")

	// Forgetting the desk leaves the phone whole, which records with no server.
	desk.OpenAt("about:blank")
	phone.Eval[bool](p.Page, `(async () => {
		await new Promise((yes, no) => { const r = indexedDB.deleteDatabase("headcut-desk"); r.onsuccess = yes; r.onerror = no; });
		for (const name of await caches.keys()) if (name.includes("desk")) await caches.delete(name);
		for (const name of Object.keys(localStorage)) if (name.includes("desk")) localStorage.removeItem(name);
		await (await navigator.serviceWorker.getRegistration("/desk/")).unregister();
		return true;
	})()`)
	p.Reload()
	p.WaitHeading(property)
	if left := phone.Eval[keeping](p.Page, held); !slices.Equal(left.Databases, alone.Databases) || !within(alone.Caches, left.Caches) || !within(alone.Notes, left.Notes) {
		t.Errorf("without the desk there are %+v, want what the phone had: %+v", left, alone)
	}
	mark(p)
	p.WaitText("1 not sent")
	office.Start()
	p.Go("#/status")
	p.Tap("Send now")
	p.WaitText("0 not sent")
}

// within tells whether all of some names are among others.
func within(some, all []string) bool {
	return !slices.ContainsFunc(some, func(name string) bool { return !slices.Contains(all, name) })
}

// devices are the numbers under which the two pages are enrolled.
const devices = `Promise.all(["headcut", "headcut-desk"].map(name => new Promise((yes, no) => {
	const open = indexedDB.open(name);
	open.onerror = () => no(open.error);
	open.onsuccess = () => {
		const self = open.result.transaction("selves").objectStore("selves").get("self");
		self.onsuccess = () => { open.result.close(); yes(self.result.device); };
	};
})))`
