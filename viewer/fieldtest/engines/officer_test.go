package engines

import (
	"crypto/sha256"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// The officer's main way in each engine: enrol, load, a cold start with no signal and the
// browser's cache emptied, mark, level, photo, send. Firefox's question whether to keep the
// data is never answered.
func TestOfficersDay(t *testing.T) {
	for _, engine := range engines {
		t.Run(engine.name, func(t *testing.T) {
			office := phone.NewOffice(t)
			d := newDevice(t, engine.name, engine.start)
			d.must(d.open(office.URL + "/field/#/enrol/" + office.Invite(property, "R. Field")))
			d.tap("Enrol this phone")
			d.waitHeading(property)
			d.waitText("The property is on this phone")
			d.waitText("Checked now: the page is on this phone, opens and computes with no signal.")
			d.shoot("loaded")
			cache := d.cache()
			d.close()
			office.Kill()
			d.emptyCache(cache)
			d.on()
			d.must(d.open(office.URL + "/field/"))
			d.waitHeading(property)
			d.shoot("cold")

			d.tap("Mark")
			d.waitText("±4 m")
			d.tap("Gully head")
			d.waitText("Gully head saved")

			d.goTo("#/level")
			d.tap("New level book")
			d.waitText("First a backsight")
			d.pad("1.842")
			d.pad("100")
			d.waitText("sight 101.842") // computed
			d.shoot("level")
			d.tap("Save the book")
			d.waitText("2 entries on phone")

			d.goTo("#/photo")
			d.tap("Gully head")
			eval[bool](d, `(HTMLInputElement.prototype.click = () => {}, true)`) // the system's own window for choosing a file stays shut
			d.tap("Gallery")
			d.waitFor(`document.querySelector("input[type=file]") !== null`)
			d.must(d.file("input[type=file]", photo(t)))
			d.waitText("When was it taken?")
			d.tap("Not known")
			d.tap("Save photo")
			d.waitFor(unsentPhotos + ".then(all => all.length === 1)")
			d.shoot("photo")
			taken := eval[[]string](d, unsentPhotos)
			d.tap("Match the last")
			if engine.name == "firefox" { // it asks whether the page may use the camera, and nobody answers
				d.waitText("Waiting for the camera.")
			} else {
				d.waitFor(`/Waiting for the camera|The camera cannot be shown/.test(document.body.innerText)`)
			}
			d.waitFor(find + `("Gallery")`)
			d.shoot("camera")

			d.goTo("#/status")
			d.waitText("Checked now: the page is on this phone, opens and computes with no signal.")
			d.waitFor(`!/Photos not sent yet\s+0/.test(document.body.innerText)`)
			d.shoot("status")
			office.Start()
			d.tap("Send now")
			d.waitFor(`/Entries not sent yet\s+0/.test(document.body.innerText) && /Photos not sent yet\s+0/.test(document.body.innerText)`)
			d.shoot("sent")
			for _, sha := range taken {
				if jpeg, ok := office.Photo(sha); !ok || fmt.Sprintf("%x", sha256.Sum256(jpeg)) != sha {
					t.Errorf("the office has %d bytes of the photo %s, and they are others", len(jpeg), sha)
				}
			}
			var kinds []string
			for _, e := range office.Entries(property) {
				if kind := string(e.Set.Get("kind")); kind != "" {
					kinds = append(kinds, kind)
				}
			}
			slices.Sort(kinds)
			if len(kinds) < 2 || !slices.Contains(kinds, `"gully-head"`) || !slices.Contains(kinds, `"level-run"`) {
				t.Errorf("the office has %v, want a gully head and a level run", kinds)
			}
		})
	}
}

// unsentPhotos are the digests of the bytes that wait in the phone's store, worked out there; a
// photo whose name is another fails.
const unsentPhotos = `new Promise((yes, no) => {
	const open = indexedDB.open("headcut");
	open.onerror = () => no(open.error);
	open.onsuccess = () => {
		const tx = open.result.transaction(["photos", "photoBytes"]), names = tx.objectStore("photos").index("waiting").getAllKeys(), held = [];
		names.onsuccess = () => names.result.forEach(name => { tx.objectStore("photoBytes").get(name).onsuccess = e => held.push([name, e.target.result]); });
		tx.oncomplete = () => { open.result.close(); yes(Promise.all(held.map(async ([name, bytes]) => {
			const sha = Array.from(new Uint8Array(await crypto.subtle.digest("SHA-256", bytes)), x => x.toString(16).padStart(2, "0")).join("");
			if (sha !== name || bytes.byteLength < 10_000) throw new Error("photo " + name + " of " + bytes.byteLength + " bytes digests to " + sha);
			return sha;
		}))); };
	};
})`

// photo is a picture as a camera gives it.
func photo(t *testing.T) string {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 1600, 1200))
	for y := range 1200 {
		for x := range 1600 {
			img.Set(x, y, color.RGBA{uint8(x / 7), uint8(y / 5), uint8((x ^ y) % 251), 255})
		}
	}
	name := filepath.Join(t.TempDir(), "photo.jpg")
	f, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := jpeg.Encode(f, img, nil); err != nil {
		t.Fatal(err)
	}
	return name
}
