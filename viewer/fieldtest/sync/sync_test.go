// Package sync tests the field page's link to the server, viewer/src/sync, in a real
// browser with the page's own store, against a real server that can be killed. It has no
// screens.
package sync

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"headcut/sync/store/storetest"
	"headcut/viewer/fieldtest/phone"
)

func TestMain(m *testing.M) { phone.Main(m, "fieldtest/sync/rig.ts") }

const property = "Stony Block"

// rig is a page with store and link.
type rig struct {
	*phone.Page
	t      *testing.T
	phone  *phone.Phone
	office *phone.Office
	url    string // of the office, as this phone reaches it
	random *rand.Rand
}

// newRig starts an enrolled phone.
func newRig(t *testing.T, office *phone.Office, options ...phone.Option) rig {
	t.Helper()
	p := phone.New(t, office, options...)
	r := rig{p.Page, t, p, office, office.URL, storetest.Random(t)}
	r.load()
	r.enrol()
	return r
}

// load opens the page, as at the beginning of a day.
func (r rig) load() {
	r.t.Helper()
	r.OpenAt(r.url + "/field/")
	r.Import("rig.ts", "rig")
	phone.Eval[bool](r.Page, fmt.Sprintf("rig.open(%d)", r.random.Uint32()))
}

func (r rig) enrol() (device string) {
	r.t.Helper()
	return phone.Eval[string](r.Page, fmt.Sprintf("rig.enrol(%q, %q)", r.office.Invite(property, "R. Field"), "R. Field"))
}

func (r rig) capture(count int) {
	r.t.Helper()
	phone.Eval[int](r.Page, fmt.Sprintf("rig.capture(%d)", count))
}

type state struct {
	State, Words string
	ClockOffS    int
	LastSent     string
}

// state is what the link says now.
func (r rig) state() state {
	r.t.Helper()
	return phone.Eval[state](r.Page, "rig.state()")
}

// patience is how long a link may take to come into a state on a busy machine: what it waits for
// itself, half a minute at most, comes on top.
const patience = 2 * phone.Patience

// waitState waits until the link is in a state; "quiet" once it has also counted what was
// recorded a moment ago.
func (r rig) waitState(want string) {
	r.t.Helper()
	state := fmt.Sprintf("rig.state().state === %q", want)
	if want == "quiet" {
		state = "rig.counts().then(t => t.unsent + t.photosUnsent === 0 && " + state + ")"
	}
	if !r.Comes(state, patience) {
		r.t.Fatalf("the link is not %q within %v: it says %+v, after\n%s", want, patience, r.state(), r.told())
	}
}

// told is all that the link said so far.
func (r rig) told() string {
	r.t.Helper()
	var b strings.Builder
	for _, line := range phone.Eval[[]json.RawMessage](r.Page, "rig.told") {
		fmt.Fprintf(&b, "%s\n", line)
	}
	return b.String()
}

type waiting struct{ Entries, Photos []string }

func (r rig) waiting() waiting { r.t.Helper(); return phone.Eval[waiting](r.Page, "rig.waiting()") }

func (r rig) unsent() int {
	r.t.Helper()
	return phone.Eval[int](r.Page, "rig.counts().then(t => t.unsent)")
}

// checkNothingLost checks that every entry and photo that the page said was saved is in
// the office exactly once, or waits on the phone. With all, none may wait.
func (r rig) checkNothingLost(all bool) {
	r.t.Helper()
	// In this order: what is saved or acknowledged in between is never found in no place.
	saved, photos := phone.Eval[[]string](r.Page, "rig.saved"), phone.Eval[[]string](r.Page, "rig.photos")
	waits := r.waiting()
	if all && len(waits.Entries)+len(waits.Photos) > 0 {
		r.t.Errorf("%d entries and %d photos wait on the phone, want none", len(waits.Entries), len(waits.Photos))
	}
	times := make(map[string]int)
	for _, e := range r.office.Entries(property) {
		times[string(e.ID)]++
	}
	for _, id := range saved {
		switch n := times[id]; {
		case n > 1:
			r.t.Errorf("entry %s is in the register %d times", id, n)
		case n == 0 && !slices.Contains(waits.Entries, id):
			r.t.Errorf("entry %s was saved and is neither in the register nor on the phone", id)
		}
	}
	for _, sha := range photos {
		if _, ok := r.office.Photo(sha); !ok && !slices.Contains(waits.Photos, sha) {
			r.t.Errorf("photo %s was saved and is neither in the office nor waiting on the phone", sha)
		}
	}
}

func TestSendsByItself(t *testing.T) {
	t.Parallel()
	r := newRig(t, phone.NewOffice(t))
	r.capture(3)
	r.waitState("quiet")
	r.checkNothingLost(true)
	if got := len(r.office.Entries(property)); got != 3 {
		t.Errorf("the register has %d entries, want 3", got)
	}
	if got := r.state(); got.Words[:len("Everything recorded here is sent. Last contact ")] != "Everything recorded here is sent. Last contact " || got.LastSent == "" {
		t.Errorf("when all is sent the link says %+v", got)
	}
	phone.Eval[int](r.Page, "rig.capture(2, 1, 600000)")
	if !r.Comes("rig.counts().then(t => t.photosUnsent === 0)", phone.Patience) {
		t.Fatalf("the photos are not sent: %+v\n%s", r.state(), r.told())
	}
	r.waitState("quiet")
	r.checkNothingLost(true)
}
