package planning

import (
	"encoding/json"
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/compute"
	"headcut/model/jsonvalue"
	"headcut/model/recorded"
	"headcut/model/section"
)

func init() {
	planned[Batter] = planner{computation: "batter", kinds: []string{"gully-head", "gully-edge"}, on: "at a gully head or along a gully edge", called: "Batter of ",
		draft: (*drafting).batter, says: (*Draft).batterSays, adopt: (*adopting).batter}
}

// dispersiveSoil is how the computation batter calls soil that disperses.
const dispersiveSoil = "sandy or dispersive"

// batter drafts the batter of a head or wall: its height by the head, its length by the edge that was walked,
// how steep it is and will be as given.
func (d *drafting) batter() {
	d.refuseUnsettled(d.item, "geometry", "headDepthM", "dispersive", "active")
	d.wallHeight()
	d.wallLength()
	if !d.has("presentRunPerRise") {
		d.refuse("how steep the wall is now is not recorded: measure it, and give presentRunPerRise, 0 for an upright wall.")
	}
	if !d.has("targetRunPerRise") {
		d.refuse("how flat the wall is to lie is not given: give targetRunPerRise, the new slope, 1 in this.")
	}
	d.wallSoil()
	if !d.has("sowing") {
		d.miss("what is sown on the bared wall: give sowing, seed with fertiliser beside it, at your own rates. A bare batter erodes like any bare slope.")
	}
	if d.item.Yes("active") {
		d.minded = append(d.minded, d.item.Called()+" is recorded as still cutting back: hold it with rock, or turn its water, before it is battered. Planted heads alone still moved.")
	}
	d.worksThere("batter", "revegetation", "gypsum")
	d.rates()
}

// wallHeight is the depth of a head, with the ± of a tape where it was taped or levelled.
func (d *drafting) wallHeight() {
	if d.has("heightM") {
		d.use(d.item, "what is battered")
		return
	}
	depthM, known := d.item.Number("headDepthM")
	if !known || depthM <= 0 {
		if d.item.Kind == "gully-edge" {
			d.refuse("how high the wall along %s is: tape it from toe to brink, and give heightM.", d.item.Called())
		} else {
			d.refuse("the depth of %s is not recorded: measure it from the lip down to the foot, and record it, or give heightM.", d.item.Called())
		}
		return
	}
	d.in.put("heightM", depthM)
	basis := d.item.Basis("headDepthM")
	if !d.has("basis") {
		d.in.put("basis", basis)
	}
	if taped := basis == model.Taped || basis == model.Levelled; taped && !d.has("accuracyM") {
		d.in.put("accuracyM", section.TapePlusMinusM)
	} else if !taped && !d.has("accuracyM") {
		d.miss("how far the depth of %s may be out: tape it, and earth and area get a ±.", d.item.Called())
	}
	d.use(d.item, "its depth, %s m, %s", metres2(depthM), basis)
}

// wallLength is that of the edge that was walked along the brink.
func (d *drafting) wallLength() {
	if d.has("lengthM", "headRadiusM") {
		return
	}
	edge := d.edge()
	if edge == nil {
		d.refuse("how long the wall of %s is: walk its brink as a gully edge, or tape it and give lengthM, or headRadiusM for a half-round head.", d.item.Called())
		return
	}
	if d.refuseUnsettled(edge, "geometry", "accuracyM") {
		return
	}
	length, ok := d.p.figures.Of(edge.Feature).Figure("lengthM")
	if !ok {
		d.refuse("%s has no length: record it as a line along the brink, or give lengthM.", edge.Called())
		return
	}
	d.in.put("lengthM", length.Value)
	if length.PlusMinus == nil {
		d.miss("how far the length of %s may be out: it has no accuracy. Tape it.", edge.Called())
	} else if *length.PlusMinus > 0 {
		d.in.put("lengthPlusMinusM", *length.PlusMinus)
	}
	d.wall = edge
	if edge != d.item || d.has("heightM") {
		d.use(edge, "the wall, %s m along its brink", metres(length.Value))
	}
}

