package visit

import (
	"encoding/json"
	"math"
	"os"
	"testing"
	"time"

	"headcut/model"
	"headcut/viewer/fieldtest/phone"
)

// answer says when a picture from the gallery was taken, and saves it.
func (d day) answer(when string) {
	d.t.Helper()
	d.WaitText("When was it taken?")
	d.Tap(when)
	d.Tap("Save photo")
}

// A picture from the gallery has the day and place that its camera wrote into it, or what the
// officer answers; never the day and place at which it was chosen.
func TestPictureFromTheGallery(t *testing.T) {
	t.Parallel()
	old := time.Date(2024, 3, 1, 10, 22, 33, 0, time.Local)
	there := [2]float64{146.50012, -20.25008}
	today := time.Now().Format(time.DateOnly)
	for name, c := range map[string]struct {
		file   func() string
		shows  []string // before it is saved
		answer func(d day)
		on     string // "" for not known
		place  *[2]float64
		by     string // on the photo's own page
	}{
		"written": {
			file:   func() string { return noted(t, notes{taken: old, place: &there}) },
			shows:  []string{"The camera's clock said 1 March 2024.", "Taken 9 m from Third dam."},
			answer: func(d day) { d.Tap("Save photo") },
			on:     "2024-03-01", place: &there, by: "1 March 2024 (by the camera's clock)",
		},
		"written-place-left-out": {
			file:   func() string { return noted(t, notes{taken: old, place: &there, littleII: true}) },
			answer: func(d day) { d.Tap("Leave out"); d.Tap("Save photo") },
			on:     "2024-03-01", by: "1 March 2024 (by the camera's clock)",
		},
		"nothing-written-not-known": {
			file:   func() string { return picture(t, 1600, 1200, 10, 85, 1) },
			shows:  []string{"The picture has no date.", "The picture has no position: it is kept with Third dam, without a position of its own."},
			answer: func(d day) { d.answer("Not known") },
			by:     "Day not known",
		},
		"nothing-written-today": {
			file:   func() string { return picture(t, 1600, 1200, 10, 85, 1) },
			answer: func(d day) { d.answer("Today") },
			on:     today, by: model.DayInWords(today) + " (entered by hand)",
		},
		"nothing-written-another-day": {
			file: func() string { return picture(t, 1600, 1200, 10, 85, 1) },
			answer: func(d day) {
				d.Tap("Save photo")
				d.WaitText("Choose one.")
				d.Tap("On another day")
				d.Tap("Save photo")
				d.WaitText("Enter the day.")
				phone.Eval[bool](d.Page, `(() => { const i = document.querySelector("main input[type=date]"); i.value = "2025-07-09"; i.dispatchEvent(new Event("input", {bubbles: true})); return true; })()`)
				d.Tap("Save photo")
			},
			on: "2025-07-09", by: "9 July 2025 (entered by hand)",
		},
		"a-clock-that-ran-ahead": {
			file:   func() string { return noted(t, notes{taken: time.Now().AddDate(3, 0, 0)}) },
			shows:  []string{"which is still to come"},
			answer: func(d day) { d.answer("Not known") },
			by:     "Day not known",
		},
	} {
		t.Run(name, func(t *testing.T) {
			d := begin(t, []thing{dam, visited("v1", dam.id, "2026-02-01", map[string]any{"condition": "sound"})})
			d.photoOf(dam)
			file := c.file()
			if err := os.Chtimes(file, old, old); err != nil {
				t.Fatal(err)
			}
			d.Tap("Gallery")
			d.choose(file)
			d.WaitText("When was it taken?")
			d.WaitFor(`document.querySelector(".when img")?.naturalWidth > 0`)
			for _, words := range c.shows {
				d.WaitText(words)
			}
			d.CheckFit("when " + name)
			d.Screenshot("when-" + name)
			c.answer(d)
			d.WaitSaid("Photo of Third dam saved")
			e := d.sent(1)[0]
			if got := e.Set.Get("observedOn"); (c.on == "") != (got == nil) || c.on != "" && value[string](t, e, "observedOn") != c.on {
				t.Errorf("day %s, want %q: %s", got, c.on, e.Raw)
			}
			for _, field := range []string{"bearingDeg", "accuracyM", "gpsHeightM", "receiver"} {
				if e.Set.Get(field) != nil {
					t.Errorf("the entry has %s of the moment it was chosen: %s", field, e.Raw)
				}
			}
			if c.place == nil {
				if e.Set.Get("geometry") != nil || e.Set.Get("positionBasis") != nil {
					t.Errorf("the entry has a place that nobody saw: %s", e.Raw)
				}
			} else {
				at := value[struct{ Coordinates [2]float64 }](t, e, "geometry").Coordinates
				if math.Hypot(at[0]-c.place[0], at[1]-c.place[1]) > 1e-8 {
					t.Errorf("place %v, want the picture's own, %v", at, *c.place)
				}
			}
			d.WaitFor(`document.querySelectorAll(".album img").length === 1`)
			d.TapSelector(".album a")
			d.WaitHeading("Third dam")
			d.WaitText(c.by)
			d.WaitFor(`document.querySelector(".full img")?.naturalWidth > 0`)
			d.CheckFit("photo " + name)
			d.Screenshot("photo-" + name)
			d.Go("#/thing/" + dam.id)
			d.WaitText("1 February 2026") // the inspection stays what it was
			d.Screenshot("thing-" + name)
			d.Go("#/")
			d.WaitText("photo added")
		})
	}
}

