package planning

import (
	"encoding/json"
	"fmt"
	"slices"

	"headcut/model"
	"headcut/model/grazing"
	"headcut/model/jsonvalue"
	"headcut/model/recorded"
)

// leastCuts are the quadrats of a transect at the least (MLA, pasture cuts and estimations; looked up).
const leastCuts = 5

// forage drafts a forage budget of a paddock: its area by the boundary, the feed of the newest pasture
// assessments, the residual that was set, the stock that are in it and the ground cover.
func (d *drafting) forage() {
	d.refuseUnsettled(d.item, "geometry", "residualKgHa", "utilisationPct", "utilisationOf", "coverTargetPct")
	d.use(d.item, "the paddock")
	if area, ok := d.p.figures.Of(d.item.Feature).Figure("areaM2"); ok {
		d.feed(area)
	} else {
		d.refuse("%s has no area: walk or draw its boundary, closed and not crossing itself.", d.item.Called())
	}
	d.ofPaddock("residualKgHa", "the residual to leave on %s is not set: record it on the paddock, or give residualKgHa.")
	d.utilisation()
	if !d.has("detachmentPct", "detachmentPer30DaysPct") {
		d.refuse("what falls, blows away and is trampled is not known: give detachmentPct over the whole time, or detachmentPer30DaysPct.")
	}
	if !d.has("ratings", "intakeKgDay") {
		d.refuse("what the stock eat is not known: give ratings, or intakeKgDay for each adult equivalent.")
	}
	if !d.has("mobs") {
		d.stock()
	}
	if !d.has("coverPct") {
		d.groundCover()
	}
}

// has tells whether the request gives any of these.
func (d *drafting) has(names ...string) bool {
	return slices.ContainsFunc(names, func(name string) bool { return d.request.Given[name] != nil })
}

// ofPaddock puts in a number that was set for the paddock and is not given.
func (d *drafting) ofPaddock(name, lacking string) {
	if d.has(name) {
		return
	}
	if v, ok := d.item.Number(name); ok {
		d.in.put(name, v)
	} else {
		d.refuse(lacking, d.item.Called())
	}
}

// utilisation is the share that was set for the paddock; none is needed.
func (d *drafting) utilisation() {
	pct, set := d.item.Number("utilisationPct")
	if !set || d.has("utilisationPct") {
		return
	}
	of := d.item.Text("utilisationOf")
	switch {
	case of == "":
		d.refuse("the utilisation of %s is %v %%, and not of what: record whether it is of the standing feed or of a year's growth.", d.item.Called(), pct)
	case of == "growth" && !d.has("yearGrowthKgHa"):
		d.refuse("the utilisation of %s is a share of a year's growth: give yearGrowthKgHa.", d.item.Called())
	default:
		d.in.put("utilisationPct", pct)
		d.in.put("utilisationOf", of)
	}
}

// landFeed is the whole paddock as one land type, in the words of forage-budget.
type landFeed struct {
	AreaHa          float64   `json:"areaHa"`
	AreaPlusMinusHa *float64  `json:"areaPlusMinusHa,omitempty"`
	Quadrats        *quadrats `json:"quadrats,omitempty"`
	PhotosKgHa      []float64 `json:"photosKgHa,omitempty"`
}

type quadrats struct {
	FrameM2      float64   `json:"frameM2"`
	CutsG        []float64 `json:"cutsG"`
	Dried        bool      `json:"dried,omitempty"`
	DryMatterPct *float64  `json:"dryMatterPct,omitempty"`
}

// feed puts in the area and the newest feed on offer.
func (d *drafting) feed(area model.Figure) {
	land := landFeed{AreaHa: area.Value / 1e4}
	if area.PlusMinus != nil {
		land.AreaPlusMinusHa = new(*area.PlusMinus / 1e4)
	}
	refused := len(d.Refused)
	newest := d.assessments()
	if len(newest) == 0 {
		if len(d.Refused) == refused {
			d.refuse("no feed has been cut in %s: cut and dry at least %d quadrats, or read photo standards, and record them as a pasture assessment.", d.item.Called(), leastCuts)
		}
		return
	}
	first := feedIn(newest[0])
	var unpalatable []float64
	for _, item := range newest {
		feed := feedIn(item)
		if !feed.joins(first) {
			d.leaveOut(item, "%s was assessed otherwise on that day, by %s", newest[0].Called(), first.how())
			continue
		}
		d.use(item, "feed on offer by %s", feed.how())
		if pct, ok := item.Number("unpalatablePct"); ok {
			unpalatable = append(unpalatable, pct)
		}
		if q := feed.Quadrats; q != nil && land.Quadrats != nil {
			land.Quadrats.CutsG = append(land.Quadrats.CutsG, q.CutsG...)
		} else if q != nil {
			land.Quadrats = q
		}
		land.PhotosKgHa = append(land.PhotosKgHa, feed.PhotosKgHa...)
	}
	if q := land.Quadrats; q != nil {
		if !q.Dried && q.DryMatterPct == nil && !d.has("dryMatterPct", "drySamples") {
			d.refuse("the cuts of %s were weighed fresh: dry a sample, and record its dry matter or give drySamples.", newest[0].Called())
		}
		if n := len(q.CutsG); n < leastCuts {
			d.miss("%s cut on %s: cut at least %d in each transect.", count(n, "quadrat was", "quadrats were"), model.DayInWords(newest[0].Text("observedOn")), leastCuts)
		}
	}
	switch sum := 0.0; {
	case d.has("unpalatablePct"):
	case len(unpalatable) == 0:
		d.refuse("what of the feed stock leave is not recorded: record the unpalatable share with %s, or give unpalatablePct.", newest[0].Called())
	default:
		for _, pct := range unpalatable {
			sum += pct
		}
		d.in.put("unpalatablePct", sum/float64(len(unpalatable)))
	}
	d.in.put("landTypes", []landFeed{land})
	d.ungrazed()
}

