package offline

import (
	"fmt"
	"testing"
	"time"

	"headcut/server"
	"headcut/viewer/fieldtest/phone"
)

const second = "Ridge Block"

// wantHeld waits until the office has so many entries of a property.
func wantHeld(t *testing.T, office *phone.Office, name string, want int) {
	t.Helper()
	for deadline := time.Now().Add(30 * time.Second); ; time.Sleep(100 * time.Millisecond) {
		got := len(office.Entries(name))
		if got == want {
			return
		}
		if time.Now().After(deadline) || got > want {
			t.Fatalf("the office has %d entries of %s, want %d", got, name, want)
		}
	}
}

// openProperty opens a property from the list by its name.
func openProperty(p *phone.Phone, name string) {
	p.Go("#/property")
	p.WaitHeading("Properties")
	p.WaitText(name)
	phone.Eval[bool](p.Page, fmt.Sprintf(`(Array.from(document.querySelectorAll(".properties button")).find((b) => b.querySelector(".name").innerText === %q).click(), true)`, name))
	p.WaitHeading(name)
	p.Go("#/")
	p.WaitHeading(name)
}

// A second code adds a property. What was recorded on both with no server survives a kill and
// is sent, whichever is shown, and both can be opened.
func TestSecondCodeAddsAProperty(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := enrolled(t, office)
	device := phone.Eval[string](p.Page, self)
	p.Open("/field/#/enrol/" + office.Invite(second, "R. Field"))
	p.WaitHeading("Add a property")
	p.Screenshot("add-a-property")
	p.CheckFit("adding a property by a code")
	p.Tap("Add the property")
	p.WaitHeading(second)
	p.WaitText("The property is on this phone")
	if now := phone.Eval[string](p.Page, self); now != device {
		t.Errorf("the phone became another device, %s instead of %s", now, device)
	}
	office.Kill()
	mark(p)
	openProperty(p, property)
	mark(p)
	mark(p)
	p.WaitText("3 not sent")
	p.Go("#/property")
	p.WaitText("2 entries not sent yet")
	p.WaitText("1 entry not sent yet")
	p.Screenshot("properties")
	p.CheckFit("the list of properties")
	p.Go("#/status")
	p.WaitText("of these on " + second)
	p.WaitText("Entries on this phone, of all properties")
	p.Screenshot("status-of-two")
	p.CheckFit("the status of two properties")
	p.Restart()
	p.At(here)
	p.Open("/field/") // no server yet: as the officer left it
	p.WaitHeading(property)
	p.WaitText("3 not sent")
	office.Start()
	p.Go("#/status")
	p.Tap("Send now")
	p.WaitText("0 not sent")
	wantHeld(t, office, property, 2)
	wantHeld(t, office, second, 1)
	openProperty(p, second)

	// The office gives a third without a code: the connected phone loads it by itself.
	office.Widen("R. Field", "Scald Block")
	p.Go("#/property")
	p.WaitText("Scald Block")
	openProperty(p, "Scald Block")
	mark(p)
	p.WaitText("0 not sent")
	wantHeld(t, office, "Scald Block", 1)
}

// With no signal an officer begins a property on a phone that is opened cold, records at once,
// and the phone dies. When it arrives the office accepts it under another name, which the phone
// learns; another one is merged into a property that another phone has: both show all of it.
func TestPropertyBegunWithNoSignal(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := enrolled(t, office)
	mark(p)
	p.WaitText("1 entry on phone")
	p.WaitText("0 not sent")
	office.Kill()
	p.Restart()
	p.At(here)
	p.Open("/field/")
	p.WaitHeading(property)
	begin := func(name string) {
		t.Helper()
		p.Go("#/property/new")
		p.Type("Name of the property", name)
		p.Tap("Begin")
		p.WaitHeading(name)
	}
	p.Go("#/property/new")
	p.Type("Name of the property", "stony  block")
	p.Tap("Begin")
	p.WaitText(property + " is on this phone already.")
	p.Screenshot("begin-a-property")
	p.CheckFit("beginning a property")
	begin("Old Hut")
	mark(p)
	mark(p)
	begin("Stony again")
	mark(p)
	p.WaitText("3 not sent")
	p.Restart() // at once
	p.At(here)
	p.Open("/field/")
	p.WaitHeading("Stony again")
	p.WaitText("3 not sent")
	p.Go("#/property")
	p.WaitText("begun on this phone, not accepted by the office yet")
	p.Screenshot("properties-begun")
	p.CheckFit("the list with properties begun here")

	office.Start()
	p.Go("#/status")
	p.Tap("Send now")
	p.WaitText("0 not sent")
	wantHeld(t, office, "Old Hut", 2)
	wantHeld(t, office, "Stony again", 1)
	office.Change(server.PropertyChange{Do: "accept", Which: "Old Hut", Name: "Hut Paddock"})
	p.Go("#/property")
	p.WaitText("Hut Paddock")
	p.WaitGone("Old Hut")
	p.Go("#/")
	p.WaitHeading("Stony again")
	office.Change(server.PropertyChange{Do: "merge", Which: "Stony again", Into: property})
	p.WaitHeading(property) // it follows by itself
	p.WaitText("Today: 2 entries")
	p.Screenshot("merged")
	mark(p)
	p.WaitText("0 not sent")
	wantHeld(t, office, property, 2)

	other := phone.New(t, office, phone.Durable())
	other.At(here)
	other.Open("/field/#/enrol/" + office.Invite(property, "K. Ranger"))
	other.Tap("Enrol this phone")
	other.WaitText("The property is on this phone")
	other.WaitText("3 items of the property")
	other.Go("#/property")
	other.WaitText(property)
	other.WaitGone("Stony again")
	other.WaitGone("Hut Paddock")
}

// A property that was begun goes to the office in a file too, where no server ever heard of it.
func TestPropertyBegunGoesInByFile(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := enrolled(t, office)
	office.Stop()
	p.Go("#/property/new")
	p.Type("Name of the property", "Old Hut")
	p.Tap("Begin")
	p.WaitHeading("Old Hut")
	mark(p)
	openProperty(p, property)
	mark(p)
	file := saveToFile(t, p, p.Downloads())
	p.Offline(true)
	office.Start()
	if taken := office.TakeIn(file); taken.New != 2 || len(taken.Refused) > 0 {
		t.Fatalf("the office took %+v in from the file, want 2 new and none refused", taken)
	}
	wantHeld(t, office, "Old Hut", 1)
	p.Offline(false)
	p.Go("#/status")
	p.Tap("Send now")
	p.WaitText("0 not sent")
	wantHeld(t, office, "Old Hut", 1)
	wantHeld(t, office, property, 1)
}

// A phone that was enrolled for two properties starts on a screen that says of both what is on
// it and whether it works with no signal, and begins on either.
func TestStartWithTwoProperties(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := phone.New(t, office, phone.Durable(), phone.Size(390, 844))
	p.Enrol("Properties", office.InviteFor("R. Field", property, "Hut Paddock"), here)
	p.WaitText("All 2 are on this phone")
	p.WaitText("Start on")
	p.WaitText("opens and computes with no signal")
	p.CheckFit("the start with two properties")
	p.Screenshot("start-two")
	phone.Eval[bool](p.Page, `(Array.from(document.querySelectorAll(".properties button")).find((b) => b.querySelector(".name").innerText === "Hut Paddock").click(), true)`)
	p.WaitHeading("Hut Paddock")
	p.WaitText("Nothing recorded today yet")
}
