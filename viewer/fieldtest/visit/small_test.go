package visit

import (
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// Every screen of this package on the smallest phone, and with text twice as large.
func TestScreensOnASmallPhoneWithLargeText(t *testing.T) {
	t.Parallel()
	for name, large := range map[string]bool{"320": false, "320-large": true} {
		t.Run(name, func(t *testing.T) {
			scald := thing{"scald-1", map[string]any{"kind": "scald", "name": "Red scald"}}
			d := begin(t, []thing{dam, head, scald, visited("v1", head.id, "2024-11-26", map[string]any{"headOffsetM": 12.4})}, phone.Size(320, 640))
			if large {
				d.BigText()
				d.Reload()
			}
			see := func(route, words, shot string) {
				t.Helper()
				d.Go(route)
				d.WaitText(words)
				d.CheckFit(shot)
				d.Screenshot(shot + "-" + name)
			}
			see("#/photo", "Photo of what?", "photo-choose")
			see("#/photo/"+dam.id, "Photos of Third dam", "photos")
			see("#/visit", "Due:", "visits-due")
			see("#/visit/"+dam.id, "Visit to Third dam", "visit-dam")
			see("#/visit/"+head.id, "Visit to Lip", "visit-head")
			see("#/visit/"+scald.id, "Visit to Red scald", "visit-scald")
			d.Tap("Count cover")
			d.Tap("Cover")
			d.WaitText("1 of 1 points on cover")
			d.CheckFit("counting")
			d.Screenshot("cover-" + name)
		})
	}
}