// ungrazed says what lies in the paddock and carries no feed, or is closed to stock: nobody knows how much
// of the paddock it takes, as it may lie across the fence.
func (d *drafting) ungrazed() {
	for item := range d.p.of("scald", "exclosure", "revegetation") {
		if item.Geometry == nil || item.Kind != "scald" && item.Status() != model.Built {
			continue
		}
		if holds(d.item.Geometry, item.Geometry.Bound().Center()) {
			d.leaveOut(item, "it lies in the paddock and is counted as grazed: take its area off the boundary where stock do not feed on it")
		}
	}
}

// feedIn is what an assessment found.
func feedIn(item *recorded.Item) (f landFeed) {
	frameM2, framed := item.Number("frameM2")
	dry, fresh := numbers(item, "dryCutsG"), numbers(item, "freshCutsG")
	switch {
	case framed && len(dry) > 0:
		f.Quadrats = &quadrats{FrameM2: frameM2, CutsG: dry, Dried: true}
	case framed && len(fresh) > 0:
		f.Quadrats = &quadrats{FrameM2: frameM2, CutsG: fresh}
		if pct, ok := item.Number("dryMatterPct"); ok {
			f.Quadrats.DryMatterPct = &pct
		}
	default:
		f.PhotosKgHa = numbers(item, "photosKgHa")
	}
	return f
}

// joins tells whether two were cut and weighed alike, so that their quadrats are one sample.
func (f landFeed) joins(other landFeed) bool {
	a, b := f.Quadrats, other.Quadrats
	if a == nil || b == nil {
		return a == b
	}
	alike := (a.DryMatterPct == nil) == (b.DryMatterPct == nil) && (a.DryMatterPct == nil || *a.DryMatterPct == *b.DryMatterPct)
	return a.FrameM2 == b.FrameM2 && a.Dried == b.Dried && alike
}

func (f landFeed) how() string {
	if q := f.Quadrats; q != nil && q.Dried {
		return count(len(q.CutsG), "dried quadrat", "dried quadrats")
	} else if q != nil {
		return count(len(q.CutsG), "quadrat", "quadrats") + " weighed fresh"
	}
	return "photo standards at " + count(len(f.PhotosKgHa), "place", "places")
}

// numbers are those of a list that are known.
func numbers(item *recorded.Item, field string) (known []float64) {
	var all []*float64
	_ = jsonvalue.Unmarshal(item.Fields[field], &all) // what is no list the register refused
	for _, v := range all {
		if v != nil {
			known = append(known, *v)
		}
	}
	return known
}

// inPaddock tells whether a record is of a paddock: as it says, else by where it lies.
func inPaddock(item *recorded.Item, paddock *recorded.Item) bool {
	if named := item.Text("paddock"); named != "" {
		return named == paddock.ID
	}
	return holds(paddock.Geometry, item.Geometry)
}

// assessments are those of the newest day on which feed was assessed.
func (d *drafting) assessments() (newest []*recorded.Item) {
	for item := range d.p.of("pasture-assessment") {
		if !inPaddock(item, d.item) || d.refuseUnsettled(item, "paddock", "observedOn", "frameM2", "dryCutsG", "freshCutsG", "dryMatterPct", "photosKgHa", "unpalatablePct") {
			continue
		}
		feed := feedIn(item)
		switch day := item.Text("observedOn"); {
		case feed.Quadrats == nil && len(feed.PhotosKgHa) == 0:
			d.leaveOut(item, "it has neither weights of cuts with the ground inside their frame, nor what was read off photo standards")
		case day == "":
			d.leaveOut(item, "its day is not known")
		case len(newest) == 0 || day == newest[0].Text("observedOn"):
			newest = append(newest, item)
		case day > newest[0].Text("observedOn"):
			for _, older := range newest {
				d.leaveOut(older, "%s is newer", item.Called())
			}
			newest = []*recorded.Item{item}
		default:
			d.leaveOut(item, "%s is newer", newest[0].Called())
		}
	}
	model.SortStable(newest, func(a, b *recorded.Item) int { return len(numbers(b, "dryCutsG")) - len(numbers(a, "dryCutsG")) })
	return newest
}

