package planning

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"headcut/model"
	"headcut/model/figures"
	"headcut/model/recorded"
	"headcut/model/section"
)

// levelled is what one run levelled along a gully or a track.
type levelled struct {
	figures.LevelledRun
	run     *recorded.Item
	bed     section.Bed // of a gully from its downstream end up, of a track as booked
	fromM   *float64    // what chainages are taken from, of a bed that was booked from the head down
	unfit   string      // why it cannot be used; "" when it can
	doubled int         // levels that share their chainage with another
}

// along reads what the run levelled of these places.
func (l *levelled) along(places ...model.Spot) {
	untaped := 0
	for _, s := range l.Spots {
		switch {
		case !slices.Contains(places, s.Place):
		case s.ChainageM == nil:
			untaped++
		default:
			l.bed = append(l.bed, section.Station{ChainageM: *s.ChainageM, LevelM: s.LevelM})
		}
	}
	if len(l.bed) == 0 && untaped > 0 {
		l.unfit = "its levels have no taped chainage: book the chainage beside each"
		return
	}
	model.SortStable(l.bed, func(a, b section.Station) int { return cmp.Compare(a.ChainageM, b.ChainageM) })
	kept := l.bed[:0]
	for _, s := range l.bed {
		n := len(kept)
		if n == 0 || s.ChainageM-kept[n-1].ChainageM >= section.LeastApartM {
			kept = append(kept, s)
			continue
		}
		l.doubled++
		if math.Abs(s.LevelM-kept[n-1].LevelM) > roughM {
			l.unfit = "it has two levels at chainage " + metres(s.ChainageM) + " that are " + metres2(math.Abs(s.LevelM-kept[n-1].LevelM)) + " m apart: edit its book"
		}
	}
	l.bed = kept
}

// runsAlong lists what level runs say of the feature, the best first. A run that cannot be reduced is
// left out at once.
func (d *drafting) runsAlong(places ...model.Spot) (all []*levelled) {
	read := map[string]bool{}
	for _, run := range d.p.figures.LevelledRuns(d.item.ID) {
		read[run.ID] = true
		l := &levelled{LevelledRun: run, run: d.p.items[run.ID]}
		if l.along(places...); len(l.bed) == 0 && l.unfit == "" {
			continue // it read dams, or a mark on it
		}
		switch {
		case l.run.Unsettled("rows", "perRootKmMm", "perRootSetupMm", "staffLengthM") != "":
			l.unfit = "two people changed its book differently, unseen by each other: settle the clash on the field page"
		case l.unfit == "" && len(l.bed) < 2:
			l.unfit = "it has one level with a chainage, and a profile needs two"
		case l.unfit == "":
			if p, ok := l.bed.Check().(*model.Problem); ok {
				l.unfit = "its levels cannot be calculated with: " + p.Reason
			}
		}
		all = append(all, l)
	}
	for run := range d.p.of("level-run") {
		if read[run.ID] || !strings.Contains(string(run.Fields["rows"]), d.item.ID) {
			continue
		}
		if slices.ContainsFunc(run.LevelRows("rows"), func(row model.LevelRow) bool { return row.Feature == d.item.ID && !row.Struck }) {
			d.leaveOut(run, "its book cannot be reduced yet: edit it on the field page")
		}
	}
	return all
}

// alikeRuns are the runs that one of several requests found, with what it left out of them.
type alikeRuns struct {
	found   []*levelled
	leftOut []LeftOut
}

// alikeRuns are what find gives, which does nothing but leave runs out.
func (d *drafting) alikeRuns(find func(*drafting) []*levelled) []*levelled {
	if d.alike.runs == nil {
		before := len(d.LeftOut)
		found := find(d)
		d.alike.runs = &alikeRuns{found, slices.Clone(d.LeftOut[before:])}
		return found
	}
	d.LeftOut = append(d.LeftOut, d.alike.runs.leftOut...)
	return d.alike.runs.found
}

// called are the run of an id, or those of a name.
func called(all []*levelled, named string) (found []*levelled) {
	named = strings.TrimSpace(named)
	for _, l := range all {
		if l.ID == named {
			return []*levelled{l}
		}
		if strings.EqualFold(l.Name, named) {
			found = append(found, l)
		}
	}
	return found
}

// choose picks the run to use: the one that was asked for, which need not close, else the newest that
// closes. It refuses, and gives nil, where there is none. What it leaves out it says.
func (d *drafting) choose(all []*levelled, what string) *levelled {
	var chosen *levelled
	if d.request.Run != "" {
		named := called(all, d.request.Run)
		if len(named) == 1 {
			chosen = named[0]
		}
		switch {
		case len(named) == 0:
			d.refuse("no level run called %s has levels of %s.", d.request.Run, d.item.Called())
		case chosen == nil:
			ids := model.Each(named, func(l *levelled) string { return l.ID + ofDay(l.ObservedOn) })
			d.refuse("%d level runs of %s are called %s: give the id of one, %s.", len(named), d.item.Called(), d.request.Run, strings.Join(ids, " or "))
		case chosen.unfit != "":
			d.refuse("%s cannot be used: %s.", chosen.Called, chosen.unfit)
		}
	} else {
		chosen, _ = model.Find(all, func(l *levelled) bool { return l.Proven && l.unfit == "" })
	}
	for _, l := range all {
		switch {
		case l == chosen:
		case l.unfit != "":
			d.leaveOut(l.run, "%s", l.unfit)
		case !l.Proven:
			d.leaveOut(l.run, "%s, %s", l.Called, l.Unclosed)
		}
		if l != chosen && l.unfit == "" {
			d.Others = append(d.Others, Offered{l.run.Named(), l.ObservedOn, len(l.bed), l.bed[0].ChainageM, l.bed[len(l.bed)-1].ChainageM})
		}
	}
	switch {
	case len(d.Refused) > 0:
		return nil
	case chosen != nil:
		return chosen
	case len(all) == 0:
		d.refuse("no levels of %s are booked: book %s with a level and staff, chainage beside each level, and close the run.", d.item.Called(), what)
	default:
		d.refuse("no level run along %s can be used as it is: see what was left out. Name one to draft with it before it closes.", d.item.Called())
	}
	return nil
}

// put puts the levels into the input.
func (l *levelled) put(d *drafting, name string) {
	d.in = append(d.in, member{name, d.alike.write(l.bed)})
	if l.fromM != nil {
		d.in.put("turnedAtM", *l.fromM)
	}
	if d.sketch = !l.Proven; d.sketch {
		d.in.put("basis", model.Unproven)
		d.miss("%s, %s. Until then the layout is a sketch, and cannot be adopted.", l.Called, l.Unclosed)
	}
	d.use(l.run, "%s from chainage %s to %s m", count(len(l.bed), "level", "levels"), metres(l.bed[0].ChainageM), metres(l.bed[len(l.bed)-1].ChainageM))
}
