package storage

import (
	"fmt"
	"testing"
	"time"

	"headcut/sync/register"
	"headcut/sync/store"
)

func TestStartingAgain(t *testing.T) {
	parts(t, map[string]func(tab){
		"restored-server-gets-it-all-again":   restoredServer,
		"server-restored-to-nothing":          restoredToNothing,
		"copied-phone-enrols-again":           copiedPhone,
		"new-device-id-after-a-lost-receipt":  newIDAfterALostReceipt,
		"fork-of-a-phone-without-a-place":     forkWithoutAPlace,
		"enrolling-again-keeps-the-device-id": enrolAgain,
	})
}

// resend does what the connection does when a resend is due: asks which of the phone's own
// entries the register lacks, and offers those again.
func (d *desk) resend(s tab) {
	d.t.Helper()
	if !did[bool](s, fmt.Sprintf("store.outbox.resendDue(%q)", property)) {
		d.t.Fatal("the phone does not doubt what the server has")
	}
	own := did[[]register.ID](s, fmt.Sprintf("store.outbox.acknowledged(%q)", property))
	lacking, err := d.Missing(d.t.Context(), property, own)
	if err != nil {
		d.t.Fatal(err)
	}
	did[any](s, fmt.Sprintf("store.outbox.offerAgain(%q, %s, %s)", property, text(lacking), text(own)))
	did[any](s, fmt.Sprintf("store.outbox.resendDone(%q)", property))
	if did[bool](s, fmt.Sprintf("store.outbox.resendDue(%q)", property)) {
		d.t.Error("the phone doubts still")
	}
}

// wantRefolded is wantFolded once nothing is noted as to be folded.
func (s tab) wantRefolded(when string) {
	s.t.Helper()
	did[any](s, `(async () => {
		while ((await store.db.read(db => db.getAllKeys("notes"))).some(key => key.startsWith("stale/"))) await new Promise(r => setTimeout(r, 10));
	})()`)
	s.wantFolded(when)
}

// forked pulls from a desk that does not know the phone's position, and gives its marks.
func (d *desk) forked(s tab) []store.Position {
	d.t.Helper()
	_, err := d.after(position(s), 10)
	fork, ok := err.(*store.Fork)
	if !ok {
		d.t.Fatalf("the pull gave %v, want a fork", err)
	}
	return fork.Marks
}

// wantAllThere checks that the register holds each of the phone's entries as it is now.
func (d *desk) wantAllThere(s tab, entries int) {
	d.t.Helper()
	there := d.registered()
	if len(there) != entries {
		d.t.Errorf("the register holds %d entries, want %d", len(there), entries)
	}
	for _, r := range s.records() {
		e, err := register.Decode([]byte(r.Text))
		if err != nil {
			d.t.Fatal(err)
		}
		if got := string(there[e.ID].Raw); got != r.Text {
			d.t.Errorf("the register holds of %s %q, want %q", e.ID, short(got), short(r.Text))
		}
	}
}

func restoredServer(s tab) {
	d := newDesk(s.t)
	s.capture(about(`{kind: "gully-head"}`))
	d.push(s)
	d.write(entryOf(s.t, "other", 1, gully, nil, time.Now(), `{"note": "theirs"}`))
	d.pull(s)
	backup := d.backup()
	for i := range 9 {
		s.capture(about(fmt.Sprintf(`{headDepthM: %d}`, i)))
	}
	d.push(s)
	d.pull(s)
	s.capture(about(`{headDepthM: 10}`))
	again := restored(s.t, backup)
	marks := again.forked(s)
	did[any](s, fmt.Sprintf("store.outbox.fork(%q, %s)", property, text(marks)))
	if got := position(s); got.N != 2 || got != marks[0] {
		s.t.Errorf("after the fork the phone is at %+v, want the branch %+v", got, marks[0])
	}
	again.resend(s)
	s.want("after asking", count{Entries: 12, Unsent: 10})
	again.push(s)
	again.pull(s)
	s.want("at the end", count{Entries: 12})
	s.wantFolded("at the end")
	again.wantAllThere(s, 12)
}

func restoredToNothing(s tab) {
	d := newDesk(s.t)
	backup := d.backup()
	s.capture(about(`{kind: "gully-head"}`))
	s.capture(about(`{headDepthM: 2}`))
	d.push(s)
	d.pull(s)
	again := restored(s.t, backup)
	did[any](s, fmt.Sprintf("store.outbox.fork(%q, %s)", property, text(again.forked(s))))
	if got := position(s); got.N != 0 {
		s.t.Errorf("after the fork the phone is at %+v, want the beginning", got)
	}
	again.resend(s)
	again.push(s)
	again.pull(s)
	s.want("at the end", count{Entries: 2})
	again.wantAllThere(s, 2)
}

