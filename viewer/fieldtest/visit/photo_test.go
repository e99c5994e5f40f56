package visit

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"headcut/viewer/fieldtest/phone"
)

// photoOf opens a thing's photos and waits until the receiver is known there.
func (d day) photoOf(of thing) {
	d.t.Helper()
	d.intercept()
	d.Go("#/photo/" + of.id)
	d.WaitHeading("Photos of " + of.fields["name"].(string))
	d.At(here) // again: a fix of some seconds ago is not taken for where the phone is now
	d.WaitText("Position ±4 m")
}

// heldPhoto is the photo that an entry names, as the office holds it.
func (d day) heldPhoto(e phone.Held) ([]byte, image.Image) {
	d.t.Helper()
	shas := value[[]string](d.t, e, "photos")
	if len(shas) != 1 {
		d.t.Fatalf("the entry names %d photos, want 1: %s", len(shas), e.Raw)
	}
	for deadline := time.Now().Add(phone.Patience); time.Now().Before(deadline); time.Sleep(50 * time.Millisecond) {
		raw, ok := d.Office.Photo(shas[0])
		if !ok {
			continue
		}
		img, err := jpeg.Decode(bytes.NewReader(raw))
		if err != nil {
			d.t.Fatalf("the photo at the office is no JPEG: %v", err)
		}
		return raw, img
	}
	d.t.Fatalf("the photo %s never came to the office", shas[0])
	return nil, nil
}

func TestPhotoHasOurOwnPlaceTimeAndDirection(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{dam, head})
	d.photoOf(dam)
	phone.Eval[bool](d.Page, `dispatchEvent(new DeviceOrientationEvent("deviceorientationabsolute", {alpha: 270, beta: 90, gamma: 0, absolute: true}))`)
	d.WaitText("looking east, 90°")
	before := time.Now()
	d.Tap("Take photo")
	d.shoot(picture(t, 4800, 3600, 12, 85, 6)) // a phone held upright turns its pictures by EXIF
	d.WaitSaid("Photo of Third dam saved")
	e := d.sent(1)[0]
	if of := value[string](t, e, "of"); of != dam.id || value[string](t, e, "kind") != "visit" {
		t.Errorf("the photo is of %q: %s", of, e.Raw)
	}
	if got := value[float64](t, e, "bearingDeg"); got != 90 {
		t.Errorf("bearing %v, want the compass's 90: %s", got, e.Raw)
	}
	place := value[struct{ Coordinates [2]float64 }](t, e, "geometry")
	if place.Coordinates != [2]float64{here.Lon, here.Lat} || value[float64](t, e, "accuracyM") != here.AccuracyM {
		t.Errorf("taken at %v, want our own fix at %v, %v: %s", place, here.Lon, here.Lat, e.Raw)
	}
	if seen, err := time.Parse(time.RFC3339, e.SeenAt); err != nil || seen.Before(before.Add(-2*time.Second)) || seen.After(time.Now()) {
		t.Errorf("seenAt %s (%v), want the time of the tap, %v", e.SeenAt, err, before)
	}
	raw, img := d.heldPhoto(e)
	if box := img.Bounds(); box.Dx() != 1536 || box.Dy() != 2048 {
		t.Errorf("the photo is %v, want 1536 by 2048: upright, 2048 along its long side", box)
	}
	if len(raw) > 700_000 {
		t.Errorf("the photo has %d bytes, want 700,000 at most", len(raw))
	}
	wantQuarters(t, img, [4]int{2, 0, 3, 1}) // turned by a quarter to the right
	if bytes.Contains(raw, []byte("Exif")) {
		t.Error("the camera's own notes are still in the photo")
	}
	d.WaitFor(`document.querySelector(".album img")?.naturalWidth === 1536`)
	d.CheckFit("photos of a thing")
	d.Screenshot("photos")
	d.TapSelector(".album a")
	d.WaitHeading("Third dam")
	d.WaitText("looking east (90°)")
	d.CheckFit("one photo")
	d.Screenshot("photo")
	d.Go("#/thing/" + dam.id)
	d.WaitFor(`document.querySelector(".album img")?.naturalWidth === 1536`)
	d.CheckFit("a thing with a photo")
	d.Screenshot("thing-photo")
}

