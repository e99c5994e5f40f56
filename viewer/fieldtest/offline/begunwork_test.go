package offline

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"testing"

	"headcut/model"
	"headcut/server"
	"headcut/viewer/fieldtest/phone"
)

// lastMarked is the feature of the newest entry that waits.
const lastMarked = `new Promise((yes, no) => {
	const open = indexedDB.open("headcut");
	open.onerror = () => no(open.error);
	open.onsuccess = () => {
		const all = open.result.transaction("entries").objectStore("entries").index("waiting").getAll();
		all.onsuccess = () => { open.result.close(); yes(all.result.sort((a, b) => a.stamp < b.stamp ? -1 : 1).pop().feature); };
	};
})`

// waitingPhotos are the names of all photos that wait.
const waitingPhotos = `new Promise((yes, no) => {
	const open = indexedDB.open("headcut");
	open.onerror = () => no(open.error);
	open.onsuccess = () => {
		const all = open.result.transaction("photos").objectStore("photos").index("waiting").getAllKeys();
		all.onsuccess = () => { open.result.close(); yes(all.result); };
	};
})`

// workHere does a day's work on the property that is open: a gully head and its photo, a level
// book, and two dams pegged by it, each with the level that the phone computes.
func workHere(t *testing.T, p *phone.Phone, name string, seed uint64) {
	t.Helper()
	mark(p)
	photograph(t, p, phone.Eval[string](p.Page, lastMarked), seed)
	p.Go("#/level")
	p.Tap("New level book")
	p.WaitText("First a backsight")
	keyIn(p, "1.842")
	keyIn(p, "100")
	p.WaitText("sight 101.842")
	p.Tap("Peg out")
	p.Tap("Check dams, toe by toe")
	p.WaitText("no crest: the first dam")
	for i, reading := range []string{"1.835", "1.44"} {
		p.At(here) // a receiver gives fresh fixes; this one only when it is moved
		p.WaitText("Position ±4 m")
		keyIn(p, reading)
		p.WaitSaid(fmt.Sprintf("Dam %d pegged, toe at %s", i+1, []string{"100.007", "100.402"}[i]))
	}
	p.Go("#/")
	p.WaitHeading(name)
}

// wantWork checks that the office has all of workHere under a property's name.
func wantWork(t *testing.T, office *phone.Office, name string) {
	t.Helper()
	kinds := map[string]string{}
	fields := map[string]map[string]json.RawMessage{}
	for _, e := range office.Entries(name) {
		if fields[e.Feature] == nil {
			fields[e.Feature] = map[string]json.RawMessage{}
		}
		maps.Insert(fields[e.Feature], e.Set.All())
	}
	var all []string
	for feature, set := range fields {
		kinds[feature] = string(set["kind"])
		all = append(all, kinds[feature])
		switch kinds[feature] {
		case `"level-run"`:
			var rows []model.LevelRow
			if err := json.Unmarshal(set["rows"], &rows); err != nil || len(rows) != 3 || rows[2].Point != "Dam 2 toe" || fields[rows[2].Feature] == nil {
				t.Errorf("%s: the book is %s (%v), want the benchmark and the toes of two dams that are there", name, set["rows"], err)
			}
		case `"check-dam"`:
			if string(set["status"]) != `"pegged"` || set["toeLevelM"] == nil || set["geometry"] == nil {
				t.Errorf("%s: a dam is %s, want it pegged with its toe and place", name, set)
			}
		}
	}
	slices.Sort(all)
	if want := []string{`"check-dam"`, `"check-dam"`, `"gully-head"`, `"level-run"`, `"visit"`}; !slices.Equal(all, want) {
		t.Errorf("%s: the office has %v, want %v", name, all, want)
	}
}

// A day on two properties that the phone begins with no signal: heads and photos, books, dams
// pegged. The phone dies. The office accepts one and merges the other: all of it is there, to the
// bytes of the photos, and on another phone of the property.
func TestWorkOnBegunProperties(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := enrolled(t, office)
	mark(p)
	p.WaitText("0 not sent")
	office.Kill()
	p.Restart()
	p.At(here)
	p.Open("/field/")
	p.WaitHeading(property)
	for i, name := range []string{"Old Hut", "Stony again"} {
		p.Go("#/property/new")
		p.Type("Name of the property", name)
		p.Tap("Begin")
		p.WaitHeading(name)
		workHere(t, p, name, uint64(10+i))
		p.Screenshot("begun-work-" + fmt.Sprint(i+1))
		p.Restart() // at once
		p.At(here)
		p.Open("/field/")
		p.WaitHeading(name)
	}
	photos := phone.Eval[[]string](p.Page, waitingPhotos)
	if len(photos) != 2 {
		t.Fatalf("%d photos wait, want one of each property", len(photos))
	}
	office.Start()
	p.Go("#/status")
	p.Tap("Send now")
	p.WaitFor(unsent + ".then(n => n === 0)")
	p.WaitFor(waitingPhotos + ".then(all => all.length === 0)")
	wantWork(t, office, "Old Hut")
	wantWork(t, office, "Stony again")
	for _, sha := range photos {
		if jpeg, ok := office.Photo(sha); !ok || fmt.Sprintf("%x", sha256.Sum256(jpeg)) != sha {
			t.Errorf("the office has %d bytes of photo %s, and they are others", len(jpeg), sha)
		}
	}
	office.Change(server.PropertyChange{Do: "accept", Which: "Old Hut", Name: "Hut Paddock"})
	office.Change(server.PropertyChange{Do: "merge", Which: "Stony again", Into: property})
	wantWork(t, office, "Hut Paddock")
	openProperty(p, "Hut Paddock")
	p.Go("#/level")
	p.WaitText("Run 1")

	other := phone.New(t, office, phone.Durable())
	other.Enrol("Properties", office.InviteFor("K. Ranger", property, "Hut Paddock"), here)
	for _, name := range []string{property, "Hut Paddock"} {
		openProperty(other, name)
		other.Go("#/level")
		other.WaitText("Run 1")
		phone.Eval[bool](other.Page, `(Array.from(document.querySelectorAll("main a, main button")).find((e) => e.innerText.startsWith("Run 1")).click(), true)`)
		other.WaitText("sight 101.842")
		other.Screenshot("begun-work-on-another-phone")
	}
}
