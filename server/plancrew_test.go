package server

import (
	"encoding/json"
	"maps"
	"testing"

	"headcut/model"
	"headcut/model/compute"
	"headcut/model/followup"
	"headcut/model/planning"
	"headcut/sync/device"
)

// Each plan goes its whole way once: from what phones captured, over the office, to what is adopted, and back to the
// phones, where work goes on.
func TestFromReadingsToAdoptedWorksAndBack(t *testing.T) {
	came := map[planning.Purpose]bool{}
	for name, chain := range map[string]func(*crew){
		"dams":           bookedBedToDams,
		"whoa-boys":      bookedTrackToWhoaBoys,
		"peak-flow":      walkedCatchmentToPeakFlow,
		"forage":         quadratsToForageBudget,
		"slope":          pegsOnASlopeToLinesAndBanks,
		"head-and-scald": capturedHeadAndScaldToWorks,
	} {
		t.Run(name, func(t *testing.T) {
			c := newCrew(t)
			chain(c)
			maps.Copy(came, c.planned)
		})
	}
	if t.Failed() {
		return // what did not come is no news then
	}
	for _, plans := range planning.Purposes {
		if !came[plans] {
			t.Errorf("no chain adopts a plan of %s and brings it back to the phones", plans)
		}
	}
}

// crew are two phones at work on one property, and the office.
type crew struct {
	*site
	t             *testing.T
	p             Property
	officer, hand *device.Device
	planned       map[planning.Purpose]bool // what came back to both phones
}

func newCrew(t *testing.T) *crew {
	t.Helper()
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Stony Creek")
	if err != nil {
		t.Fatal(err)
	}
	phone := func(author string) *device.Device {
		code, _, err := s.InviteDevice(t.Context(), author, p)
		if err != nil {
			t.Fatal(err)
		}
		d, err := device.Enrol(t.Context(), s.web.URL, code, author, s.now)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	return &crew{s, t, p, phone("A. Hill"), phone("B. Field"), map[planning.Purpose]bool{}}
}

func (c *crew) set(d *device.Device, feature string, fields device.Fields) {
	c.t.Helper()
	if err := d.Set(c.p.ID, feature, fields); err != nil {
		c.t.Fatal(err)
	}
}

// sync lets phones send and fetch, one after the other; none named: until both have the same.
func (c *crew) sync(devices ...*device.Device) {
	c.t.Helper()
	if len(devices) == 0 {
		devices = []*device.Device{c.officer, c.hand, c.officer}
	}
	for _, d := range devices {
		if err := d.Sync(c.t.Context()); err != nil {
			c.t.Fatal(err)
		}
	}
}

// adopt plans at the office, as a phone would on the same records, and adopts. byHand is the computation's input
// as somebody types it from the readings: its answer is the plan's, to the byte. The phones have the plan then.
func (c *crew) adopt(of string, plans planning.Purpose, zeroAt, given, byHand string) Planned {
	c.t.Helper()
	r := PlanRequest{Property: c.p.Name, Adopt: true, Author: "office", Request: planning.Request{Of: of, Plans: plans, ZeroAt: zeroAt}}
	if err := json.Unmarshal([]byte(given), &r.Given); err != nil {
		c.t.Fatal(err)
	}
	phonePlansAlike(c.t, c.Server, c.p, r)
	planned, err := c.Plan(c.t.Context(), r)
	if err != nil || planned.Adoption == nil {
		c.t.Fatalf("plan of %s: %v, refused %q", plans, err, planned.Refused)
	}
	if answer, err := compute.Run(planned.Computation, []byte(byHand)); err != nil || string(answer) != string(planned.Answer) {
		c.t.Errorf("plan of %s answers\n%s\nand by hand\n%s, %v\nits input is %s", plans, planned.Answer, answer, err, planned.Input)
	}
	c.back(planned)
	again, err := c.Plan(c.t.Context(), r)
	if err != nil || again.Adoption == nil || len(again.Adoption.Changes) != 0 || again.Intake != 0 {
		c.t.Errorf("adopted twice: %+v, %v; want no change", again.Adoption, err)
	}
	return planned
}

// back brings an adopted plan to both phones, where it has the input that the bare computation answers alike.
func (c *crew) back(planned Planned) {
	c.t.Helper()
	c.sync()
	for _, d := range []*device.Device{c.officer, c.hand} {
		f := d.Feature(c.p.ID, planned.Adoption.Plan).Model()
		answer, err := compute.Run(planned.Computation, []byte(f.Text("input")))
		if f.Kind != model.PlanKind || f.Text("plans") != string(planned.Plans) || err != nil || string(answer) != string(planned.Answer) {
			c.t.Errorf("the plan of %s is on a phone as %+v, and its input is answered by %s, %v", planned.Plans, f, answer, err)
			return
		}
	}
	c.planned[planned.Plans] = true
}

// changed are what the plans of a purpose say of their base, the first one first.
func (c *crew) changed(plans planning.Purpose) (all []string) {
	c.t.Helper()
	rows, err := c.PlanRows(c.t.Context(), map[string][]string{"property": {c.p.Name}})
	if err != nil {
		c.t.Fatal(err)
	}
	for _, row := range rows {
		for _, what := range row.Changed {
			if row.Plans == plans {
				all = append(all, what.What)
			}
		}
	}
	return all
}

// book is a closed run from a benchmark at 100 m, with the rows between.
func book(name, day string, between ...model.LevelRow) device.Fields {
	rows := append([]model.LevelRow{{Point: "BM", BS: new(4.0), KnownLevelM: new(100.0)}}, between...)
	rows = append(rows, model.LevelRow{Point: "BM", FS: new(4.0), KnownLevelM: new(100.0)})
	return device.Fields{"kind": "level-run", "name": name, "observedOn": day, "rows": rows}
}

// known is what the office knows of a feature.
func (c *crew) known(of string) *KnownFeature {
	c.t.Helper()
	known, err := c.Figures(c.t.Context(), FiguresRequest{Property: c.p.Name, Of: of})
	if err != nil {
		c.t.Fatal(err)
	}
	return known.Feature
}

// originOf checks a recorded value, and what figures say it is.
func (c *crew) originOf(of, field, value string, want followup.Origin) {
	c.t.Helper()
	f, ok := model.Find(c.known(of).Fields, func(f KnownField) bool { return f.Name == field })
	if !ok || string(f.Value) != value || f.Origin != want {
		c.t.Errorf("%s of %s is %s, %q; want %s, %q", field, of, f.Value, f.Origin, value, want)
	}
}

// area is what figures say of an outline, in hectares.
func (c *crew) area(of string) (ha, plusMinusHa float64) {
	c.t.Helper()
	f, ok := model.Find(c.known(of).Figures, func(f followup.Figure) bool { return f.Name == "areaM2" })
	if !ok || f.PlusMinus == nil || f.Origin != followup.Computed {
		c.t.Fatalf("the area of %s is %+v", of, f)
	}
	return f.Value / 1e4, *f.PlusMinus / 1e4
}
