package planning

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/works"
)

// takenItem is a quantity of an answer.
type takenItem struct {
	Item     string
	Unit     string
	Quantity float64
}

// sown is what an answer puts on an area.
type sown struct {
	Item, Is string
	KgHa, Kg float64
}

// takesOf is what works take, as a work keeps it: "12.50 m³ of batter cut, 3 pits".
func takesOf(items []takenItem) string {
	return strings.Join(model.Each(items, func(q takenItem) string {
		what := strings.ReplaceAll(q.Item, ",", "") // a comma parts one from the next
		if q.Unit == "each" {
			return strconv.FormatFloat(q.Quantity, 'f', -1, 64) + " " + what
		}
		decimals := 2
		if q.Quantity < 0.1 {
			decimals = 4
		}
		return strconv.FormatFloat(q.Quantity, 'f', decimals, 64) + " " + model.UnitInWords(q.Unit) + " of " + what
	}), ", ")
}

// worksThere are the works of these kinds that are proposed for the place, pegged or built.
func (d *drafting) worksThere(kinds ...string) {
	for w := range d.p.of(kinds...) {
		status := w.Status()
		if w.Text("treats") != d.item.ID || status == model.Failed || status == model.Removed || d.refuseUnsettled(w, "treats", "status") {
			continue
		}
		atM, _ := w.Number("chainageM")
		stands := status != model.Proposed
		if stands {
			d.leaveOut(w, "its status is %s: it stays as it is, and no other is proposed in its place", status)
		}
		d.existing = append(d.existing, existing{item: w, atM: atM, stands: stands})
	}
}

// there are those works that are of one kind.
func (d *Draft) there(kind string) (all []existing) {
	for _, e := range d.existing {
		if e.item.Kind == kind {
			all = append(all, e)
		}
	}
	return all
}

// propose writes down the one work of a kind at the place of a plan: one that is proposed there already is
// edited, and beside one that is pegged or built none is made.
func (a *adopting) propose(kind, stem string, f fields) error {
	id := idOf("work", a.Plan, kind)
	if work := a.p.items[id]; work != nil {
		if work.Struck {
			a.say("%s was struck out since this plan was adopted: restore it by its uid, %s, if it is wanted.", work.Called(), id)
		} else {
			a.Known++
		}
		return nil
	}
	f.put("treats", a.d.Of.Feature)
	f.put("plan", a.Plan)
	var same *existing
	for _, e := range a.d.there(kind) {
		switch {
		case e.stands:
			a.say("%s is %s there: it stays as it is.", e.item.Called(), e.item.Status())
			return nil
		case same == nil:
			same = &e
		default:
			a.say("%s is proposed there too, and is not in this plan: strike it out if it is not wanted.", e.item.Called())
		}
	}
	if same != nil {
		keepMeasured(same.item, f)
		f = differing(same.item, f)
		if len(f) == 0 {
			a.Known++
			return nil
		}
		a.Changes = append(a.Changes, Change{same.item.Named(), false, f})
		return fitting(kind, f)
	}
	f.put("kind", kind)
	f.put("name", a.name(kind, stem))
	f.put("status", model.Proposed)
	f.put(model.Proposed.DateField(), a.today)
	named := Change{New: true, Fields: f}
	named.Feature, named.Kind, named.Name = id, kind, model.TextOf(f["name"])
	a.Changes = append(a.Changes, named)
	return fitting(kind, f)
}

// fitting refuses what the register would not take.
func fitting(kind string, f fields) error {
	if problems := model.CheckFields(kind, model.FieldValuesOf(f)); len(problems) > 0 {
		p := *problems[0]
		p.Reason = fmt.Sprintf("%s, so that it cannot be written down", p.Reason)
		return &p
	}
	return nil
}

// sow proposes the sown area of a plan, with fertiliser beside seed, and gypsum apart, on a place whose area is known or
// not.
func (a *adopting) sow(all []sown, area orb.Geometry) error {
	var taken, gypsum []takenItem
	amounts := map[string]float64{} // by what it is, on each hectare
	names := map[string][]string{}
	for _, s := range all {
		q := takenItem{s.Item, "kg", s.Kg}
		amounts[s.Is] += s.KgHa
		names[s.Is] = append(names[s.Is], s.Item)
		if s.Is == "gypsum" {
			gypsum = append(gypsum, q)
		} else {
			taken = append(taken, q)
		}
	}
	if len(taken) > 0 {
		f := fields{}
		f.put("takes", takesOf(taken))
		for is, put := range map[string][2]string{works.Seed: {"seedMix", "seedKgHa"}, "fertiliser": {"fertiliser", "fertiliserKgHa"}} {
			if len(names[is]) > 0 {
				f.put(put[0], strings.Join(names[is], ", "))
				f.put(put[1], rounded(amounts[is]))
			}
		}
		f.on(area)
		if err := a.propose("revegetation", "Sown area ", f); err != nil {
			return err
		}
	}
	if len(gypsum) > 0 {
		f := fields{}
		f.put("takes", takesOf(gypsum))
		f.put("gypsumKgHa", rounded(amounts["gypsum"]))
		f.on(area)
		return a.propose("gypsum", "Gypsum ", f)
	}
	return nil
}

// on puts a work on an area, where that is known.
func (f fields) on(area orb.Geometry) {
	if area != nil {
		f["geometry"] = json.RawMessage(model.AppendGeometry(nil, area))
		f.put("positionBasis", model.FromPlan)
	}
}
