package sync

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"slices"
	"strings"
	"testing"
	"time"

	"headcut/sync/register"
	"headcut/viewer/fieldtest/phone"
)

// TestPhoneKilledWhileSending kills the browser with SIGKILL at random moments while it
// records and sends, and opens it again on the same profile. After every third kill the
// database is gone too, as Chromium may make it when a kill has torn the end of its log.
func TestPhoneKilledWhileSending(t *testing.T) {
	t.Parallel()
	r := newRig(t, phone.NewOffice(t))
	kills := phone.Campaign(3, 100)
	var saved, photos []string
	lost, emptied := 0, 0
	for kill := range kills {
		r.keepCapturing(15*time.Millisecond, 8, 100_000)
		time.Sleep(r.between(200*time.Millisecond, 1500*time.Millisecond))
		saved = append(saved, phone.Eval[[]string](r.Page, "rig.saved")...)
		photos = append(photos, phone.Eval[[]string](r.Page, "rig.photos")...)
		r.phone.Restart()
		r.Page = r.phone.Page
		r.Expect("422") // after a loss it asks for small versions of what it sent, which are noise
		r.load()
		switch gone := phone.Eval[bool](r.Page, `rig.trouble() === "gone"`); {
		case gone:
			emptied++
		case kill%3 == 2:
			lost++
			phone.Eval[bool](r.Page, "rig.lose().then(() => true)")
			r.load()
		default:
			continue
		}
		phone.Eval[bool](r.Page, "rig.bringBack()")
	}
	t.Logf("%d kills; the store was lost after %d of them, and emptied by the browser after %d", kills, lost, emptied)
	r.sendNow()
	r.waitState("quiet")
	r.checkNothingLost(true)
	times := make(map[string]int)
	for _, e := range r.office.Entries(property) {
		times[string(e.ID)]++
	}
	for _, id := range saved {
		if times[id] != 1 {
			t.Errorf("entry %s was saved and is in the register %d times", id, times[id])
		}
	}
	for _, sha := range photos {
		if _, ok := r.office.Photo(sha); !ok {
			t.Errorf("photo %s was saved and is not in the office", sha)
		}
	}
	if len(saved) < kills {
		t.Errorf("%d entries were recorded during %d kills: too few to prove anything", len(saved), kills)
	}
}

// TestStoreEmptiedByTheBrowser: what was not sent comes back from its copy, what was sent is
// not sent twice, though one receipt never came.
func TestStoreEmptiedByTheBrowser(t *testing.T) {
	for name, back := range map[string]func(rig){
		"brought-back":   func(r rig) { phone.Eval[bool](r.Page, "rig.bringBack()") },
		"enrolled-again": func(r rig) { r.enrol() },
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			storeEmptied(t, back)
		})
	}
}

func storeEmptied(t *testing.T, back func(rig)) {
	r := newRig(t, phone.NewOffice(t))
	r.capture(3)
	r.waitState("quiet")
	r.office.Kill()
	r.capture(4)
	phone.Eval[int](r.Page, "rig.capture(2, 1, 300_000)")
	saved, photos := phone.Eval[[]string](r.Page, "rig.saved"), phone.Eval[[]string](r.Page, "rig.photos")
	r.WaitFor(`rig.copied().then(c => c.entries === 6 && c.photos === 2)`)
	// An entry that the office has, and that this phone still takes for unsent.
	unsure := phone.Eval[string](r.Page, "rig.firstUnsent()")
	phone.Eval[bool](r.Page, `rig.lose().then(() => true)`)
	r.office.Start()
	r.load()
	if got := phone.Eval[string](r.Page, "rig.trouble()"); got != "gone" {
		t.Fatalf("the trouble of an emptied store is %q, want gone", got)
	}
	office := entryOf(t, unsure)
	r.office.Plant(property, office)
	back(r)
	r.waitState("quiet")
	times := make(map[string]int)
	for _, e := range r.office.Entries(property) {
		times[string(e.ID)]++
	}
	for _, id := range saved {
		if times[id] != 1 {
			t.Errorf("entry %s was saved and is in the register %d times", id, times[id])
		}
	}
	if times[string(office.ID)] != 1 || len(times) != 9 {
		t.Errorf("the register has %v, want 9 entries", times)
	}
	for _, sha := range photos {
		if _, ok := r.office.Photo(sha); !ok {
			t.Errorf("photo %s was saved and is not in the office", sha)
		}
	}
	r.capture(2)
	r.WaitFor("rig.counts().then(t => t.unsent === 0)")
	if got := len(r.office.Entries(property)); got != 11 {
		t.Errorf("the register has %d entries after two more, want 11", got)
	}
}

