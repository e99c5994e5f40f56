package offline

import (
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// self is the phone's number as it is enrolled.
const self = `new Promise((yes, no) => {
	const open = indexedDB.open("headcut");
	open.onerror = () => no(open.error);
	open.onsuccess = () => {
		const asked = open.result.transaction("selves").objectStore("selves").get("self");
		asked.onsuccess = () => { open.result.close(); yes(asked.result.device); };
	};
})`

// The office takes the rights of a phone away while it is connected and quiet. The phone
// says so soon, records on, keeps and counts what it cannot send, and hands it over by file.
func TestRevokedWhileConnected(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := enrolled(t, office)
	mark(p)
	p.WaitText("1 entry on phone")
	p.WaitText("0 not sent")
	office.Revoke(phone.Eval[string](p.Page, self))
	if !p.Comes(shown("The server refuses this phone. What is recorded stays here."), phone.Patience) {
		t.Fatalf("5 s after its rights were taken away the phone says: %s", p.Text())
	}
	mark(p)
	mark(p)
	p.WaitText("2 not sent")
	p.Go("#/status")
	p.WaitText("This device's rights were taken away. Ask the office why.")
	p.WaitText("2 entries not sent yet: nothing is lost, it stays on this phone.")
	p.Screenshot("revoked")
	p.CheckFit("a phone without rights")
	if got := phone.Eval[int](p.Page, unsent); got != 2 {
		t.Errorf("the store holds %d entries that wait, want 2", got)
	}
	wantOnce(t, office, 1)
	taken := office.TakeIn(saveToFile(t, p, p.Downloads()))
	if taken.New != 2 || len(taken.Refused) > 0 {
		t.Errorf("the office took %d entries in from the file and refused %v, want 2 and none", taken.New, taken.Refused)
	}
	wantOnce(t, office, 3)
}

// The office takes one of two properties from a connected phone. What is recorded there waits on
// the phone, which says of what and why; the other goes on; and once it is given back, all goes.
func TestPhoneThatLosesOneProperty(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := phone.New(t, office, phone.Durable())
	p.Enrol("Properties", office.InviteFor("R. Field", property, second), here)
	openProperty(p, second)
	mark(p)
	p.WaitText("0 not sent")
	wantHeld(t, office, second, 1)
	office.Narrow("R. Field", second)
	p.Go("#/property")
	p.WaitText("The office has not given this phone the right to it.")
	p.Go("#/")
	p.WaitHeading(second) // its records are not taken from the officer's sight
	mark(p)
	openProperty(p, property)
	mark(p)
	wantHeld(t, office, property, 1)
	p.WaitText("1 not sent")
	p.Go("#/status")
	p.WaitText("of these on " + second + " 1: no right to send them, ask the office")
	p.WaitText("The server has not accepted everything. This phone has no right to a property that it has entries of.")
	p.CheckFit("status without the right to a property")
	p.Screenshot("status-without-right")
	wantHeld(t, office, second, 1)
	p.Restart()
	p.At(here)
	p.Open("/field/#/status")
	p.WaitText("of these on " + second + " 1: no right to send them, ask the office")
	office.Widen("R. Field", second)
	p.WaitFor(unsent + ".then(n => n === 0)")
	wantHeld(t, office, second, 2)
}