// edge is the gully edge that is planned along, or the one next to a head, within reach of it; nil: none that
// is a line.
func (d *drafting) edge() (nearest *recorded.Item) {
	if d.item.Kind == "gully-edge" {
		return d.item
	}
	at, isPoint := d.item.Geometry.(orb.Point)
	leastM := reachM + 2*max(0, accuracyOf(d.item))
	var others []*recorded.Item
	for edge := range d.p.of("gully-edge") {
		line, isLine := edge.Geometry.(orb.LineString)
		if !isLine || !isPoint {
			continue
		}
		place, err := section.Snap(line, at)
		switch {
		case err != nil || place.OffsetM > leastM:
		case nearest != nil && place.OffsetM == leastM:
			others = append(others, edge)
		default:
			if nearest != nil {
				others = append(others, nearest)
			}
			nearest, leastM = edge, place.OffsetM
		}
	}
	for _, edge := range others {
		d.leaveOut(edge, "%s is nearer to the head", nearest.Called())
	}
	return nearest
}

// wallSoil names the soil of a head that was found dispersive, so that no batter is planned too steep for it.
func (d *drafting) wallSoil() {
	var soil string
	_ = jsonvalue.Unmarshal(d.request.Given["soil"], &soil) // what is no text the computation refuses
	switch dispersive := d.item.Yes("dispersive"); {
	case dispersive && soil == "":
		d.in.put("soil", dispersiveSoil)
	case dispersive && soil != dispersiveSoil && !d.has("grades"):
		d.refuse("%s is recorded as dispersive, and its soil is given as %s: correct the record, or give %s.", d.item.Called(), soil, dispersiveSoil)
	case soil == "" && d.item.Fields["dispersive"] == nil:
		d.miss("whether the subsoil of %s disperses: put a crumb of it in still water, and record it, or give soil. Until then the slope is held against nothing.", d.item.Called())
	}
}

// batterSays says what has to come first, and whether grass is likely to hold the new slope.
func (d *Draft) batterSays(json.RawMessage) []string {
	var in struct {
		HeightM, TargetRunPerRise float64
		Soil                      string
	}
	if jsonvalue.Unmarshal(d.Input, &in) != nil {
		return d.minded
	}
	site := input{}
	site.put("depthM", in.HeightM)
	site.put("wallRunPerRise", in.TargetRunPerRise)
	if in.Soil == dispersiveSoil {
		site.put("dispersive", true)
	}
	var out struct {
		Verdict string
		Reasons []struct{ Limit, Verdict string }
	}
	verdict, err := compute.Run("revegetation", site.json())
	if err != nil || jsonvalue.Unmarshal(verdict, &out) != nil {
		return d.minded
	}
	text := fmt.Sprintf("Grass, fencing and fertiliser by themselves, on a wall of 1 in %v: %s.", in.TargetRunPerRise, out.Verdict)
	for _, r := range out.Reasons {
		if r.Verdict != "met" {
			text += fmt.Sprintf(" %s: %s.", r.Limit, r.Verdict)
		}
	}
	return append(slices.Clone(d.minded), text)
}

// batter proposes the batter of an answer and what is sown on it.
func (a *adopting) batter(answer json.RawMessage) error {
	var in struct{ HeightM, TargetRunPerRise float64 }
	var out struct {
		Items []takenItem
		Sown  []sown
	}
	if jsonvalue.Unmarshal(answer, &out) != nil || jsonvalue.Unmarshal(a.d.Input, &in) != nil {
		return &model.Problem{Reason: "the answer is not one of batter"}
	}
	f := fields{}
	f.put("heightM", in.HeightM)
	f.put("heightBasis", model.FromPlan)
	f.put("runPerRise", in.TargetRunPerRise)
	f.put("takes", takesOf(out.Items[:len(out.Items)-len(out.Sown)]))
	if a.d.wall != nil {
		f["geometry"] = model.AppendGeometry(nil, a.d.wall.Geometry)
		f.put("positionBasis", model.FromPlan)
	}
	if err := a.propose("batter", "Batter ", f); err != nil {
		return err
	}
	return a.sow(out.Sown, nil)
}