// A photo that is asked for again stands on a screen from its first picture: it pushes nothing
// from under a finger.
func TestBegunPhotoMovesNothing(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{dam, head})
	d.photoOf(head)
	d.Tap("Take photo")
	d.WaitFor(`document.querySelector("input[type=file]") !== null`)
	for route, heading := range map[string]string{"#/photo": "Photo of what?", "#/photo/" + head.id: "Photos of Lip"} {
		d.Restart() // the phone needs its memory for the camera
		d.NoFix()
		d.WatchFrom(heading)
		d.Open("/field/" + route)
		d.WaitText("The photo of Lip did not come back from the camera")
		d.At(here)
		d.WaitText("4 m")
		d.WantStill()
	}
}

// What one phone took is on another, small, when there is no signal any more.
func TestPhotosOfOthersAreOnThePhoneOffline(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{dam})
	d.photoOf(dam)
	d.Tap("Take photo")
	d.shoot(picture(t, 2400, 1800, 10, 85, 1))
	d.WaitSaid("Photo of Third dam saved")
	d.heldPhoto(d.sent(1)[0])

	other := phone.New(t, d.Office, phone.Durable())
	other.At(here)
	other.Open("/field/#/enrol/" + d.Office.Invite(property, "B. Second"))
	other.Tap("Enrol this phone")
	other.WaitText("The property is on this phone")
	other.WaitFor(`caches.open("photos-small").then(c => c.keys()).then(keys => keys.length === 1)`)
	d.Office.Kill()
	other.Go("#/photo/" + dam.id)
	other.WaitFor(`document.querySelector(".album img")?.naturalWidth > 0`)
	if width := phone.Eval[int](other.Page, `document.querySelector(".album img").naturalWidth`); width > 320 {
		t.Errorf("the other phone holds the photo %d wide, want the small version of 320 at most", width)
	}
}

func TestKilledBetweenTapAndChoice(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{dam, head})
	d.photoOf(head)
	d.Tap("Take photo")
	d.WaitFor(`document.querySelector("input[type=file]") !== null`)
	tapped := time.Now()
	d.Restart() // the phone needs its memory for the camera
	d.At(here)
	d.Open("/field/#/")
	d.WaitText("The photo of Lip did not come back from the camera")
	d.CheckFit("photo expected")
	d.Screenshot("photo-expected")
	d.intercept()
	time.Sleep(time.Until(tapped.Add(3 * time.Second))) // so that the times of both taps can be told apart
	d.Tap("From the gallery")
	d.choose(noted(t, notes{taken: time.Now()})) // the camera wrote into it that it is of then
	d.WaitSaid("Photo of Lip saved")
	d.WaitGone("did not come back")
	e := d.sent(1)[0]
	if of := value[string](t, e, "of"); of != head.id {
		t.Errorf("the photo is of %q, want %q", of, head.id)
	}
	if seen, err := time.Parse(time.RFC3339, e.SeenAt); err != nil || seen.After(tapped.Add(time.Second)) {
		t.Errorf("seenAt %s (%v), want the time of the first tap, %v", e.SeenAt, err, tapped)
	}
	if place := value[struct{ Coordinates [2]float64 }](t, e, "geometry"); place.Coordinates != [2]float64{here.Lon, here.Lat} {
		t.Errorf("taken at %v, want the fix of the first tap", place.Coordinates)
	}
}

func TestPhotoThatWillNotBeTakenIsForgotten(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{dam})
	d.photoOf(dam)
	d.Tap("Take photo")
	d.WaitFor(`document.querySelector("input[type=file]") !== null`)
	d.Reload()
	d.WaitText("did not come back")
	d.Tap("No photo")
	d.WaitGone("did not come back")
	d.Reload()
	d.WaitText("No photos yet")
	if d.Text(); d.Has("Take it again") {
		t.Error("the photo is asked for again after it was given up")
	}
}

// noteWrites notes for each write of the phone's store which drafts it keeps and drops.
const noteWrites = `(() => {
	globalThis.writes = [];
	const of = new WeakMap();
	const note = (store, what) => {
		if (store.name !== "drafts") return;
		if (!of.has(store.transaction)) writes.push(of.set(store.transaction, []).get(store.transaction));
		of.get(store.transaction).push(what);
	};
	const {put, delete: drop} = IDBObjectStore.prototype;
	IDBObjectStore.prototype.put = function (value, key) { note(this, "keep " + key); return put.call(this, value, ...(key === undefined ? [] : [key])); };
	IDBObjectStore.prototype.delete = function (key) { note(this, "drop " + key); return drop.call(this, key); };
})()`

