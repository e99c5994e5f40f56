package planning

import (
	"encoding/json"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
	"headcut/model/jsonvalue"
)

// samePondM is how near to each other down a scald a planned and a proposed ponding bank are taken for one. Common
// practice, no source: ponds are farther apart.
const samePondM = 2

func init() {
	planned[Scald] = planner{computation: "scald", kinds: []string{"scald"}, recorded: []string{"ground"}, on: "on a scald", called: "Works on ",
		draft: (*drafting).scald, says: (*Draft).minds, adopt: (*adopting).scald}
}

// scald drafts ponding banks, pits, gypsum and seed on a scald: its area by its boundary, its levels by a run down it.
func (d *drafting) scald() {
	d.refuseUnsettled(d.item, "geometry", "accuracyM", "dispersive")
	if !d.has("areaM2") {
		d.scaldArea()
	}
	if !d.has("ponding", "pitting", "gypsum", "sowing") {
		d.refuse("what is to be done is not given: give ponding, pitting, gypsum or sowing.")
	}
	dispersive := d.item.Fields["dispersive"] != nil
	switch {
	case d.has("dispersive"):
	case dispersive:
		d.in.put("dispersive", d.item.Yes("dispersive"))
	default:
		d.miss("whether %s disperses: put a crumb of its subsoil in still water, and record it. On dispersive ground neither ponds nor pits hold without gypsum.", d.item.Called())
	}
	if d.item.Yes("dispersive") && !d.has("gypsum") {
		d.miss("the gypsum for %s: have the soil tested, and give gypsum with its class and your local table, or with its sodium.", d.item.Called())
	}
	if d.has("ponding") {
		d.scaldLevels()
	}
	d.worksThere("ponding-bank", "pitting", "gypsum", "revegetation")
	for _, e := range d.existing {
		if e.stands && e.item.Kind == "ponding-bank" {
			d.minded = append(d.minded, e.item.Called()+" is "+string(e.item.Status())+": the layout goes by the levels alone. Mind it when you choose which of the planned banks to build.")
		}
	}
	d.rates()
}

// scaldArea is that within the boundary, with its ±.
func (d *drafting) scaldArea() {
	area, ok := d.p.figures.Of(d.item.Feature).Figure("areaM2")
	if !ok {
		d.refuse("%s has no area: walk or draw its boundary, closed and not crossing itself.", d.item.Called())
		return
	}
	d.in.put("areaM2", area.Value)
	if area.PlusMinus != nil {
		d.in.put("areaPlusMinusM2", min(*area.PlusMinus, area.Value))
	} else {
		d.miss("how far the area of %s may be out: its boundary has no accuracy. Walk it with a receiver, or tape it.", d.item.Called())
	}
	d.use(d.item, "its area, %.0f m²", area.Value)
}

// scaldLevels are those of a run down the scald.
func (d *drafting) scaldLevels() {
	runs := d.runsAlong("", model.BedSpot, model.PegSpot)
	used := d.choose(runs, "a line down it, square to its contours and from its upper edge to its lower,")
	if used == nil {
		return
	}
	used.put(d, "ground")
	d.compare(used, runs)
	d.wholeScald(used)
}

// wholeScald refuses levels of so short a part that the scald would be wider than it reaches from corner to corner, or levels that go far beyond it:
// banks are as long as it is wide on the whole.
func (d *drafting) wholeScald(used *levelled) {
	var given struct{ BankLengthM *float64 }
	area, known := d.p.figures.Of(d.item.Feature).Figure("areaM2")
	if _ = jsonvalue.Unmarshal(d.request.Given["ponding"], &given); given.BankLengthM != nil || !known { // what is none the computation refuses
		return
	}
	bound := d.item.Geometry.Bound()
	downM := used.bed[len(used.bed)-1].ChainageM - used.bed[0].ChainageM
	switch acrossM := geodesy.Length(orb.LineString{bound.Min, bound.Max}); {
	case downM > acrossM+2*max(0, accuracyOf(d.item)):
		d.refuse("the levels of %s cover %.0f m, more than %s reaches from corner to corner: leave out those beyond it, or give bankLengthM in ponding.", used.Called, downM, d.item.Called())
	case area.Value > downM*acrossM:
		d.refuse("the levels of %s cover %.0f m, and %s would be %.0f m wide, more than it reaches from corner to corner: level it from its upper edge to its lower, or give bankLengthM in ponding.", used.Called, downM, d.item.Called(), area.Value/downM)
	}
}

// minds are what an answer is to be read with.
func (d *Draft) minds(json.RawMessage) []string { return d.minded }

// scald proposes what an answer puts on a scald.
func (a *adopting) scald(answer json.RawMessage) error {
	var in struct {
		Ponding *struct{ PondDepthM float64 }
		Pitting *struct{ DepthM, ApartM float64 }
		Gypsum  *struct{ DispersionClass, Source string }
	}
	var out struct {
		Banks                    []struct{ ChainageM, GroundLevelM float64 }
		BankHeightM, BankLengthM float64
		GypsumKgHa               float64
		Items                    []takenItem
		Sown                     []sown
	}
	if jsonvalue.Unmarshal(answer, &out) != nil || jsonvalue.Unmarshal(a.d.Input, &in) != nil {
		return &model.Problem{Reason: "the answer is not one of scald"}
	}
	amount := func(name string) (found takenItem, is bool) {
		return model.Find(out.Items, func(q takenItem) bool { return q.Item == name })
	}
	area := a.p.items[a.d.Of.Feature].Geometry
	if n := len(out.Banks); n > 0 {
		var each []takenItem // all banks are alike
		for _, name := range []string{"ponding bank", "earth in ponding bank"} {
			if q, takes := amount(name); takes {
				q.Quantity /= float64(n)
				each = append(each, q)
			}
		}
		var banks []proposal
		for _, b := range out.Banks {
			f := fields{}
			f.put("heightM", out.BankHeightM)
			f.put("heightBasis", model.FromPlan)
			f.put("pondDepthM", in.Ponding.PondDepthM)
			f.put("crestLengthM", rounded(out.BankLengthM))
			f.put("crestLengthBasis", model.FromPlan)
			f.put("chainageM", rounded(b.ChainageM))
			f.put("chainageBasis", model.FromPlan)
			f.put("targetLevelM", rounded(b.GroundLevelM))
			f.put("takes", takesOf(each))
			f.put("treats", a.d.Of.Feature)
			if err := fitting("ponding-bank", f); err != nil {
				return err
			}
			banks = append(banks, proposal{atM: b.ChainageM, fields: f})
		}
		a.write("ponding-bank", "Ponding bank ", banks, a.d.there("ponding-bank"), samePondM)
	}
	if q, pits := amount("pitting"); pits {
		f := fields{}
		f.put("depthM", in.Pitting.DepthM)
		f.put("depthBasis", model.FromPlan)
		f.put("pitSpacingM", in.Pitting.ApartM)
		f.put("takes", takesOf([]takenItem{q}))
		f.on(area)
		if err := a.propose("pitting", "Pitted area ", f); err != nil {
			return err
		}
	}
	if q, spread := amount("gypsum"); spread {
		f := fields{}
		f.put("gypsumKgHa", out.GypsumKgHa)
		if class := in.Gypsum.DispersionClass; class != "" { // none where a laboratory's figures were used
			f.put("dispersionClass", class)
		}
		f.put("gypsumSource", in.Gypsum.Source)
		f.put("takes", takesOf([]takenItem{q}))
		f.on(area)
		if err := a.propose("gypsum", "Gypsum ", f); err != nil {
			return err
		}
	}
	return a.sow(out.Sown, area)
}