// A phone copied from another writes under its id: the second one to send is told so, and
// enrols again. Nothing is lost, nothing doubled, and the order of capture stays.
func copiedPhone(s tab) {
	d := newDesk(s.t)
	now := time.Now()
	s.capture(about(`{kind: "gully-head", headDepthM: 1}`))
	d.push(s)
	d.pull(s)
	// The twin, under the same device id.
	d.write(entryOf(s.t, "phone-1", 2, gully, nil, now, `{"headDepthM": 5}`))
	s.capture(about(`{headDepthM: 2, note: "first"}`))
	s.capture(about(`{headDepthM: 3}`))
	s.capture(`[{set: {kind: "note", note: "new feature"}, photo: {bytes: new ArrayBuffer(10), takenFor: ""}}]`)
	receipts := d.push(s)
	if !receipts[0].Cloned {
		s.t.Fatalf("the register takes another entry 2 of phone-1: %+v", receipts[0])
	}
	if !did[bool](s, "store.cloned()") {
		s.t.Error("the store does not tell that the phone is a copy")
	}
	if s.counts().Refused != 0 || s.counts().Unsent == 0 {
		s.t.Errorf("the counts are %+v, want the cloned entries waiting", s.counts())
	}
	s.enrol("phone-2")
	if did[bool](s, "store.cloned()") {
		s.t.Error("the store tells that the phone is a copy after it was enrolled again")
	}
	unsent := s.unsent()
	for i, e := range unsent {
		if e.Device != "phone-2" || e.DeviceSeq != uint64(i+1) {
			s.t.Errorf("unsent entry %d is %d of %s, want %d of phone-2", i, e.DeviceSeq, e.Device, i+1)
		}
		if e.Feature == gully && e.Saw["phone-1"] != 1 {
			s.t.Errorf("unsent entry %d saw %v, want entry 1 of phone-1", i, e.Saw)
		}
	}
	s.wantRefolded("after enrolling again")
	if f := s.features()[gully]; len(f.Clashes) != 1 || f.Clashes[0] != "headDepthM" {
		s.t.Errorf("clashes are %v, want headDepthM: entry 3 of phone-1 was taken, and has not seen entry 1 of phone-2", f.Clashes)
	}
	s.capture(about(`{headDepthM: 4}`))
	s.wantFolded("after one more capture")
	d.resend(s)
	for _, r := range d.push(s) {
		if r.Refused != "" {
			s.t.Errorf("entry %s is refused: %s", r.ID, r.Refused)
		}
	}
	d.pull(s)
	s.wantFolded("at the end")
	s.want("at the end", count{Entries: s.counts().Entries, PhotosUnsent: 1, PhotoBytesUnsent: 10})
	d.wantAllThere(s, s.counts().Entries)
}

// An entry whose receipt was lost is relabelled by an enrolment, while the register has it
// under its old name: that one counts.
func newIDAfterALostReceipt(s tab) {
	d := newDesk(s.t)
	s.capture(about(`{kind: "gully-head", headDepthM: 1}`))
	s.capture(about(`{headDepthM: 2}`))
	d.take(s)
	s.capture(about(`{headDepthM: 3}`))
	s.enrol("phone-2")
	s.wantRefolded("after enrolling again")
	d.resend(s)
	s.want("after asking", count{Entries: 3, Unsent: 1})
	d.push(s)
	d.pull(s)
	s.want("at the end", count{Entries: 3})
	s.wantFolded("at the end")
	d.wantAllThere(s, 3)
}

func forkWithoutAPlace(s tab) {
	if got := tried[any](s, fmt.Sprintf("store.outbox.fork(%q, [])", property)); got.Kind == "" {
		s.t.Error("a fork was taken from a phone that has nothing of the register")
	}
}

func enrolAgain(s tab) {
	s.capture(about(`{kind: "gully-head"}`))
	s.enrol("phone-1")
	s.capture(about(`{headDepthM: 2}`))
	for i, e := range s.unsent() {
		if e.Device != "phone-1" || e.DeviceSeq != uint64(i+1) {
			s.t.Errorf("entry %d is %d of %s, want %d of phone-1", i, e.DeviceSeq, e.Device, i+1)
		}
	}
	troubled(s, "invalid", `store.enrol({...store.self(), device: "Phone 1"})`)
	troubled(s, "invalid", `store.enrol({...store.self(), author: ""})`)
}
