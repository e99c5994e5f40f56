package figures

import (
	"cmp"
	"maps"
	"slices"

	"headcut/model"
)

// addDam takes in a dam, in place of one with its id that was dropped or has not been stood yet.
func (l *PropertyFigures) addDam(d *dam) {
	l.dams[d.id] = d
	if d.upFromM != nil {
		l.above[d.belowID] = append(l.above[d.belowID], d)
	}
}

func (l *PropertyFigures) dropDam(id string) {
	d := l.dams[id]
	if d == nil {
		return
	}
	delete(l.dams, id)
	l.above[d.belowID] = without(l.above[d.belowID], d)
	if d.in != nil {
		d.in.all = without(d.in.all, d)
	}
}

func without(dams []*dam, gone *dam) []*dam {
	return slices.DeleteFunc(dams, func(d *dam) bool { return d == gone })
}

// addThalweg takes in a thalweg, in place of one with its id that was dropped or that no dam stands on yet.
func (l *PropertyFigures) addThalweg(t *thalweg) {
	l.thalwegs[t.id] = t
	if l.near != nil {
		l.near.add(t)
	}
}

func (l *PropertyFigures) dropThalweg(id string) {
	if t := l.thalwegs[id]; t != nil && l.near != nil {
		l.near.drop(t)
	}
	delete(l.thalwegs, id)
}

// stand puts all dams on their thalwegs and pairs neighbours.
func (l *PropertyFigures) stand() {
	l.standAgain(slices.Collect(maps.Values(l.dams)), slices.Collect(maps.Values(l.thalwegs)))
}

// standAgain puts dams on their thalwegs and pairs neighbours where something changed: these
// dams and thalwegs, and whatever rests on them, which is a gully with its dams, and dams that
// were taped from those. It returns the ids of all of them.
func (l *PropertyFigures) standAgain(dams []*dam, thalwegs []*thalweg) []string {
	in := map[string]*thalweg{}
	reached := map[string]*dam{}
	reach := func(t *thalweg) {
		if t != nil && l.thalwegs[t.id] == t && in[t.id] == nil {
			in[t.id] = t
			t.dams, t.pairs = nil, nil
			dams = append(dams, t.all...)
		}
	}
	for _, t := range thalwegs {
		reach(t)
	}
	for len(dams) > 0 {
		d := dams[len(dams)-1]
		dams = dams[:len(dams)-1]
		if d == nil || reached[d.id] != nil || l.dams[d.id] != d {
			continue
		}
		reached[d.id] = d
		before := d.in
		l.place(d)
		reach(before)
		reach(d.in)
		dams = append(append(dams, l.tapedFrom(d)), l.above[d.id]...)
	}
	ids := model.Keys(reached)
	l.did.Stood += len(ids)
	for _, id := range ids {
		d := reached[id]
		d.settle(l.spots[id])
		d.nextBefore, d.next, d.below = d.next, nil, nil
		if d.at = nil; d.stood != nil {
			d.in.dams = append(d.in.dams, d)
		}
	}
	for _, t := range in {
		l.turn(t)
		model.SortStable(t.dams, func(a, b *dam) int { return cmp.Compare(a.at.chainageM, b.at.chainageM) })
		var below *dam
		for _, d := range t.dams {
			if d.gone() || d.onPaper() {
				continue
			}
			if below != nil {
				l.pair(below, d, t.between(below, d))
				t.pairs = append(t.pairs, below.next)
			}
			below = d
		}
	}
	l.pairLoose(ids)
	return slices.AppendSeq(ids, maps.Keys(in))
}

// place finds a dam on its thalweg, unless it stands there already.
func (l *PropertyFigures) place(d *dam) {
	t := l.thalwegOf(d)
	if t == d.in {
		return
	}
	if d.in != nil {
		d.in.all = without(d.in.all, d)
	}
	if d.in, d.stood = t, nil; t != nil {
		t.all = append(t.all, d)
		d.stands(t)
		l.did.Places++
	}
}

// thalwegOf is where a dam is said to stand, else the one it stands nearest to, when its fix
// lies near enough to any.
func (l *PropertyFigures) thalwegOf(d *dam) *thalweg {
	if d.thalweg != "" || !d.hasFix {
		return l.thalwegs[d.thalweg]
	}
	if l.near == nil {
		l.near = grid{}
		for _, t := range l.thalwegs {
			l.near.add(t)
		}
	}
	return l.near.find(d.fix)
}

// mayHold lists the dams that may stand in one of some thalwegs which are new, or have moved.
func (l *PropertyFigures) mayHold(thalwegs map[string]*thalweg) (dams []*dam) {
	if len(thalwegs) == 0 {
		return nil
	}
	for _, d := range l.dams {
		if d.thalweg != "" || !d.hasFix {
			if thalwegs[d.thalweg] != nil {
				dams = append(dams, d)
			}
		} else if l.near != nil && slices.ContainsFunc(l.near[cellOf(d.fix)], func(t *thalweg) bool { return thalwegs[t.id] == t }) {
			dams = append(dams, d)
		}
	}
	return dams
}
