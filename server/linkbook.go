package server

import (
	"cmp"
	"encoding/json"
	"fmt"
	"iter"
	"maps"
	"slices"
	"sync"

	"headcut/model"
	"headcut/model/figures"
	"headcut/sync/register"
)

// linkBook is what a link shows of one property, kept so that an entry changes only what
// depends on it: the item of its feature, what was visited, the dams beside a dam and the long
// section of their gully, the sentence about each at the top of the page, and of each list
// the one block in which that stands.
type linkBook struct {
	mu sync.Mutex
	at version // up to which the registers were read; the zero version when they must be read from the beginning

	sheets    *figures.Cache
	hidden    map[string]bool    // ids of what is kept off: see keptOff
	dams      map[string]damNote // of those in a gully with a long section
	heights   map[string]damHeight
	visits    map[string][]sharedVisit // by the feature that was visited, in the order of the visits' ids
	visitOf   map[string]string        // by visit: the feature that was visited
	items     map[string]*listRow      // of what is shown
	changedOn map[string]string        // day of the newest entry on an item
	watched   map[string]*watched      // by item
	gullies   map[string]*gullyRow     // by thalweg
	named     map[string][]string      // by photo: features and visits that name it, or have named it

	works, others, watch, hazards, sections blockList

	did bookWork
}

// bookWork counts what has been made since a book was begun.
type bookWork struct{ Items, Blocks int }

// watched is a row about an item in the list of what to watch for, or of hazards.
type watched struct {
	in  *blockList
	row *listRow
}

// gullyRow is what is kept of a long section.
type gullyRow struct {
	dams []string
	row  *listRow // nil when it is not shown
}

// damNote is what the long section of its gully says of a dam.
type damNote struct {
	unchecked bool    // its checks would give a hidden feature away
	humpM     float64 // how far the bed up to the next dam stands above it where the two fail by that, else 0
}

func newLinkBook() *linkBook {
	b := &linkBook{}
	b.begin()
	return b
}

// begin forgets all.
func (b *linkBook) begin() {
	b.at, b.sheets = version{}, figures.NewCache()
	b.hidden, b.dams, b.heights = map[string]bool{}, map[string]damNote{}, map[string]damHeight{}
	b.visits, b.visitOf = map[string][]sharedVisit{}, map[string]string{}
	b.items, b.changedOn, b.watched, b.gullies = map[string]*listRow{}, map[string]string{}, map[string]*watched{}, map[string]*gullyRow{}
	b.named = map[string][]string{}
	for _, list := range b.lists() {
		*list = blockList{}
	}
}

func (b *linkBook) lists() []*blockList {
	return []*blockList{&b.watch, &b.hazards, &b.works, &b.others, &b.sections}
}

// take takes in features as they are now, all those that it was not given before or of which
// anything changed. Of two with one id the later stands, unless it was struck out; both are kept off
// when one is.
func (b *linkBook) take(features iter.Seq2[register.Folded, error]) error {
	stale := map[string]bool{} // ids of what must be written again
	put := map[string]model.Feature{}
	struck := map[string]bool{}
	for folded, err := range features {
		if err != nil {
			return err
		}
		id := folded.Feature
		_, twice := put[id]
		if twice && folded.Struck {
			continue
		}
		off := keptOff(folded) || twice && b.hidden[id]
		stale[id] = true
		b.forget(id, stale)
		delete(struck, id)
		f := agreed(folded)
		switch {
		case folded.Struck:
			struck[id] = true
			continue
		case off:
			b.hidden[id] = true
			if f.Kind == "visit" { // what it found is kept to the office
				struck[id] = true
				continue
			}
			put[id] = nameless(f)
		default:
			put[id] = f
			if sharedKind(f.Kind) {
				b.changedOn[id] = max(dated(f.Text("observedOn")), dayOf(folded.Changed))
			}
			if f.Kind == "visit" {
				b.addVisit(sharedVisitOf(f, folded), stale)
			}
			for _, sha := range photoList(f) {
				if !slices.Contains(b.named[sha], id) {
					b.named[sha] = append(b.named[sha], id)
				}
			}
		}
		if height, ok := heightOf(f); ok && height.m > 0 {
			b.heights[id] = height
		}
	}
	b.renew(put, struck, stale)
	return nil
}

