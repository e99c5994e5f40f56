package planning

import (
	"encoding/json"
	"fmt"
	"strings"

	"headcut/model"
	"headcut/model/jsonvalue"
	"headcut/model/recorded"
	"headcut/model/treatment"
)

// lines takes in the tracks and fences whose banks fail or are missing, and those that are recorded as a cause.
func (o *ordering) lines() {
	for line := range o.p.of("track", "fence") {
		place := Place{step: treatment.Prevention, after: notFoundWanting}
		banks := o.along(line)
		named := o.asCause(&place, line)
		fails := o.mend(&place, banks)
		missing := o.missing(&place, line, banks, named)
		switch {
		case fails || missing:
			place.after = min(place.after, foundWanting)
			o.outletNear(&place, line)
			o.add(place, line, banks)
		case len(banks) > 0:
			o.treated[line.ID] = true
			o.leaveOut(line, "its whoa-boys stand, and nobody found one failing")
		case line.Kind == "fence":
			o.leaveOut(line, "no whoa-boys are recorded on it, and nothing tells whether water runs along it: look after rain")
		default:
			o.leaveOut(line, "no whoa-boys are recorded on it, and nothing says that it needs them")
		}
	}
}

// asCause says of which places a track or fence is taken to be the cause: where one of its sort is recorded
// as it, and it lies within reach.
func (o *ordering) asCause(place *Place, line *recorded.Item) (named bool) {
	for _, e := range o.bare {
		for _, s := range e.beside {
			if s.item.ID != line.ID || e.cause != line.Kind {
				continue
			}
			named = true
			place.why("A %s is recorded as the cause of %s, and this one %s.", line.Kind, e.item.Called(), s.lies)
			place.causes(e)
		}
	}
	return named
}

// causes makes a place as urgent as what it is the cause of.
func (p *Place) causes(e *erodedPlace) {
	if e.moving {
		p.after = min(p.after, causeOfMoving)
	} else {
		p.after = min(p.after, causeOfOther)
	}
}

// missing tells whether a track or fence lacks whoa-boys: those that are proposed are not built; without any,
// a track that is longer than banks are apart needs them, and a fence where it is recorded as a cause; and
// with some, where the spacing table puts more along it than stand.
func (o *ordering) missing(place *Place, line *recorded.Item, banks []*recorded.Item, named bool) bool {
	proposed, standing := 0, 0
	for _, bank := range banks {
		switch bank.Status() {
		case model.Proposed, model.Pegged:
			proposed++
		case model.Built:
			standing++
		}
	}
	switch {
	case proposed > 0:
		place.why("%s planned on it and not built.", count(proposed, "whoa-boy is", "whoa-boys are"))
		place.do("Build %s.", plannedNames(banks))
		return true
	case len(banks) == 0 && !named && !o.needsBanks(line):
		return false
	}
	planned, known := o.plannedBanks(place, line)
	switch {
	case len(banks) == 0:
		place.why("No whoa-boy is recorded on it.")
		if known {
			place.do("Turn the water off it: %s by its levels and the property's spacing table.", count(planned, "whoa-boy", "whoa-boys"))
		} else {
			place.do("Turn the water off it by whoa-boys with outlets onto grass.")
		}
		return true
	case known && planned > 0:
		place.why("The property's spacing table puts %s more along it, beside the %d that stand.", count(planned, "whoa-boy", "whoa-boys"), standing)
		place.do("Put in the whoa-boys that are missing.")
		return true
	}
	return false
}

// needsBanks tells whether a track is longer than banks stand apart, by the rules of treatment-choice.
func (o *ordering) needsBanks(line *recorded.Item) bool {
	lengthM, known := o.p.Sheet(line).Figure("lengthM")
	if line.Kind != "track" || !known {
		return false
	}
	site := treatment.Site{What: treatment.Track}
	site.Measure(treatment.LengthM, lengthM.Value, plusMinusOf(lengthM))
	all, err := treatment.Choose(site)
	banks, _ := model.Find(all, func(c treatment.Outcome) bool { return c.Treatment == treatment.WhoaBoys })
	return err == nil && len(banks.Fits) > 0
}

func plusMinusOf(f model.Figure) float64 {
	if f.PlusMinus == nil {
		return -1
	}
	return *f.PlusMinus
}

// plannedBanks is how many whoa-boys the draft of a track puts along it; false, with what to record, where
// none can be made.
func (o *ordering) plannedBanks(place *Place, line *recorded.Item) (n int, known bool) {
	answer, known := o.planned(place, Request{Of: line.ID, Plans: WhoaBoys})
	var out spacing
	if !known || jsonvalue.Unmarshal(answer, &out) != nil {
		return 0, false
	}
	return len(out.Banks), true
}

// planned is the answer to a plan; where there is none the place says what to record for one.
func (o *ordering) planned(place *Place, r Request) (answer json.RawMessage, known bool) {
	out, err := o.p.Plan(r, "")
	for _, why := range out.Refused {
		place.lack("To plan %s: %s", r.Plans, why)
	}
	for _, l := range out.LeftOut {
		if item := o.p.items[l.Feature]; l.Kind == "level-run" && out.Input == nil {
			place.lack("%s: %s", item.Called(), l.Why)
		}
	}
	if err != nil && len(out.Refused) == 0 {
		place.lack("To plan %s: %v", r.Plans, err)
	}
	return out.Answer, err == nil && out.Answer != nil
}

// outletNear warns of heads into which an outlet could lead.
func (o *ordering) outletNear(place *Place, line *recorded.Item) {
	var heads []string
	for _, e := range o.bare {
		for _, s := range e.beside {
			if s.item.ID == line.ID && e.item.Kind == "gully-head" {
				heads = append(heads, e.item.Called())
			}
		}
	}
	if len(heads) > 0 {
		place.do("Let no water out towards %s.", strings.Join(heads, ", "))
	}
}

// plannedNames are those of the works that are planned and not built.
func plannedNames(works []*recorded.Item) string {
	var names []string
	for _, w := range works {
		if w.Status() == model.Proposed || w.Status() == model.Pegged {
			names = append(names, w.Called())
		}
	}
	return strings.Join(names, ", ")
}

// sentence is a text with its full stop.
func sentence(text string) string { return strings.TrimSuffix(text, ".") + "." }

// whole is a distance as a sentence has it: to the metre.
func whole(m float64) string { return fmt.Sprintf("%.0f", m) }
