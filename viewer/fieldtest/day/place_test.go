package day

import (
	"math"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// What is recorded of a place is what the receiver gave, and no better than it was.
func TestPlaceIsToldAsItIs(t *testing.T) {
	t.Parallel()
	p := enrolled(t)
	mark := func(fix *phone.Fix, wait, said string) map[string]any {
		t.Helper()
		before := len(held(p))
		p.Go("#/")
		p.WaitHeading("Stony Block")
		if fix == nil {
			p.NoFix()
			p.Reload() // a fix of a moment ago counts
		} else {
			p.At(*fix)
		}
		p.Go("#/mark")
		p.WaitHeading("Mark where you stand")
		p.WaitText(wait)
		p.Tap("Peg")
		p.WaitSaid(said)
		all := held(p)
		if len(all) != before+1 {
			t.Fatalf("%d features after the tap, want %d", len(all), before+1)
		}
		newest := all[len(all)-1]
		for _, f := range all {
			if f["stamp"].(string) > newest["stamp"].(string) {
				newest = f
			}
		}
		return newest["fields"].(map[string]any)
	}

	height := 312.34
	good := mark(&phone.Fix{Lon: 146.5, Lat: -20.25, AccuracyM: 4, HeightM: &height}, "mean of", "Peg saved")
	if good["accuracyM"] != 4.0 || good["gpsHeightM"] != 312.3 {
		t.Errorf("the fields are %v, want accuracyM 4 and gpsHeightM 312.3", good)
	}
	if place := good["geometry"].(map[string]any); place["coordinates"].([]any)[0] != 146.5 || place["coordinates"].([]any)[1] != -20.25 {
		t.Errorf("the place is %v, want 146.5 -20.25", place)
	}

	poor := mark(&phone.Fix{Lon: 146.51, Lat: -20.25, AccuracyM: 23}, "GPS is poor", "Peg saved")
	if poor["accuracyM"] != 23.0 {
		t.Errorf("a poor place has accuracyM %v, want 23", poor["accuracyM"])
	}
	p.Screenshot("mark-poor")

	rough := mark(&phone.Fix{Lon: 146.52, Lat: -20.25, AccuracyM: 180}, "GPS is too poor to save", "Peg saved, without a position yet")
	if _, has := rough["geometry"]; has {
		t.Errorf("a place good to 180 m was stored unasked: %v", rough)
	}
	p.Screenshot("mark-rough")
	p.Tap("Save anyway")
	p.WaitSaid("Position of the peg saved")

	mark(nil, "No position", "Peg saved, without a position yet")
	p.Screenshot("mark-none")
	p.At(phone.Fix{Lon: 146.53, Lat: -20.25, AccuracyM: 5}) // the sky comes back while the form is open
	p.WaitSaid("Position of the peg saved")
}

// A receiver that corrects itself by 60 m moves what was marked a moment ago with it: nobody
// walks so far between two fixes. What she carries off afterwards moves nothing.
func TestMarkFollowsAJumpOfGPS(t *testing.T) {
	t.Parallel()
	const metre = 1 / 110_700.0 // of latitude at 20° S
	p := enrolled(t, phone.Size(320, 640))
	p.Stand(here)
	p.Go("#/mark")
	p.WaitFor(`/mean of ([3-9]|\d\d+) fixes/.test(document.body.innerText)`)
	there := phone.Fix{Lon: here.Lon, Lat: here.Lat + 60*metre, AccuracyM: 4}
	p.At(there)
	p.Tap("Peg") // one fix after the jump: the mean is still that of before
	p.WaitSaid("Peg saved")
	p.Stand(there)
	p.WaitSaid("Position of the peg moved: GPS jumped 60 m")
	p.WaitText("GPS jumped 60 m after this was saved.")
	p.Screenshot("mark-jumped")
	peg := held(p)[0]["fields"].(map[string]any)
	if at := peg["geometry"].(map[string]any)["coordinates"].([]any)[1].(float64); math.Abs(at-there.Lat) > 2*metre {
		t.Errorf("the peg is %.1f m from where GPS has it since the jump", (at-there.Lat)/metre)
	}
}
