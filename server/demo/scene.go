package demo

import (
	"fmt"
	"maps"
	"math"
	"time"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
)

// PropertyName is the made-up property.
const PropertyName = "Sandalwood Run"

// The features other captures refer to.
const (
	gullyID = "lantern-main-arm"
	armID   = "lantern-north-arm"
	headID  = "lantern-main-head"
	trackID = "boundary-fence-track"
)

// The benchmark is a bolt in a granite block; its level is on a datum of the property's own.
const (
	benchmarkM = 97.412
	crestM     = 0.4 // height of every dam's crest above its toe
)

// Scene is everything the two people recorded, in order.
func Scene() []Capture {
	d := &days{}
	gully := walk(mainBed, at(0, 0), upstreamDeg, swingDeg)
	arm := walk(armBed, along(gully, 66).position, 68, 14)
	d.findings(gully, arm)
	d.headVisit(2024, time.November, 26, 12.40, 0)
	d.damsBuilt(gully)
	d.hillside()
	d.fenceTrack()
	d.headVisit(2025, time.May, 14, 11.85, 1)
	d.headVisit(2025, time.November, 20, 11.62, 1)
	d.headVisit(2026, time.May, 12, 11.31, 2)
	d.afterTheWet(gully, arm)
	d.southArm(walk(southBed, along(gully, 80).position, 168, 12))
	return d.captures
}

// findings is the first walk: what is eroding, and the first levels.
func (d *days) findings(gully, arm []station) {
	d.on(2024, time.November, 25)
	d.thing(Officer, "bench-1", "benchmark", "Bolt in granite block", at(-14, 22), map[string]any{"levelM": benchmarkM, "datum": "property's own"})
	d.thing(Officer, gullyID, "thalweg", "Lantern Gully", places(gully), nil)
	d.thing(Officer, armID, "thalweg", "Lantern Gully, north arm", places(arm), nil)
	head := geodesy.Destination(gully[len(gully)-1].position, upstreamDeg, 1.5)
	d.thing(Officer, headID, "gully-head", "Main head", head, map[string]any{
		"headDepthM": 1.6, "catchmentHa": 14.0, "active": true, "dispersive": true, "notes": "Undercut, two pipes in the face."})
	d.thing(Officer, "lantern-north-head", "gully-head", "North head", arm[len(arm)-1].position, map[string]any{
		"headDepthM": 0.4, "catchmentHa": 1.8, "active": false, "dispersive": false})
	d.thing(Hand, "tunnel-1", "hazard", "Tunnel under the rim", geodesy.Destination(head, 40, 6), map[string]any{
		"danger": "The rim is hollow here: stay three metres back and keep vehicles away."})
	d.photoPoint(Officer, "photo-head", "Main head from the hub peg", geodesy.Destination(head, upstreamDeg, 12.4), upstreamDeg+180, headView)
	d.orientation()
	d.thing(Officer, "above-the-gully", "catchment", "Above the main head", ring(at(190, -110), at(330, -10), at(470, -190), at(400, -330), at(260, -270)), nil)
}

// orientation is what one knows the place by.
func (d *days) orientation() {
	d.thing(Officer, "boundary", "property-boundary", PropertyName, ring(at(-62, -376), at(-252, -16), at(-480, 60), at(-470, 330), at(120, 430), at(620, 200), at(560, -400)), nil)
	d.thing(Officer, "homestead", "homestead", "Homestead", at(430, 230), nil)
	d.thing(Officer, "gate-top", "gate", "Top gate", at(-252, -16), nil)
	d.thing(Officer, "gate-bottom", "gate", "Bottom gate", at(-62, -376), nil)
	// Kept off every shared map: those who care for it do not want it visited.
	d.thing(Officer, "scarred-tree", "unsorted", "Scarred tree", at(300, 60), map[string]any{"sensitive": true, "notes": "Keep machines and people away."})
}

// headVisit tapes from the hub peg to the head's lip, which still moves, and photographs it
// from the photo point after so many wet seasons.
func (d *days) headVisit(year int, month time.Month, day int, offsetM float64, wetSeasons int) {
	d.on(year, month, day)
	d.capture(Officer, fmt.Sprintf("head-visit-%d-%02d", year, month), map[string]any{
		"kind": "visit", "of": headID, "observedOn": d.today(), "condition": string(model.NeedsWork), "headOffsetM": offsetM})
	if wetSeasons > 0 {
		d.photographed(Officer, fmt.Sprintf("head-photo-%d-%02d", year, month), "photo-head", headView, wetSeasons, "Same frame as the first, hub peg in the corner.")
	}
}

// photoPoint marks a place to photograph from, with the first photo.
func (d *days) photoPoint(by Person, id, name string, place orb.Point, bearingDeg float64, v view) {
	c := d.thing(by, id, "photo-point", name, place, map[string]any{"bearingDeg": round(math.Mod(bearingDeg, 360), 1)})
	c.Photo = picture(v, 0, d.clock)
}

// photographed is a visit to a photo point or a work that photographs it again.
func (d *days) photographed(by Person, id, of string, v view, wetSeasons int, notes string) {
	c := d.capture(by, id, map[string]any{"kind": "visit", "of": of, "observedOn": d.today(), "notes": notes})
	c.Photo = picture(v, wetSeasons, d.clock)
}

func ring(corners ...orb.Point) orb.Polygon {
	return orb.Polygon{append(orb.Ring(corners), corners[0])}
}

func work(status model.Status, dates ...string) map[string]any {
	set := map[string]any{"status": string(status)}
	for i, s := range []model.Status{model.Proposed, model.Pegged, model.Built} {
		if i < len(dates) {
			set[s.DateField()] = dates[i]
		}
	}
	return set
}

func with(set map[string]any, more map[string]any) map[string]any {
	maps.Copy(set, more)
	return set
}
