package sync

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store/boltstore"
	"headcut/viewer/fieldtest/phone"
)

// TestWrongClock has the phone's clock set a day forward and a day back between two days
// of recording. The link measures by how much it is wrong, and nothing is lost.
func TestWrongClock(t *testing.T) {
	t.Parallel()
	r := newRig(t, phone.NewOffice(t))
	for i, wrong := range []time.Duration{26 * time.Hour, -26 * time.Hour, 0} {
		r.SetClock(wrong)
		r.load()
		r.capture(3)
		r.waitState("quiet")
		r.checkNothingLost(true)
		if got := len(r.office.Entries(property)); got != 3*(i+1) {
			t.Errorf("with the clock %v off the register has %d entries, want %d", wrong, got, 3*(i+1))
		}
		if got := time.Duration(r.state().ClockOffS) * time.Second; (got - wrong).Abs() > 3*time.Second {
			t.Errorf("the clock is %v off and the link says %v", wrong, got)
		}
	}
}

// TestRevokedPhone keeps what it recorded, says what to do, and sends all of it under a
// new enrolment.
func TestRevokedPhone(t *testing.T) {
	t.Parallel()
	r := newRig(t, phone.NewOffice(t))
	r.capture(2)
	r.waitState("quiet")
	r.office.Revoke(phone.Eval[string](r.Page, "rig.self().device"))
	r.BeforeScripts(`globalThis.ended = 0; globalThis.WebSocket = class extends WebSocket {
		constructor(...of) { super(...of); this.addEventListener("close", () => ended++); }
	}`)
	r.load()
	phone.Eval[int](r.Page, "rig.capture(3, 3, 5000)")
	r.waitState("refused")
	if !r.Comes(`(w => w.includes("3 entries and 1 photo (5 kB) not sent yet") && w.includes("Save it to a file"))(rig.state().words)`, phone.Patience) {
		t.Errorf("a revoked phone says %q, want what it holds and that it can be saved to a file", r.state().Words)
	}
	before := phone.Eval[int](r.Page, "ended")
	r.sendNow()
	r.WaitFor(fmt.Sprintf("ended > %d", before)) // it has tried, and is refused again
	r.waitState("refused")
	r.checkNothingLost(false)
	if got := r.waiting(); len(got.Entries) != 3 || len(got.Photos) != 1 {
		t.Errorf("%d entries and %d photos wait on a revoked phone, want 3 and 1", len(got.Entries), len(got.Photos))
	}
	r.enrol()
	r.waitState("quiet")
	r.checkNothingLost(true)
	if got := len(r.office.Entries(property)); got != 5 {
		t.Errorf("after enrolling again the register has %d entries, want 5", got)
	}
}

// TestTwoPhones see each other's entries within a second of their arrival.
func TestTwoPhones(t *testing.T) {
	office := phone.NewOffice(t)
	a, b := newRig(t, office), newRig(t, office)
	feature := phone.Eval[string](a.Page, `rig.correct(undefined, {kind: "peg", name: "peg 0"})`)
	holds := func(r rig, name string) string {
		return fmt.Sprintf(`rig.features(%q).then(all => all.some(f => f.fields.name === %q))`, office.Property(property).ID, name)
	}
	if !b.Comes(holds(b, "peg 0"), 30*time.Second) { // the computations are loaded for it
		t.Fatalf("the second phone never learnt of the first's peg: %+v\n%s", b.state(), b.told())
	}
	phone.Eval[string](b.Page, fmt.Sprintf(`rig.correct(%q, {name: "peg 00"})`, feature))
	if !a.Comes(holds(a, "peg 00"), 30*time.Second) {
		t.Fatalf("the first phone never learnt of the second's correction: %+v\n%s", a.state(), a.told())
	}
	var took []time.Duration
	for i := range 7 {
		from, to := a, b
		if i%2 == 1 {
			from, to = b, a
		}
		name := fmt.Sprint("peg ", i+1)
		phone.Eval[bool](to.Page, fmt.Sprintf(`rig.lookFor(%q, %q)`, feature, name))
		phone.Eval[string](from.Page, fmt.Sprintf(`rig.correct(%q, {name: %q})`, feature, name))
		came := time.UnixMilli(phone.Eval[int64](to.Page, "rig.found()"))
		all := office.Entries(property)
		took = append(took, came.Sub(all[len(all)-1].Arrived))
	}
	slices.Sort(took)
	t.Logf("from arrival on the server to the other phone's store: %v", took)
	if median, limit := took[len(took)/2], a.Within(time.Second, 1); median > limit {
		t.Errorf("a correction takes %v at the median, want at most a second, now %v", median, limit)
	}
}

