package planning

import (
	"strings"

	"headcut/model"
	"headcut/model/jsonvalue"
	"headcut/model/recorded"
	"headcut/model/treatment"
)

// floors takes in the gullies whose floor is not healed, last of all.
func (o *ordering) floors() {
	for gully := range o.p.of("thalweg") {
		if o.healed(gully) {
			continue
		}
		place := Place{step: treatment.Structures, after: notFoundWanting}
		works := o.along(gully)
		heads, moving := o.headsOf(gully)
		for _, head := range moving {
			place.why("%s above it is cutting back.", head)
			place.do("Treat %s first: a dam does not stop a head that is cutting back.", head)
		}
		if len(heads) == 0 {
			place.lack("Where its head stands: record it as a gully head.")
		}
		if place.settled(gully, "geometry") {
			for _, text := range o.harm[gully.ID] {
				place.why("%s", strings.ToUpper(text[:1])+text[1:])
			}
		}
		if o.mend(&place, works) {
			place.after = foundWanting
		}
		o.dams(&place, gully, works)
		if len(place.Why) == 0 {
			place.why("Nobody found its floor healed.")
		}
		o.add(place, gully, works)
	}
}

// headsOf are the heads that are nearer to this gully than to any other, and within reach of it.
func (o *ordering) headsOf(gully *recorded.Item) (heads, moving []string) {
	if gully.Geometry == nil {
		return nil, nil
	}
	for _, e := range o.bare {
		if e.item.Kind != "gully-head" || e.item.Geometry == nil {
			continue
		}
		m := apartM(gully.Geometry, e.item.Geometry)
		nearest := m <= reachM+2*max(0, accuracyOf(e.item))
		for other := range o.p.of("thalweg") {
			nearest = nearest && (other.ID == gully.ID || other.Geometry == nil || apartM(other.Geometry, e.item.Geometry) >= m)
		}
		if !nearest {
			continue
		}
		heads = append(heads, e.item.Called())
		if e.moving {
			moving = append(moving, e.item.Called())
		}
	}
	model.Sort(heads)
	model.Sort(moving)
	return heads, moving
}

// dams says which dams to build, or what to record to plan them.
func (o *ordering) dams(place *Place, gully *recorded.Item, works []*recorded.Item) {
	planned, standing := 0, 0
	for _, w := range works {
		switch {
		case w.Kind != "check-dam":
		case w.Status() == model.Proposed, w.Status() == model.Pegged:
			planned++
		case w.Status() == model.Built:
			standing++
		}
	}
	if planned > 0 {
		place.why("%s planned in it and not built.", count(planned, "check dam is", "check dams are"))
		place.do("Build %s.", plannedNames(works))
		return
	}
	answer, known := o.planned(place, Request{Of: gully.ID, Plans: Dams})
	var out layout
	if known && jsonvalue.Unmarshal(answer, &out) == nil && len(out.Dams) > 0 {
		place.do("By the levels of its bed %s beside those that stand.", count(len(out.Dams), "low porous dam fits", "low porous dams fit"))
	} else if standing == 0 && !known {
		place.do("Plan low porous dams once its bed is levelled, to catch silt so that grass can start.")
	}
}
