package figures

import (
	"iter"
	"maps"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"headcut/model"
)

// Cache keeps the features of a property with the sheet of each. When a feature changes
// only the sheets that rest on it are worked out again: a new level run reduces one book,
// a dam that moved is placed again and its neighbours are judged, and the rest stands. It
// gives what Survey and Of give. It is not for use by several goroutines at once.
type Cache struct {
	features map[string]model.Feature
	heads    map[string]bool   // ids of gully heads
	pegged   map[string]string // level runs by the ids of what was pegged by them
	figures  *PropertyFigures
	sheets   map[string]cachedSheet
}

// cachedSheet is a sheet, with what the one of a dam was told from.
type cachedSheet struct {
	sheet Sheet
	from  support
}

// support is what the sheet of a dam rests on besides the dam's own fields.
type support struct {
	dam *dam
	in  *thalweg
	found
	high        height
	next, below *pair
	offBedM     float64 // level of the bed that its toe is off
	odd         bool
	drawnOff    string
}

// NewCache returns a Cache of no features.
func NewCache() *Cache {
	return &Cache{features: map[string]model.Feature{}, heads: map[string]bool{}, pegged: map[string]string{}, figures: newPropertyFigures(), sheets: map[string]cachedSheet{}}
}

// changed is what a Change has touched.
type changed struct {
	ids      map[string]bool // features whose sheets, or long sections, may have become others
	dams     []*dam          // to be stood again
	thalwegs []*thalweg      // whose dams are
	moved    map[string]*thalweg
}

// Change takes in features that are new or of which anything changed, and leaves out those
// struck, which may be unknown. Of two with one id the later stands. It returns the ids of
// all whose sheet or long section may have become another.
func (k *Cache) Change(put iter.Seq[model.Feature], struck []string) []string {
	c := &changed{ids: map[string]bool{}, moved: map[string]*thalweg{}}
	for f := range put {
		k.drop(f.ID, c)
		k.features[f.ID] = f
		k.add(f, c)
	}
	for _, id := range struck {
		k.drop(id, c)
	}
	for _, id := range k.figures.standAgain(append(c.dams, k.figures.mayHold(c.moved)...), slices.AppendSeq(c.thalwegs, maps.Values(c.moved))) {
		c.ids[id] = true
	}
	return slices.Collect(maps.Keys(c.ids))
}

// drop forgets a feature and what rests on it.
func (k *Cache) drop(id string, c *changed) {
	old, ok := k.features[id]
	if !ok {
		return
	}
	delete(k.features, id)
	delete(k.heads, id)
	delete(k.pegged, id)
	k.forget(id, c)
	switch old.Kind {
	case "thalweg":
		c.dams = append(c.dams, k.figures.thalwegs[id].all...)
		k.figures.dropThalweg(id)
		delete(c.moved, id)
	case "check-dam":
		d := k.figures.dams[id]
		c.dams = append(append(c.dams, k.figures.tapedFrom(d)), k.figures.above[id]...)
		c.thalwegs = append(c.thalwegs, d.in)
		k.figures.dropDam(id)
	case "cross-section":
		delete(k.figures.across, id)
	case "catchment":
		k.forgetHeads(k.figures.mapped[id], c)
		delete(k.figures.mapped, id)
	case "level-run":
		k.levelled(id, c, func(r *run, at string) {
			k.figures.spots[at] = slices.DeleteFunc(k.figures.spots[at], func(s *spot) bool { return s.run == r })
		})
		delete(k.figures.runs, id)
	case "visit":
		of := old.Text("of")
		k.figures.visits[of] = slices.DeleteFunc(k.figures.visits[of], func(v *Visit) bool { return v.ID == id })
		k.forget(of, c)
	}
}

// forget drops the sheet of a feature.
func (k *Cache) forget(id string, c *changed) {
	delete(k.sheets, id)
	c.ids[id] = true
}

// levelled goes through what a level run has levelled, and forgets what was pegged by it.
func (k *Cache) levelled(id string, c *changed, each func(r *run, at string)) {
	for r := k.figures.runs[id]; r != nil; r = r.later {
		for i := range r.spots {
			at := r.spots[i].feature
			each(r, at)
			k.forget(at, c)
			c.dams = append(c.dams, k.figures.dams[at])
			c.thalwegs = append(c.thalwegs, k.figures.thalwegs[at])
		}
	}
	for at, run := range k.pegged {
		if run == id {
			k.forget(at, c)
		}
	}
}

// forgetHeads forgets the sheets of the gully heads that a mapped catchment is compared with.
func (k *Cache) forgetHeads(c *catchment, to *changed) {
	for id := range k.heads {
		if at, ok := k.features[id].Geometry.(orb.Point); ok && !math.IsInf(c.offM(at), 1) {
			k.forget(id, to)
		}
	}
}

// add surveys a feature.
func (k *Cache) add(f model.Feature, c *changed) {
	c.ids[f.ID] = true
	if run := f.Text("levelRun"); run != "" {
		k.pegged[f.ID] = run
	}
	switch f.Kind {
	case "thalweg":
		t := newThalweg(f)
		k.figures.addThalweg(t)
		c.moved[f.ID] = t
	case "check-dam":
		d := newDam(f)
		k.figures.addDam(d)
		c.dams = append(c.dams, d)
	case "cross-section":
		k.figures.across[f.ID] = newAcross(f)
	case "gully-head":
		k.heads[f.ID] = true
	case "catchment":
		k.figures.mapped[f.ID] = newCatchment(f)
		k.forgetHeads(k.figures.mapped[f.ID], c)
	case "level-run":
		k.figures.level(f)
		k.levelled(f.ID, c, func(_ *run, at string) { model.SortStable(k.figures.spots[at], byRun) })
	case "visit":
		v := VisitOf(f)
		k.figures.visits[v.Of] = append(k.figures.visits[v.Of], v)
		k.forget(v.Of, c)
	}
}

// Feature is a feature as it was taken in last, false when it is not kept.
func (k *Cache) Feature(id string) (model.Feature, bool) {
	f, ok := k.features[id]
	return f, ok
}

// Len is how many features are kept.
func (k *Cache) Len() int { return len(k.features) }

// PropertyFigures is what the figures of a property rest on, as it stands now; it changes with the
// next Change.
func (k *Cache) PropertyFigures() *PropertyFigures { return k.figures }

// Sheet is the sheet of a feature, false when it is not kept.
func (k *Cache) Sheet(id string) (Sheet, bool) {
	f, ok := k.features[id]
	if !ok {
		return Sheet{}, false
	}
	var from support
	if d := k.figures.dams[id]; d != nil {
		from = support{dam: d, in: d.in, found: d.found, high: d.high, next: d.next, below: d.below}
		if m, off := d.offBed(); off {
			from.offBedM = m
		}
		if d.drawnOff() {
			from.drawnOff = d.drawnOffWords("")
		}
		from.odd = d.in != nil && slices.Contains(d.in.odd, d)
	}
	if old, ok := k.sheets[id]; ok && old.from == from {
		return old.sheet, true
	}
	sheet := k.figures.Of(f)
	k.figures.did.Sheets++
	k.sheets[id] = cachedSheet{sheet, from}
	return sheet, true
}

// Did counts what has been worked out since the Cache was made.
func (k *Cache) Did() Work { return k.figures.did }
