package offline

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/handover"
	"headcut/sync/register"
	"headcut/viewer/fieldtest/phone"
)

// refile writes a file of a phone again with its items changed.
func refile(t *testing.T, file string, change func(about *handover.About, items []handover.Item)) string {
	t.Helper()
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	about, read, err := handover.Read(filepath.Base(file), bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	var items []handover.Item
	for item, problem := range read {
		if problem != nil {
			t.Fatal(problem)
		}
		items = append(items, item)
	}
	change(&about, items)
	var b bytes.Buffer
	if err := handover.Write(&b, about, items); err != nil {
		t.Fatal(err)
	}
	to := filepath.Join(t.TempDir(), "changed.tar")
	if err := os.WriteFile(to, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return to
}

// The seal of the real page: what it wrote goes in as sent; one line with one value changed goes in
// as handed in, and so does a file that somebody made up under the phone's numbers. The phone then
// sends all that it has, and is refused nothing.
func TestSealOfThePage(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := enrolled(t, office)
	p.Offline(true)
	for range 3 {
		mark(p)
	}
	changed := refile(t, saveToFile(t, p, p.Downloads()), func(_ *handover.About, items []handover.Item) {
		items[1].Entry = bytes.Replace(items[1].Entry, []byte(`"kind":"gully-head"`), []byte(`"kind":"check-dam"`), 1)
	})
	if taken := office.TakeIn(changed); taken.New != 3 || taken.HandedIn != 1 || len(taken.Refused) > 0 || len(taken.Notes) != 1 {
		t.Errorf("the office took %+v %v, want two entries as sent and the changed one as handed in", taken, taken.Notes)
	}
	madeUp := refile(t, changed, func(_ *handover.About, items []handover.Item) {
		for i := range items {
			e, err := register.Decode(items[i].Entry)
			if err != nil {
				t.Fatal(err)
			}
			e.DeviceSeq, e.ID, e.Feature = e.DeviceSeq+3, register.ID(fmt.Sprintf("019abc00-0000-7000-8000-%012d", i)), fmt.Sprint("made-up-", i)
			if items[i].Entry, err = register.Encode(e); err != nil {
				t.Fatal(err)
			}
		}
	})
	if taken := office.TakeIn(madeUp); taken.New != 3 || taken.HandedIn != 3 {
		t.Errorf("the office took %+v, want all as handed in", taken)
	}
	for range 3 { // under the numbers that were made up
		mark(p)
	}
	p.Offline(false)
	p.Go("#/status")
	p.Tap("Send now")
	p.WaitFor(unsent + ".then(n => n === 0)")
	p.WaitText("0 not sent")
	p.WaitFor(`!document.body.innerText.includes("did not accept") && !document.body.innerText.includes("Another phone")`)
	own := 0
	for _, e := range office.Entries(property) {
		if e.Author == "R. Field" {
			own++
		} else if e.Author != "R. Field, handed in by the office" {
			t.Errorf("an entry's author is %q", e.Author)
		}
	}
	if own != 6 {
		t.Errorf("the office has %d entries of the phone's own, want 6", own)
	}
}

// Other entries have the phone's numbers, as in a register of an older version: the page says what to
// do, and with a code for the same phone all that it has is sent.
func TestNumbersTakenByOthers(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := enrolled(t, office)
	p.WaitText("0 not sent")
	p.Offline(true)
	mark(p)
	mark(p)
	id := phone.Eval[string](p.Page, self)
	at := time.Date(2026, 1, 1, 9, 0, 0, 0, time.UTC)
	for seq := uint64(1); seq <= 2; seq++ {
		office.Plant(property, register.Entry{Version: register.Version, ID: register.ID(fmt.Sprintf("019abc00-0000-7000-8000-%012d", seq)),
			Property: office.Property(property).ID, Feature: fmt.Sprint("forged-", seq), Device: id, DeviceSeq: seq, Stamp: register.StampAt(at),
			SeenAt: at.Format(time.RFC3339), Author: "R. Field", Set: model.FieldValuesOf(map[string]json.RawMessage{"kind": json.RawMessage(`"peg"`)})})
	}
	p.Offline(false)
	p.Go("#/status")
	p.Tap("Send now")
	p.Go("#/")
	p.WaitText("Another phone records under this phone's number. Nothing is lost, but it must be enrolled again.")
	p.Screenshot("numbers-taken")
	p.CheckFit("a phone whose numbers are taken")
	if got := phone.Eval[int](p.Page, unsent); got != 2 {
		t.Errorf("%d entries wait on the phone, want both", got)
	}
	p.Open("/field/#/enrol/" + office.InviteAgain(id))
	p.WaitHeading("Enrol again")
	p.Tap("Enrol this phone")
	p.WaitFor(unsent + ".then(n => n === 0)")
	p.Go("#/")
	p.WaitText("0 not sent")
	wantOnce(t, office, 4)
}