// TestFirstLoading brings a property that others recorded onto a new phone, and tells how
// far it has come.
func TestFirstLoading(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	office.Invite(property, "R. Field") // makes the property
	const planted = 2500
	id := office.Property(property).ID
	entries := make([]register.Entry, planted)
	for i := range entries {
		entries[i] = register.Entry{
			Version: register.Version, ID: register.ID(fmt.Sprintf("019a0000-0000-7000-8000-%012x", i+1)), Property: id,
			Feature: fmt.Sprintf("head-%04d", i), Device: "an-old-phone", DeviceSeq: uint64(i + 1),
			Stamp: register.Next(0, time.Now()), SeenAt: "2026-03-02T06:30:00+10:00", Author: "an officer",
			Set: model.FieldValuesOf(map[string]json.RawMessage{"kind": json.RawMessage(`"gully-head"`), "name": json.RawMessage(fmt.Sprintf(`"Head %d"`, i))}),
		}
	}
	office.Plant(property, entries...)
	r := newRig(t, office)
	r.waitState("quiet")
	if got := phone.Eval[int](r.Page, fmt.Sprintf("rig.features(%q).then(all => all.length)", id)); got != planted {
		t.Errorf("the phone has %d features, want %d", got, planted)
	}
	if got := phone.Eval[int](r.Page, `rig.told.filter(t => t.loading && t.loading.entries > 0 && t.words.startsWith("Loading: ")).length`); got < 10 {
		t.Errorf("the link told %d times how far the loading is, want at least 10:\n%s", got, r.told())
	}
}

// TestRestoredServer puts an older backup in the server's place, photos too. The phone finds out
// when it fetches, and also when it has something to send, and offers again what was lost:
// photos also of features whose entries are all there.
func TestRestoredServer(t *testing.T) {
	t.Parallel()
	for name, more := range map[string]int{"nothing-new": 0, "a-new-entry": 1} {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, phone.NewOffice(t))
			backup := filepath.Join(t.TempDir(), "backup.bolt")
			file := filepath.Join(r.office.Data(), "register.bolt")
			photos, copied := filepath.Join(r.office.Data(), "photos"), filepath.Join(t.TempDir(), "photos")
			phone.Eval[int](r.Page, "rig.capture(4, 2, 5000)")
			r.waitState("quiet")
			r.office.Stop()
			copyFile(t, file, backup)
			if err := os.CopyFS(copied, os.DirFS(photos)); err != nil {
				t.Fatal(err)
			}
			if lost := phone.Eval[string](r.Page, "rig.photos[0]"); os.Remove(filepath.Join(copied, "photo", lost)) != nil {
				t.Fatal("the backup has no photo to lose: the test is wrong")
			}
			r.office.Start()
			r.sendNow()
			phone.Eval[int](r.Page, "rig.capture(6, 2, 5000)")
			r.waitState("quiet")
			r.office.Stop()
			if err := os.RemoveAll(photos); err != nil {
				t.Fatal(err)
			}
			if err := os.Rename(copied, photos); err != nil {
				t.Fatal(err)
			}
			if err := os.Remove(file); err != nil {
				t.Fatal(err)
			}
			if err := boltstore.Restore(t.Context(), backup, file); err != nil {
				t.Fatal(err)
			}
			r.office.Start()
			if got := len(r.office.Entries(property)); got != 4 {
				t.Fatalf("the restored register has %d entries, want 4: the test is wrong", got)
			}
			phone.Eval[int](r.Page, fmt.Sprintf("rig.capture(%d, 1, 5000)", more))
			r.sendNow()
			want := 10 + more
			for deadline := time.Now().Add(30 * time.Second); len(r.office.Entries(property)) < want; time.Sleep(50 * time.Millisecond) {
				if time.Now().After(deadline) {
					t.Fatalf("the restored register has %d entries after 30 s, want %d: %+v\n%s", len(r.office.Entries(property)), want, r.state(), r.told())
				}
			}
			r.waitState("quiet")
			r.checkNothingLost(true)
		})
	}
}

// TestPhotosLostAtTheServerComeAgain deletes the server's photos and nothing else: nothing forks,
// and what the phone has to say of them is "sent". The server asks for them.
func TestPhotosLostAtTheServerComeAgain(t *testing.T) {
	t.Parallel()
	r := newRig(t, phone.NewOffice(t))
	phone.Eval[int](r.Page, "rig.capture(4, 2, 5000)")
	r.waitState("quiet")
	r.office.Stop()
	photos := filepath.Join(r.office.Data(), "photos")
	if err := os.RemoveAll(photos); err != nil {
		t.Fatal(err)
	}
	r.office.Start()
	r.sendNow()
	for deadline := time.Now().Add(30 * time.Second); ; time.Sleep(50 * time.Millisecond) {
		lost := 0
		for _, sha := range phone.Eval[[]string](r.Page, "rig.photos") {
			if _, err := os.Stat(filepath.Join(photos, "photo", sha)); err != nil {
				lost++
			}
		}
		if lost == 0 {
			break
		}
		if time.Now().After(deadline) {
			t.Fatalf("after 30 s %d photos have not come again: %+v\n%s", lost, r.state(), r.told())
		}
	}
	r.waitState("quiet")
	r.checkNothingLost(true)
}

func copyFile(t *testing.T, from, to string) {
	t.Helper()
	data, err := os.ReadFile(from)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(to, data, 0o600); err != nil {
		t.Fatal(err)
	}
}