// A photo's bytes and the note of it come and go in one write: killed between two, the
// phone would hold bytes that nobody asks for, or ask for bytes that it has not.
func TestPhotoAndItsNoteAreOneWrite(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{dam})
	d.BeforeScripts(noteWrites)
	d.Reload()
	d.photoOf(dam)
	d.Tap("Take photo")
	d.shoot(picture(t, 2400, 1800, 10, 85, 1))
	d.WaitSaid("Photo of Third dam saved")
	d.WaitFor(draftsLeft + " .then(keys => keys.length === 0)")
	moved := 0
	for _, write := range phone.Eval[[][]string](d.Page, "writes") {
		bytes := slices.ContainsFunc(write, func(w string) bool { return strings.Contains(w, " photo/") })
		if bytes {
			moved++
		}
		if bytes && !slices.Contains(write, "keep photos") {
			t.Errorf("a write has a photo's bytes and no note of it: %q", write)
		}
	}
	if moved != 2 {
		t.Errorf("%d writes have a photo's bytes, want one that keeps them and one that drops them", moved)
	}
}

// The original is on the phone before it is made smaller: killed at any moment after that
// was said, the phone has recorded the photo once, or does so when it is opened again.
func TestKilledWhileAPhotoIsBroughtToSize(t *testing.T) {
	t.Parallel()
	file := picture(t, 4000, 3000, 12, 85, 1)
	for i := range phone.Campaign(3, 30) {
		t.Run(fmt.Sprintf("kill-%d", i), func(t *testing.T) {
			d := begin(t, []thing{dam})
			d.photoOf(dam)
			d.Throttle(4)
			d.Tap("Take photo")
			d.shoot(file)
			d.WaitSaid("Photo safe on this phone")
			time.Sleep(time.Duration(i*700) * time.Millisecond % (2500 * time.Millisecond))
			d.Restart()
			d.At(here)
			d.Open("/field/#/")
			d.WaitText("Today: 1 entry")
			e := d.sent(1)[0]
			if _, img := d.heldPhoto(e); img.Bounds().Dx() != 2048 {
				t.Errorf("the photo is %v, want 2048 wide", img.Bounds())
			}
			d.WaitFor(draftsLeft + " .then(keys => keys.length === 0)")
		})
	}
}

// draftsLeft are the keys of photo bytes among the phone's drafts.
const draftsLeft = `new Promise((yes, no) => {
	const open = indexedDB.open("headcut");
	open.onerror = () => no(open.error);
	open.onsuccess = () => {
		const all = open.result.transaction("drafts").objectStore("drafts").getAllKeys();
		all.onsuccess = () => { open.result.close(); yes(all.result.filter(k => k.startsWith("photo/"))); };
	};
})`

func TestPictureLargerThanTheStoreTakes(t *testing.T) {
	t.Parallel()
	file := picture(t, 5000, 3500, 60, 95, 1)
	if info, err := os.Stat(file); err != nil || info.Size() <= 8<<20 {
		t.Fatalf("the picture has %v bytes (%v), want more than 8 MB", info.Size(), err)
	}
	d := begin(t, []thing{dam})
	d.photoOf(dam)
	d.Tap("Take photo")
	d.shoot(file)
	d.WaitSaid("over 8 MB")
	d.WaitSaid("Photo of Third dam saved")
	if raw, img := d.heldPhoto(d.sent(1)[0]); len(raw) > 700_000 || img.Bounds().Dx() != 2048 {
		t.Errorf("the photo is %v of %d bytes", img.Bounds(), len(raw))
	}
}

func TestFileThatIsNoPicture(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{dam})
	d.photoOf(dam)
	d.Tap("Gallery")
	file := filepath.Join(t.TempDir(), "picture.jpg")
	if err := os.WriteFile(file, []byte("not a picture at all"), 0o644); err != nil {
		t.Fatal(err)
	}
	d.choose(file)
	d.WaitText("This phone's browser cannot read the picture.")
	d.Reload()
	d.WaitText("This phone's browser cannot read the picture.")
	d.CheckFit("a picture that cannot be read")
	d.Screenshot("photo-unreadable")
	d.intercept()
	d.Tap("From the gallery")
	d.choose(picture(t, 1600, 1200, 10, 85, 1))
	d.answer("Not known")
	d.WaitSaid("Photo of Third dam saved")
	d.WaitGone("cannot read")
	if _, img := d.heldPhoto(d.sent(1)[0]); img.Bounds().Dx() != 1600 {
		t.Errorf("the photo is %v, want it as it was: 1600 wide", img.Bounds())
	}
}

