package figures

import (
	"iter"
	"slices"

	"headcut/model"
)

// Keeper keeps the features of a property with the sheet of each. When a feature changes
// only the sheets that rest on it are worked out again: a new level run reduces one book,
// a dam that moved is placed again and its neighbours are judged, and the rest stands. It
// gives what Survey and Of give. It is not for use by several goroutines at once.
type Keeper struct {
	features map[string]model.Feature
	land     *Land
	sheets   map[string]kept
}

// kept is a sheet, with what the one of a dam was told from.
type kept struct {
	sheet Sheet
	from  support
}

// support is what the sheet of a dam rests on besides the dam's own fields.
type support struct {
	dam         *dam
	in          *thalweg
	at          *standing
	toe, crest  *spot
	next, below *pair
	offBedM     float64 // level of the bed that its toe is off
	odd         bool
}

// NewKeeper returns a Keeper of no features.
func NewKeeper() *Keeper {
	return &Keeper{features: map[string]model.Feature{}, land: newLand(), sheets: map[string]kept{}}
}

// Change takes in features that are new or of which anything changed, and leaves out those
// struck, which may be unknown. Of two with one id the later stands.
func (k *Keeper) Change(put iter.Seq[model.Feature], struck []string) {
	restand := false
	for f := range put {
		restand = k.drop(f.ID) || restand
		k.features[f.ID] = f
		restand = k.add(f) || restand
	}
	for _, id := range struck {
		restand = k.drop(id) || restand
	}
	if restand {
		k.land.stand()
	}
}

// drop forgets a feature and what rests on it; true when dams must be stood again.
func (k *Keeper) drop(id string) bool {
	old, ok := k.features[id]
	if !ok {
		return false
	}
	delete(k.features, id)
	delete(k.sheets, id)
	switch old.Kind {
	case "thalweg":
		delete(k.land.thalwegs, id)
		k.land.near = nil
	case "check-dam":
		delete(k.land.dams, id)
	case "catchment":
		delete(k.land.mapped, id)
		k.dropHeads()
		return false
	case "level-run":
		for r := k.land.runs[id]; r != nil; r = r.later {
			for i := range r.spots {
				at := r.spots[i].feature
				k.land.spots[at] = slices.DeleteFunc(k.land.spots[at], func(s *spot) bool { return s.run == r })
				delete(k.sheets, at)
			}
		}
		delete(k.land.runs, id)
	case "visit":
		of := old.Text("of")
		k.land.visits[of] = slices.DeleteFunc(k.land.visits[of], func(v *visit) bool { return v.id == id })
		delete(k.sheets, of)
		return false
	default:
		return false
	}
	return true
}

// dropHeads forgets the sheets of gully heads, which are compared with mapped catchments.
func (k *Keeper) dropHeads() {
	for id := range k.sheets {
		if k.features[id].Kind == "gully-head" {
			delete(k.sheets, id)
		}
	}
}

// add surveys a feature; true when dams must be stood again.
func (k *Keeper) add(f model.Feature) bool {
	switch f.Kind {
	case "thalweg":
		k.land.thalwegs[f.ID] = newThalweg(f)
		k.land.near = nil
	case "check-dam":
		k.land.dams[f.ID] = newDam(f)
	case "catchment":
		k.land.mapped[f.ID] = newCatchment(f)
		k.dropHeads()
		return false
	case "level-run":
		k.land.level(f)
		for r := k.land.runs[f.ID]; r != nil; r = r.later {
			for i := range r.spots {
				at := r.spots[i].feature
				slices.SortStableFunc(k.land.spots[at], byRun)
				delete(k.sheets, at)
			}
		}
	case "visit":
		v := newVisit(f)
		k.land.visits[v.of] = append(k.land.visits[v.of], v)
		delete(k.sheets, v.of)
		return false
	default:
		return false
	}
	return true
}

// Land is what the figures of a property rest on, as it stands now; it changes with the
// next Change.
func (k *Keeper) Land() *Land { return k.land }

// Sheet is the sheet of a feature, false when it is not kept.
func (k *Keeper) Sheet(id string) (Sheet, bool) {
	f, ok := k.features[id]
	if !ok {
		return Sheet{}, false
	}
	var from support
	if d := k.land.dams[id]; d != nil {
		from = support{dam: d, in: d.in, at: d.at, toe: d.toe, crest: d.crest, next: d.next, below: d.below}
		if m, off := d.offBed(); off {
			from.offBedM = m
		}
		from.odd = d.in != nil && slices.Contains(d.in.odd, d)
	}
	if old, ok := k.sheets[id]; ok && old.from == from {
		return old.sheet, true
	}
	sheet := k.land.Of(f)
	k.land.did.Sheets++
	k.sheets[id] = kept{sheet, from}
	return sheet, true
}

// Did counts what has been worked out since the Keeper was made.
func (k *Keeper) Did() Work { return k.land.did }