// forget drops what was kept of a feature besides its figures.
func (b *linkBook) forget(id string, stale map[string]bool) {
	delete(b.hidden, id)
	delete(b.heights, id)
	delete(b.changedOn, id)
	if of, ok := b.visitOf[id]; ok {
		stale[of] = true
		b.visits[of] = slices.DeleteFunc(b.visits[of], func(l sharedVisit) bool { return l.id == id })
		if len(b.visits[of]) == 0 {
			delete(b.visits, of)
		}
		delete(b.visitOf, id)
	}
}

func (b *linkBook) addVisit(l sharedVisit, stale map[string]bool) {
	at, _ := slices.BinarySearchFunc(b.visits[l.of], l, func(a, b sharedVisit) int { return cmp.Compare(a.id, b.id) })
	b.visits[l.of] = slices.Insert(b.visits[l.of], at, l)
	b.visitOf[l.id] = l.of
	stale[l.of] = true
}

// renew works out what depends on what changed, and places it in the lists.
func (b *linkBook) renew(put map[string]model.Feature, struck, stale map[string]bool) {
	touched := b.sheets.Change(maps.Values(put), slices.Collect(maps.Keys(struck)))
	b.renewSections(touched, stale)
	for _, id := range touched {
		if row := b.items[id]; row != nil && !stale[id] && b.usesSheet(&model.Kinds[row.rank], id) {
			before := b.sheets.Did().Sheets
			b.sheets.Sheet(id)
			stale[id] = b.sheets.Did().Sheets != before
		}
	}
	for id, is := range stale {
		if is {
			b.place(id)
		}
	}
}

// renewSections takes over the long sections of the gullies among those touched.
func (b *linkBook) renewSections(touched []string, stale map[string]bool) {
	before := map[string]damNote{}
	note := func(dam string) {
		if _, noted := before[dam]; !noted {
			before[dam] = b.dams[dam]
		}
	}
	for _, id := range touched {
		was := b.gullies[id]
		if was == nil {
			continue
		}
		for _, dam := range was.dams {
			note(dam)
			delete(b.dams, dam)
		}
		if was.row != nil {
			b.sections.remove(was.row)
		}
		delete(b.gullies, id)
	}
	for _, id := range touched {
		section, ok := b.sheets.PropertyFigures().LongSection(id)
		if !ok {
			continue
		}
		shown, notes := linkSectionOf(section, b.hidden, b.heights)
		is := &gullyRow{dams: slices.Collect(maps.Keys(notes))}
		for dam, now := range notes {
			note(dam)
			was := b.dams[dam]
			b.dams[dam] = damNote{was.unchecked || now.unchecked, cmp.Or(now.humpM, was.humpM)}
		}
		if shown != nil {
			is.row = &listRow{id: id, json: shown}
			b.sections.put(is.row)
		}
		b.gullies[id] = is
	}
	for dam, was := range before {
		if b.dams[dam] != was {
			stale[dam] = true
		}
	}
}

// asJSON writes one of the parts of a view, of which all can be written. encoding/json writes
// <, > and & as escapes, so that no text ends the block of the page.
func asJSON(part any) []byte {
	raw, err := json.Marshal(part)
	if err != nil {
		panic(fmt.Sprintf("a part of a shared view: %v", err))
	}
	return raw
}

// place puts the item of a feature into its list, to be written when the list is packed, or
// takes it out.
func (b *linkBook) place(id string) {
	f, ok := b.sheets.Feature(id)
	was := b.items[id]
	if !ok || b.hidden[id] || !sharedKind(f.Kind) {
		if was != nil {
			b.listOf(was).remove(was)
			delete(b.items, id)
			b.watchFor(id, nil)
		}
		return
	}
	row := &listRow{rank: kindRank[f.Kind], name: f.Text("name"), id: id}
	if was != nil && compareRows(was, row) != 0 {
		b.listOf(was).remove(was)
	}
	b.items[id] = row
	b.listOf(row).put(row)
}

