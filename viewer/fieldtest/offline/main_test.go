// Package offline tests the field page's doors, and what makes it work where there is no
// signal: enrolling and what is refused, its files on the phone, a newer version that waits,
// a store that does not open, and the file in which captures are carried by hand.
package offline

import (
	"testing"

	"headcut/viewer/fieldtest/phone"
)

func TestMain(m *testing.M) { phone.Main(m) }

const property = "Stony Block"

// here is where the phones of these tests stand: nowhere in particular.
var here = phone.Fix{Lon: 146.5, Lat: -20.25, AccuracyM: 4}

// enrolled is a phone of an office that has enrolled, has the page's files, and stands on
// the first screen.
func enrolled(t *testing.T, office *phone.Office, options ...phone.Option) *phone.Phone {
	t.Helper()
	p := phone.New(t, office, append([]phone.Option{phone.Durable()}, options...)...)
	p.Enrol(property, office.Invite(property, "R. Field"), here)
	p.Go("#/")
	p.WaitFor(kept)
	return p
}

// kept is true once the page's files are on the phone.
const kept = `navigator.serviceWorker.getRegistration("/field/").then(r => r?.active?.state === "activated" && !r.installing)`

// mark records a gully head in the two taps of the first screen.
func mark(p *phone.Phone) {
	p.Go("#/")
	p.At(here) // a fresh position: the one of before may be too old on a busy machine
	p.Tap("Mark")
	p.WaitText("±")
	p.Tap("Gully head")
	p.WaitSaid("Gully head saved")
}

// unsent is how many entries the phone's store says the server does not have.
const unsent = `new Promise((yes, no) => {
	const open = indexedDB.open("headcut");
	open.onerror = () => no(open.error);
	open.onsuccess = () => {
		const all = open.result.transaction("entries").objectStore("entries").index("waiting").count();
		all.onsuccess = () => { open.result.close(); yes(all.result); };
	};
})`