type mob struct {
	Name         string   `json:"name,omitempty"`
	Head         float64  `json:"head"`
	Class        string   `json:"class,omitempty"`
	UnitsPerHead *float64 `json:"unitsPerHead,omitempty"`
}

// stocked yields the stocking records of a paddock that nobody ended.
func (p *Property) stocked(paddock *recorded.Item) (in []*recorded.Item) {
	for item := range p.of("stocking") {
		if item.Text("paddock") == paddock.ID && item.Text("stockOutOn") == "" {
			in = append(in, item)
		}
	}
	return in
}

// stock puts in the mobs that are in the paddock.
func (d *drafting) stock() {
	var mobs []mob
	var rested *recorded.Item
	for _, item := range d.p.stocked(d.item) {
		if d.refuseUnsettled(item, "paddock", "head", "class", "adultEquivalents", "stockInOn", "stockOutOn") {
			return
		}
		head, ok := item.Number("head")
		switch {
		case !ok:
			d.refuse("%s%s has no head: record how many are in the paddock.", item.Called(), ofDay(item.Text("stockInOn")))
		case head == 0:
			rested = item
			d.use(item, "rested%s", since(item))
		default:
			if m, ok := d.mob(item, head); ok {
				mobs = append(mobs, m)
				d.use(item, "%.0f head in the paddock%s", head, since(item))
			}
		}
	}
	switch {
	case rested != nil && len(mobs) > 0:
		d.refuse("%s says that %s is rested%s, and stock are in it too: record when they went out, or when the rest ended.", rested.Called(), d.item.Called(), since(rested))
	case len(mobs) > 0:
		d.in.put("mobs", mobs)
	case rested == nil && len(d.Refused) == 0:
		d.miss("no stock are recorded in %s now: the answer is for how many would fit.", d.item.Called())
	}
}

func since(item *recorded.Item) string {
	if day := item.Text("stockInOn"); day != "" {
		return " since " + model.DayInWords(day)
	}
	return ""
}

// mob is a record in adult equivalents, or in the class of the ratings that the request names: those of
// one table go with its own intake.
func (d *drafting) mob(item *recorded.Item, head float64) (mob, bool) {
	var name string
	_ = jsonvalue.Unmarshal(d.request.Given["ratings"], &name) // what is no name the computation refuses
	ratings, rated := grazing.RatingsNamed(name)
	m := mob{Name: item.Text("name"), Head: head, Class: item.Text("class")}
	if _, wrong := ratings.UnitsPerHead(m.Class); rated && wrong == nil {
		return m, true
	}
	each, known := item.Number("adultEquivalents")
	if m.Class = ""; known && each > 0 && (!rated || ratings.Unit == "adult equivalent") {
		m.UnitsPerHead = &each
		return m, true
	}
	d.refuse("what %s of %.0f head counts for is not recorded: record its adult equivalents a head, or a class of the ratings that are given.", item.Called(), head)
	return m, false
}

// forageChanged tells which records of a paddock a plan would rest on now, and does not.
func (p *Property) forageChanged(plan *recorded.Item, used map[string]bool) (all []BaseChange) {
	paddock := p.items[plan.Text("of")]
	if paddock == nil {
		return nil
	}
	now := &drafting{p: p, item: paddock}
	for _, item := range append(now.assessments(), p.stocked(paddock)...) {
		if !used[item.ID] {
			all = append(all, BaseChange{item.ID, item.Called() + ofDay(item.Text("observedOn")) + " was recorded since, or was not used."})
		}
	}
	return all
}

// coverOf says how the cover compares with its target.
func coverOf(_ *Draft, answer json.RawMessage) []string {
	var out struct {
		Cover *struct {
			CoverPct  float64 `json:"coverPct"`
			TargetPct float64 `json:"targetPct"`
			Meets     string  `json:"meets"`
		} `json:"cover"`
	}
	if jsonvalue.Unmarshal(answer, &out) != nil || out.Cover == nil {
		return nil
	}
	meets := "the readings cannot tell whether it is met"
	switch out.Cover.Meets {
	case "yes":
		meets = "it is met"
	case "no":
		meets = "it is not met"
	}
	return []string{fmt.Sprintf("Ground cover is %.0f %%, and %v %% is the target: %s.", out.Cover.CoverPct, out.Cover.TargetPct, meets)}
}

func init() {
	planned[Forage] = planner{computation: "forage-budget", kinds: []string{"paddock"}, recorded: []string{"landTypes"}, on: "for a paddock", called: "Forage budget of ",
		draft: (*drafting).forage, says: coverOf, changed: (*Property).forageChanged}
}