// The made-up camera of Chromium shows a moving disc on green.
func TestRetakeAgainstTheGhostOfTheLast(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{dam}, phone.Flag("use-fake-device-for-media-stream", true), phone.Flag("use-fake-ui-for-media-stream", true))
	d.photoOf(dam)
	d.Tap("Camera here")
	d.WaitHeading("Photo of Third dam")
	d.At(here)
	d.WaitText("Position ±4 m")
	if phone.Eval[bool](d.Page, `document.querySelector(".ghost") !== null`) {
		t.Error("there is a ghost before there is a photo")
	}
	d.Tap("Take photo")
	d.WaitSaid("Photo of Third dam saved")
	d.WaitHeading("Photos of Third dam")
	d.Tap("Match the last")
	d.WaitHeading("Match Third dam")
	d.WaitFor(`document.querySelector(".ghost")?.naturalWidth > 0 && document.querySelector("video").videoWidth > 0`)
	opacity := func() float64 {
		return phone.Eval[float64](d.Page, `Number(getComputedStyle(document.querySelector(".ghost")).opacity)`)
	}
	if got := opacity(); got != 0.5 {
		t.Errorf("the ghost begins at %v, want half", got)
	}
	d.Tap("Ghost stronger")
	d.WaitText("Ghost 60 %")
	if got := opacity(); math.Abs(got-0.6) > 1e-6 {
		t.Errorf("a step stronger the ghost is at %v, want 0.6", got)
	}
	d.Tap("Ghost fainter")
	d.Tap("Ghost fainter")
	d.WaitText("Ghost 40 %")
	if !phone.Eval[bool](d.Page, `document.querySelector(".finder svg") !== null`) {
		t.Error("there is no grid")
	}
	d.CheckFit("retake")
	d.Screenshot("retake")
	d.Tap("Grid")
	d.WaitFor(`document.querySelector(".finder svg") === null`)
	d.Tap("Take photo")
	d.WaitHeading("Photos of Third dam")
	d.WaitFor(`document.querySelectorAll(".album img").length === 2`)
	entries := d.sent(2)
	_, first := d.heldPhoto(entries[0])
	raw, second := d.heldPhoto(entries[1])
	if first.Bounds() != second.Bounds() || second.Bounds().Dx() < 320 || len(raw) > 700_000 {
		t.Errorf("the photos are %v and %v of %d bytes", first.Bounds(), second.Bounds(), len(raw))
	}
	if value[string](t, entries[0], "of") != dam.id || entries[0].Feature == entries[1].Feature {
		t.Errorf("the photos are not records of their own of the dam: %v", raws(entries))
	}
}

func TestCameraThatIsRefused(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{dam}) // a browser without a camera
	d.Go("#/photo/" + dam.id + "/again")
	d.WaitText("The camera cannot be shown in this page")
	d.CheckFit("no camera")
	d.Screenshot("no-camera")
}

// The browser asks whether the page may use the camera, and the officer does not see the
// question: the page says what it waits for, and a picture of the files goes the other way.
func TestCameraWhoseQuestionIsOpen(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{dam})
	phone.Eval[bool](d.Page, `(MediaDevices.prototype.getUserMedia = () => new Promise(() => {}), true)`)
	d.photoOf(dam)
	d.Tap("Camera here")
	d.WaitText("Waiting for the camera.")
	d.WaitText("If the browser asks whether this page may use it, allow it.")
	d.CheckFit("camera asked for")
	d.Screenshot("camera-asked-for")
	d.intercept()
	d.Tap("Gallery")
	d.choose(picture(t, 1600, 1200, 10, 85, 1))
	d.answer("Not known")
	d.WaitSaid("Photo of Third dam saved")
	d.heldPhoto(d.sent(1)[0])
}

// The browser's question about the position is open: the page says so.
func TestPositionWhoseQuestionIsOpen(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{dam})
	d.BeforeScripts(`Geolocation.prototype.watchPosition = () => 1; Permissions.prototype.query = async () => ({state: "prompt"})`)
	d.Reload()
	d.Go("#/photo/" + dam.id)
	d.WaitText("The browser asks whether this page may use your location: allow it. Photos are saved without a position.")
	d.CheckFit("position asked for")
	d.Screenshot("position-asked-for")
}
