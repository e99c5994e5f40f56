package offline

import (
	"bytes"
	"encoding/json"
	"image"
	"image/jpeg"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"headcut/sync/handover"
	"headcut/sync/register"
	"headcut/viewer/fieldtest/phone"
)

// saveToFile saves what is unsent and returns the file.
func saveToFile(t *testing.T, p *phone.Phone, downloads string) string {
	t.Helper()
	p.Go("#/handover")
	p.WaitHeading("Save to a file")
	p.Tap("Save to a file")
	p.WaitSaid("went to this phone's downloads")
	return downloaded(t, downloads)
}

// downloaded is the file that has come into the downloads.
func downloaded(t *testing.T, downloads string) string {
	t.Helper()
	for deadline := time.Now().Add(phone.Patience); time.Now().Before(deadline); time.Sleep(20 * time.Millisecond) {
		files, err := filepath.Glob(filepath.Join(downloads, "*.tar"))
		if err != nil {
			t.Fatal(err)
		}
		if len(files) == 1 {
			return files[0]
		}
	}
	t.Fatal("no file came into the downloads")
	return ""
}

// A day without signal, carried to the office by hand: the file opens with any archiver,
// holds the entries to the byte and the photos, goes in once, and when the phone has
// signal after all, nothing is there twice and the phone's own count falls to none.
func TestHandoverCarriesADay(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := enrolled(t, office)
	p.WaitText("0 not sent")
	p.Go("#/handover")
	p.WaitText("There is nothing to save.")
	p.Offline(true)
	for range 3 {
		mark(p)
	}
	photo := addPhoto(t, p)
	downloads := p.Downloads()
	file := saveToFile(t, p, downloads)
	p.Screenshot("handover")
	p.CheckFit("the hand-over")
	p.WaitText("Everything not sent yet is in it.")

	if out, err := exec.Command("tar", "-tf", file).CombinedOutput(); err != nil || !strings.Contains(string(out), "entries.ndjson") || !strings.Contains(string(out), "photos/") {
		t.Errorf("GNU tar lists %q (%v)", out, err)
	}
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	about, items, err := handover.Read(filepath.Base(file), bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	texts := phone.Eval[[]string](p.Page, storedTexts)
	entries, photos := 0, 0
	for item, problem := range items {
		switch {
		case problem != nil:
			t.Errorf("the phone's file: %v", problem)
		case item.Entry != nil:
			if e, err := register.Decode(item.Entry); err != nil || string(e.Device) != about.Device || e.Author != "R. Field" {
				t.Errorf("entry of %s by %s does not decode: %v", about.Device, e.Author, err)
			}
			if string(item.Entry) != texts[entries] {
				t.Errorf("entry %d of the file is %s, want what the phone holds: %s", entries+1, item.Entry, texts[entries])
			}
			entries++
		default:
			if item.SHA.String() != photo {
				t.Errorf("the photo of the file is %s, want %s", item.SHA, photo)
			}
			photos++
		}
	}
	if entries != len(texts) || entries < 4 || photos != 1 {
		t.Fatalf("the file holds %d entries and %d photos, want %d and 1", entries, photos, len(texts))
	}

	taken := office.TakeIn(file)
	if taken.New != entries || taken.PhotosNew != 1 || len(taken.Refused)+len(taken.Notes) != 0 {
		t.Errorf("the office took %+v, want %d new and a photo", taken, entries)
	}
	wantOnce(t, office, entries)
	if _, ok := office.Photo(photo); !ok {
		t.Error("the photo is not at the office")
	}
	if got := phone.Eval[int](p.Page, unsent); got != entries {
		t.Errorf("%d entries wait on the phone after the file went in, want all %d: only the server may say that it has them", got, entries)
	}
	p.Offline(false)
	p.Go("#/status")
	p.Tap("Send now")
	p.WaitFor(unsent + ".then(n => n === 0)")
	p.WaitText("0 not sent")
	wantOnce(t, office, entries)
	if again := office.TakeIn(file); again.New != 0 || again.Known != entries {
		t.Errorf("taken in again after the sync: %+v, want all known", again)
	}
	p.Go("#/handover")
	p.WaitText("There is nothing to save.")
}

// storedTexts are the unsent entries as the phone's store has them, in order.
const storedTexts = `new Promise((yes, no) => {
	const open = indexedDB.open("headcut");
	open.onerror = () => no(open.error);
	open.onsuccess = () => {
		const all = open.result.transaction("entries").objectStore("entries").index("waiting").getAll();
		all.onsuccess = () => { open.result.close(); yes(all.result.map(e => e.text).sort((a, b) => JSON.parse(a).deviceSeq - JSON.parse(b).deviceSeq)); };
	};
})`

// addPhoto takes a photo of the last thing marked, from a file as the phone's camera gives
// it, and returns its name.
func addPhoto(t *testing.T, p *phone.Phone) string {
	t.Helper()
	entries := phone.Eval[[]string](p.Page, storedTexts)
	var last struct{ Feature string }
	if err := json.Unmarshal([]byte(entries[len(entries)-1]), &last); err != nil {
		t.Fatal(err)
	}
	photograph(t, p, last.Feature, 1)
	p.WaitFor(waitingPhoto + `.then(s => s !== "")`)
	return phone.Eval[string](p.Page, waitingPhoto)
}

// photograph takes a photo of a thing; each seed is another picture.
func photograph(t *testing.T, p *phone.Phone, feature string, seed uint64) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "photo.jpg")
	if err := os.WriteFile(file, picture(t, seed), 0o644); err != nil {
		t.Fatal(err)
	}
	p.Go("#/photo/" + feature)
	p.WaitText("Position ±")
	p.Upload(func() { p.Tap("Take photo") }, "input[type=file]", file)
	p.WaitSaid("saved")
}

// waitingPhoto is the name of a photo that the phone's store holds unsent.
const waitingPhoto = `new Promise((yes, no) => {
	const open = indexedDB.open("headcut");
	open.onerror = () => no(open.error);
	open.onsuccess = () => {
		const all = open.result.transaction("photos").objectStore("photos").index("waiting").getAllKeys();
		all.onsuccess = () => { open.result.close(); yes(all.result[0] ?? ""); };
	};
})`

// picture is a JPEG with grain in it, as a camera's has.
func picture(t *testing.T, seed uint64) []byte {
	t.Helper()
	random := rand.New(rand.NewPCG(seed, 2))
	img := image.NewYCbCr(image.Rect(0, 0, 1200, 900), image.YCbCrSubsampleRatio420)
	for i := range img.Y {
		img.Y[i] = uint8(100 + i/10_000 + random.IntN(20))
	}
	for i := range img.Cb {
		img.Cb[i], img.Cr[i] = 110, 140
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