// kindRank is the place of each kind in model.Kinds.
var kindRank = func() map[string]int {
	rank := map[string]int{}
	for i, k := range model.Kinds {
		rank[k.Name] = i
	}
	return rank
}()

func (b *linkBook) listOf(row *listRow) *blockList {
	if model.Kinds[row.rank].Work {
		return &b.works
	}
	return &b.others
}

// item works out the item of a feature that is shown; false when it is not.
func (b *linkBook) item(id string) (linkItem, bool) {
	row := b.items[id]
	if row == nil {
		return linkItem{}, false
	}
	f, _ := b.sheets.Feature(id)
	kind := &model.Kinds[row.rank]
	if kind.Work {
		return b.workOf(kind, f), true
	}
	return b.otherOf(kind, f), true
}

// shows reports whether the page shows a photo: of what is shared, or of a visit to it.
func (b *linkBook) shows(sha string) bool {
	return slices.ContainsFunc(b.named[sha], func(id string) bool {
		f, ok := b.sheets.Feature(id)
		return ok && b.items[cmp.Or(b.visitOf[id], id)] != nil && slices.Contains(photoList(f), sha)
	})
}

// write writes the item of a row, and places the sentence about it.
func (b *linkBook) write(row *listRow) error {
	item, ok := b.item(row.id)
	if !ok {
		return fmt.Errorf("item %s is listed and not kept", row.id)
	}
	row.json = asJSON(&item)
	row.sums = sumsOf(model.Kinds[row.rank].Work, &item, b.changedOn[row.id], b.visits[row.id])
	b.watchFor(row.id, &item)
	return nil
}

// watchFor places the sentence about an item at the top of the page, if there is one to say.
func (b *linkBook) watchFor(id string, item *linkItem) {
	if was := b.watched[id]; was != nil {
		was.in.remove(was.row)
		delete(b.watched, id)
	}
	if item == nil || item.State == "" {
		return
	}
	list := &b.watch
	if item.State == dangerState {
		list = &b.hazards
	}
	kind := kindRank[item.Kind]
	rank := kind // of one state works come first, then in the order of the lists
	if !model.Kinds[kind].Work {
		rank += len(model.Kinds)
	}
	if item.State == attentionState {
		rank += 2 * len(model.Kinds)
	}
	row := &listRow{rank: rank, name: item.Name, id: id, json: asJSON(watchOf(item, linkKindOf(&model.Kinds[kind]).Label))}
	b.watched[id] = &watched{list, row}
	list.put(row)
}

// pack writes and packs what changed.
func (b *linkBook) pack() error {
	for _, list := range []*blockList{&b.works, &b.others, &b.watch, &b.hazards, &b.sections} {
		items, blocks, err := list.pack(b.write)
		b.did.Items += items
		b.did.Blocks += blocks
		if err != nil {
			return err
		}
	}
	return nil
}

// view is what is shown, packed: with its lists in it, or their blocks.
func (b *linkBook) view(property string, inBlocks bool) linkView {
	var all itemSums
	for _, list := range []*blockList{&b.works, &b.others} {
		for _, block := range list.blocks {
			all.add(&block.sums)
		}
	}
	v := linkView{Property: linkProperty{Name: property}, LastEntry: all.lastEntry, Inspected: all.inspections(), Done: all.done(), Kinds: all.kindRows()}
	if inBlocks {
		v.Blocks = &listIndexes{b.watch.refs(), b.hazards.refs(), b.works.refs(), b.others.refs(), b.sections.refs()}
		return v
	}
	v.Watch, v.Hazards, v.Works, v.Others, v.Sections = b.watch.text(), b.hazards.text(), b.works.text(), b.others.text(), b.sections.text()
	return v
}

// LinkJSON is what a share link shows of a property, as its page reads it, with all its lists.
func LinkJSON(property string, features iter.Seq2[register.Folded, error]) ([]byte, error) {
	b := newLinkBook()
	if err := b.take(features); err != nil {
		return nil, err
	}
	if err := b.pack(); err != nil {
		return nil, err
	}
	return asJSON(b.view(property, false)), nil
}
