package demo

import (
	"encoding/json"
	"maps"
	"time"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/planning"
)

// Person carries one device.
type Person int

// The two people of the demo.
const (
	Officer Person = iota
	Hand
)

// People are their names, for the register.
var People = []string{"Marri, field officer", "Jarrah, station hand"}

// Capture is one thing recorded in the field.
type Capture struct {
	By      Person
	At      time.Time
	Feature string
	Set     map[string]any
	Photo   []byte // JPEG, nil for none

	// Adopts is the plan that was adopted on this device, with the first of the captures that adopting it
	// saved; Adopted marks them all. Their ids and fields follow from what the device knows then, so that
	// each run of the demo makes new ids for the plan; those here stand for them.
	Adopts  *planning.Request
	Adopted bool
}

// days collects captures in the order in which they were made.
type days struct {
	clock    time.Time
	captures []Capture
}

// zone is the demo's local time, ten hours ahead of UTC all year.
var zone = time.FixedZone("", 10*3600)

// on begins a day at seven in the morning.
func (d *days) on(year int, month time.Month, day int) {
	d.clock = time.Date(year, month, day, 7, 0, 0, 0, zone)
}

// capture records fields of a feature a few minutes after the last capture.
func (d *days) capture(by Person, feature string, set map[string]any) *Capture {
	d.clock = d.clock.Add(4 * time.Minute)
	d.captures = append(d.captures, Capture{By: by, At: d.clock, Feature: feature, Set: set})
	return &d.captures[len(d.captures)-1]
}

// thing records a new feature of a kind at a place.
func (d *days) thing(by Person, id, kind, name string, place orb.Geometry, set map[string]any) *Capture {
	all := map[string]any{"kind": kind, "name": name, "observedOn": d.clock.Format(time.DateOnly)}
	if place != nil {
		all["geometry"] = json.RawMessage(model.AppendGeometry(nil, place))
		all["accuracyM"] = 3.0
	}
	maps.Copy(all, set)
	return d.capture(by, id, all)
}

func (d *days) today() string { return d.clock.Format(time.DateOnly) }
