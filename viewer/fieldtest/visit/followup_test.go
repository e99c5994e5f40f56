package visit

import (
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// What to do first and how works did are told with the server dead, on a phone started again.
func TestOrderAndFollowUpWithNoSignal(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	code := office.Invite(property, "R. Field")
	track := thing{"track-1", map[string]any{"kind": "track", "name": "Gully track", "geometry": map[string]any{"type": "LineString", "coordinates": [][2]float64{{146.5, -20.25}, {146.503, -20.25}}}}}
	planned := thing{"dam-2", map[string]any{"kind": "check-dam", "name": "Fourth dam", "status": "proposed", "crestHeightM": 0.4}}
	for _, one := range []thing{dam, head, track, planned,
		visited("v1", dam.id, "2025-05-03", map[string]any{"condition": "sound", "sedimentDepthM": 0.1}),
		visited("v2", dam.id, "2026-05-04", map[string]any{"condition": "needs work", "sedimentDepthM": 0.35}),
		visited("v3", head.id, "2025-05-03", map[string]any{"headOffsetM": 4.2}),
		visited("v4", head.id, "2026-05-04", map[string]any{"headOffsetM": 3.1})} {
		office.PlantFeatures(property, one.planted())
	}
	d := day{phone.New(t, office, phone.Durable()), t}
	d.Enrol(property, code, here)
	d.WaitText("The property is on this phone")
	d.WaitFor(`navigator.serviceWorker.getRegistration("/field/").then(r => r?.active?.state === "activated" && !r.installing)`)
	d.Close()
	office.Kill()
	d.EmptyHTTPCache()
	d.Start()
	d.Stand(here)
	d.Open("/field/")
	d.WaitHeading(property)
	d.Tap("Visit")
	d.WaitHeading("Visit")

	d.Tap("How works did")
	d.WaitHeading("How works did")
	for _, text := range []string{"Condition of works", "1 built, 1 judged: 1 needs work", "Silt caught", "Third dam", "+0.25", "0.10 m on 3 May 2025; 0.35 m on 4 May 2026", "Gully heads", "Lip"} {
		d.WaitText(text)
	}
	d.CheckFit("how works did")
	d.Screenshot("follow-up")
	d.Tap("Third dam")
	d.WaitHeading("Third dam")
	d.Go("#/visit")
	d.WaitHeading("Visit")

	d.Tap("What to do first")
	d.WaitHeading("What to do first")
	for _, text := range []string{"Water at the heads", "Lip", "Planned and not built", "1 check dam: 1 proposed.", "The property has no rates", "Whose order this is"} {
		d.WaitText(text)
	}
	d.CheckFit("what to do first")
	d.Screenshot("order")
	d.Tap("Lip")
	d.WaitHeading("Lip")
}