func entryOf(t *testing.T, text string) register.Entry {
	t.Helper()
	e, err := register.Decode([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// TestHiddenPage does not connect while it is out of sight, and does at once when it is back.
func TestHiddenPage(t *testing.T) {
	t.Parallel() // it mostly waits
	r := newRig(t, phone.NewOffice(t))
	r.capture(1)
	r.waitState("quiet")
	r.office.Kill()
	r.waitState("no-answer")
	r.Hide(true)
	r.capture(2)
	r.office.Start()
	if r.Comes("rig.counts().then(t => t.unsent < 2)", 3*time.Second) {
		t.Error("a hidden page has connected")
	}
	r.Hide(false)
	r.waitState("quiet")
	r.checkNothingLost(true)
}

// TestSecondTab does not send beside the first, says so, and takes over when the first closes.
func TestSecondTab(t *testing.T) {
	t.Parallel()
	r := newRig(t, phone.NewOffice(t))
	second := r
	second.Page = r.phone.NewTab()
	second.load()
	if !second.Comes(`rig.state().words.includes("open twice")`, phone.Patience) {
		t.Errorf("the second tab says %+v", second.state())
	}
	r.capture(2)
	r.waitState("quiet")
	if got := second.state().State; got == "quiet" || got == "sending" {
		t.Errorf("the second tab, which does not talk to the server, says %q", got)
	}
	r.Offline(true)
	r.capture(3)
	r.OpenAt("about:blank")
	second.waitState("quiet")
	if got := len(r.office.Entries(property)); got != 5 {
		t.Errorf("the register has %d entries, want 5", got)
	}
	second.checkNothingLost(true)
}

// TestSmallPhotosComeAlong brings the small version of another phone's photo onto this one.
func TestSmallPhotosComeAlong(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	a := newRig(t, office)
	var picture bytes.Buffer
	if err := jpeg.Encode(&picture, slope(1200, 900), nil); err != nil {
		t.Fatal(err)
	}
	sha := phone.Eval[string](a.Page, fmt.Sprintf("rig.photograph(%q)", base64.StdEncoding.EncodeToString(picture.Bytes())))
	a.waitState("quiet")
	b := newRig(t, office)
	if !b.Comes(fmt.Sprintf("rig.smallBytes(%q).then(n => n > 500)", sha), 40*time.Second) {
		t.Fatalf("the small photo never came: %+v\n%s", b.state(), b.told())
	}
	b.waitState("quiet")
	if !slices.ContainsFunc(strings.Split(b.told(), "\n"), func(line string) bool { return strings.Contains(line, "Loading photos: 0 of 1.") }) {
		t.Errorf("the link told nothing of the photo:\n%s", b.told())
	}
	if own := phone.Eval[int](a.Page, fmt.Sprintf("rig.smallBytes(%q)", sha)); own != 0 {
		t.Errorf("the phone that took the photo keeps a small version of %d bytes beside it", own)
	}
}

// slope is a picture that a reader of images can tell from an empty one.
func slope(width, height int) image.Image {
	m := image.NewRGBA(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width {
			m.Set(x, y, color.RGBA{uint8(x), uint8(y), uint8(x * y), 255})
		}
	}
	return m
}
