package day

import (
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// Two taps from the first screen to a mark that is on the phone, with its place.
func TestMarkIsSavedInTwoTaps(t *testing.T) {
	t.Parallel()
	p := enrolled(t)
	p.Tap("Mark")
	p.WaitText("±4 m")
	p.Tap("Gully head")
	p.WaitSaid("Gully head saved")
	entries := held(p)
	if len(entries) != 1 {
		t.Fatalf("%d entries on the phone after two taps, want 1: %v", len(entries), entries)
	}
	p.Screenshot("mark-form")
	p.Type("Depth of head", "1.6")
	p.Tap("By tape")
	p.Tap("Save")
	p.WaitHeading("Stony Block")
	p.Screenshot("home-one")
}

// held are the features that the phone has, by its own store.
func held(p *phone.Phone) []map[string]any {
	return phone.Eval[[]map[string]any](p.Page, `new Promise((yes, no) => {
		const open = indexedDB.open("headcut");
		open.onerror = () => no(open.error);
		open.onsuccess = () => {
			const all = open.result.transaction("features").objectStore("features").getAll();
			all.onsuccess = () => { open.result.close(); yes(all.result); };
		};
	})`)
}

// A photo point leads on to its photo and a cover plot to its count: marking them is only
// the beginning.
func TestMarkingLeadsOnToThePhotoAndTheCount(t *testing.T) {
	t.Parallel()
	p := enrolled(t)
	p.Tap("Photo")
	p.Tap("New photo point here")
	p.WaitFor(placed)
	p.Tap("Mark it here")
	p.WaitSaid("Photo point saved")
	p.CheckFit("the form of a photo point")
	p.Screenshot("form-photo-point")
	p.Tap("Save and take the photo")
	p.WaitFor(`location.hash.startsWith("#/photo/")`)
	p.WaitHeading("Photos of Photo point")
	p.At(here)
	p.Go("#/mark/cover-plot")
	p.WaitFor(placed)
	p.Tap("Mark it here")
	p.WaitSaid("Cover plot saved")
	p.Tap("Save and count the cover")
	p.WaitFor(`location.hash.startsWith("#/visit/")`)
	p.Tap("Count cover")
	p.WaitText("Cover")
}