// The phone ends the page while it asks: the picture is still there, and is asked about again.
func TestPictureThatIsAskedAboutSurvives(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{dam}, phone.Size(320, 640))
	d.photoOf(dam)
	d.Tap("Gallery")
	d.choose(picture(t, 1600, 1200, 10, 85, 1))
	d.WaitText("When was it taken?")
	d.Restart()
	d.Open("/field/#/")
	d.WaitText("A picture of Third dam from the gallery is not saved yet.")
	d.CheckFit("a picture not saved yet at 320")
	d.Screenshot("not-saved-yet-320")
	d.Tap("Say when it was taken")
	d.WaitHeading("When was it taken?")
	d.WaitFor(`document.querySelector(".when img")?.naturalWidth > 0`)
	d.CheckFit("when at 320")
	d.Screenshot("when-320")
	d.answer("Not known")
	d.WaitSaid("Photo of Third dam saved")
	if e := d.sent(1)[0]; e.Set.Get("observedOn") != nil || e.Set.Get("geometry") != nil {
		t.Errorf("the entry has a day or a place: %s", e.Raw)
	}
	d.WaitFor(draftsLeft + " .then(keys => keys.length === 0)")
	d.heldPhoto(d.sent(1)[0])
	link := d.Office.Share(property)
	d.Open(link[len(d.Office.URL):])
	d.WaitText("day not known")
	d.WaitFor(`(document.querySelector(".photosheet").scrollIntoView(), document.querySelector(".photosheet img")?.naturalWidth > 0)`)
	d.Screenshot("land-day-not-known")
}

// Where there is no camera the browser gives any file for one: an old one is asked about.
func TestOldFileInPlaceOfTheCamera(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{dam})
	d.photoOf(dam)
	file := picture(t, 1600, 1200, 10, 85, 1)
	old := time.Now().AddDate(-2, 0, 0)
	if err := os.Chtimes(file, old, old); err != nil {
		t.Fatal(err)
	}
	d.Tap("Take photo")
	d.choose(file)
	d.answer("Not known")
	d.WaitSaid("Photo of Third dam saved")
	if e := d.sent(1)[0]; e.Set.Get("observedOn") != nil || e.Set.Get("geometry") != nil {
		t.Errorf("the entry has a day or a place: %s", e.Raw)
	} else if raw := e.Set.Get("picture"); !json.Valid(raw) {
		t.Errorf("the entry does not say that the picture was chosen: %s", e.Raw)
	}
}
