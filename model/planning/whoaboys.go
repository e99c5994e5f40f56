package planning

import (
	"cmp"
	"math"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/figures"
	"headcut/model/jsonvalue"
	"headcut/model/section"
	"headcut/model/track"
)

// whoaBoys drafts where whoa-boys go along a track or fence.
func (d *drafting) whoaBoys() {
	d.refuseUnsettled(d.item, "geometry")
	var used *levelled
	runs := d.trackRuns()
	for _, l := range runs {
		if l.unfit != "" {
			continue
		}
		points := model.Each(l.bed, func(s section.Station) section.Point { return section.Point{ChainageM: &s.ChainageM, LevelM: s.LevelM} })
		if _, err := track.New(points); err != nil {
			l.unfit = "its levels are of no track: " + err.Error()
		}
	}
	if used = d.choose(runs, "the middle of it"); used == nil {
		return
	}
	used.put(d, "track")
	d.spacings()
	d.placeTrack(used)
	d.besideTrack(used)
	d.banksThere(used)
}

// trackRuns are the level runs along the track, those that levelled it before those in which whoa-boys
// were pegged on it and no more; where there is neither, the levels of the whoa-boys themselves.
func (d *drafting) trackRuns() []*levelled {
	runs := d.runsAlong(model.BedSpot, model.PegSpot, "")
	if len(runs) == 0 {
		return d.pegged()
	}
	model.SortStable(runs, func(a, b *levelled) int { return cmp.Compare(rank(a), rank(b)) })
	return runs
}

func rank(l *levelled) int {
	switch {
	case !l.Proven:
		return 2
	case pegsAlone(l.LevelledRun):
		return 1
	}
	return 0
}

// banksThere are the banks of the track that are proposed, pegged or built. The layout goes on from those that are
// pegged or built.
func (d *drafting) banksThere(used *levelled) {
	var standing []float64
	for bank := range d.p.of("whoa-boy") {
		status := bank.Status()
		if bank.Text("track") != d.item.ID || status == model.Failed || status == model.Removed {
			continue
		}
		stands := status != model.Proposed
		if stands && d.refuseUnsettled(bank, "track", "chainageM", "status") {
			continue
		}
		atM, ok := bank.Number("chainageM")
		switch atM = d.frame.fromTop(atM); {
		case !ok && stands:
			d.miss("where along %s %s stands: tape its chainage. Until then the layout goes without it.", d.item.Called(), bank.Called())
		case stands && (atM < used.bed[0].ChainageM || atM > used.bed[len(used.bed)-1].ChainageM):
			d.leaveOut(bank, "it is at chainage %s, where the track of the run used was not levelled", metres(atM))
		case ok && bank.Unsettled("track", "chainageM", "status") == "":
			d.existing = append(d.existing, existing{item: bank, atM: atM, stands: stands})
			if stands {
				standing = append(standing, atM)
				d.use(bank, "it is %s at chainage %s: the layout goes on from it", status, metres(atM))
			}
		}
	}
	if len(standing) > 0 && !d.has("standingM") {
		d.in.put("standingM", standing)
	}
}

// pegged are the levels at which whoa-boys of the track were pegged, of each run by itself: all there
// is where nobody booked the track. Their chainages run down from its upper end.
func (d *drafting) pegged() (all []*levelled) {
	byRun := map[string]*levelled{}
	for bank := range d.p.of("whoa-boy") {
		atM, taped := bank.Number("chainageM")
		levelM, pegged := bank.Number("levelM")
		if bank.Text("track") != d.item.ID || !taped || !pegged || d.refuseUnsettled(bank, "track", "chainageM", "levelM", "levelRun") {
			continue
		}
		if bank.Basis("chainageM") != model.Taped && bank.Basis("chainageM") != model.Levelled {
			d.leaveOut(bank, "its chainage is not taped")
			continue
		}
		id := bank.Text("levelRun")
		run := d.p.items[id]
		if run == nil || run.Struck || len(d.p.figures.Of(bank.Feature).Unproven()) > 0 {
			d.leaveOut(bank, "its level is not checked by a closed level run")
			continue
		}
		if byRun[id] == nil {
			byRun[id] = &levelled{run: run, LevelledRun: figures.LevelledRun{ID: id, Name: run.Text("name"), ObservedOn: run.Text("observedOn"), Called: "the pegs of " + run.Called(), Proven: true}}
			all = append(all, byRun[id])
		}
		byRun[id].Spots = append(byRun[id].Spots, figures.LevelledSpot{Place: model.PegSpot, ChainageM: &atM, LevelM: levelM, PlusMinusM: section.StaffPlusMinusM})
	}
	for _, l := range all {
		if l.along(model.PegSpot); l.unfit == "" && len(l.bed) < 2 {
			l.unfit = "one whoa-boy was pegged in it, and a fall needs two"
		}
	}
	model.SortStable(all, func(a, b *levelled) int { return cmp.Compare(b.ObservedOn, a.ObservedOn) })
	return all
}

// spacings are whose table the property goes by, unless the request names one.
func (d *drafting) spacings() {
	for _, name := range []string{"table", "rows"} {
		if _, given := d.request.Given[name]; given {
			return
		}
	}
	s := d.p.settings()
	if s == nil || s.Text("whoaBoyTable") == "" {
		d.refuse("no spacing table is chosen for this property: choose one on the field page, as Spacing table. The office can name table and soil for one plan alone.")
		return
	}
	if d.refuseUnsettled(s, "whoaBoyTable", "whoaBoySoil", "whoaBoyRows", "whoaBoySource") {
		return
	}
	table := s.Text("whoaBoyTable")
	d.in.put("table", table)
	what := "the spacing table " + table
	if table == "local" {
		if s.Fields["whoaBoyRows"] == nil {
			d.refuse("the property goes by a local spacing table, and its rows are not there: enter them on the field page, as Local table.")
			return
		}
		d.in = append(d.in, member{"rows", s.Fields["whoaBoyRows"]})
		if source := s.Text("whoaBoySource"); source != "" {
			d.in.put("rowsSource", source)
		}
	} else if soil := s.Text("whoaBoySoil"); soil != "" {
		d.in.put("soil", soil)
		what += ", " + soil
	}
	d.useSettings(s, what)
}

// placeTrack finds where along the line chainages lie: as the request says, else by banks that have
// both a position and a taped chainage.
func (d *drafting) placeTrack(used *levelled) {
	d.frame.take(d.item.Geometry)
	f := &d.frame
	lastM := used.bed[len(used.bed)-1].ChainageM
	d.frame.falls = used.bed[0].LevelM >= used.bed[len(used.bed)-1].LevelM
	d.frame.lastM = lastM
	if f.line == nil {
		d.noLine("whoa-boys")
		d.use(d.item, "what is planned along")
		return
	}
	switch d.request.ZeroAt {
	case zeroAtStart:
		f.known = true
	case zeroAtEnd:
		f.known, f.down, f.atFirstM = true, true, f.lengthM
	default:
		d.tieTrack()
	}
	if !f.known {
		d.miss("which end of the line of %s is chainage 0: say so, and planned whoa-boys get a position.", d.item.Called())
	}
	d.use(d.item, "what is planned along")
}

// The ends of a line at which chainage 0 may be.
const (
	zeroAtStart = "start of the line"
	zeroAtEnd   = "end of the line"
)

// tieTrack matches the line by banks on it. Two that agree better by half one way than the other
// decide it.
func (d *drafting) tieTrack() {
	f := &d.frame
	var alongs, chainages []float64
	for bank := range d.p.of("whoa-boy") {
		atM, ok := bank.Number("chainageM")
		if !ok || bank.Text("track") != d.item.ID || bank.Basis("chainageM") != model.Taped || bank.Unsettled("track", "chainageM", "geometry") != "" {
			continue
		}
		if place, _, on := f.snap(middle(bank.Geometry)); on && place.OffsetM <= track.MaxAsideM {
			alongs, chainages = append(alongs, place.ChainageM), append(chainages, f.fromTop(atM))
		}
	}
	if len(alongs) < 2 {
		return
	}
	misfit := func(sign float64) (atFirstM, off float64) {
		for i := range alongs {
			atFirstM += (chainages[i] - sign*alongs[i]) / float64(len(alongs))
		}
		for i := range alongs {
			off += math.Abs(chainages[i] - sign*alongs[i] - atFirstM)
		}
		return atFirstM, off
	}
	rise, riseOff := misfit(1)
	fall, fallOff := misfit(-1)
	switch {
	case 2*riseOff < fallOff:
		f.known, f.atFirstM = true, rise
	case 2*fallOff < riseOff:
		f.known, f.down, f.atFirstM = true, true, fall
	}
}

// middle is the position a bank stands at: its point, or the middle between the ends of its line.
func middle(g orb.Geometry) orb.Point {
	switch g := g.(type) {
	case orb.Point:
		return g
	case orb.LineString:
		if n := len(g); n > 0 {
			return orb.Point{(g[0][0] + g[n-1][0]) / 2, (g[0][1] + g[n-1][1]) / 2}
		}
	}
	return orb.Point{math.NaN(), math.NaN()}
}

// nearTrackM is how far past the clearance of an outlet a gully head is looked for. Common practice,
// no source: water runs on from where it is let out.
const nearTrackM = 70

type headBeside struct {
	Name       string   `json:"name"`
	ChainageM  float64  `json:"chainageM"`
	OffsetM    float64  `json:"offsetM"`
	PlusMinusM *float64 `json:"plusMinusM,omitempty"`
}

// besideTrack are the gully heads near the track, unless the request gives them. No side is given, so
// that both are kept clear; where nobody knows which end chainage 0 is at, both places are.
func (d *drafting) besideTrack(used *levelled) {
	if _, given := d.request.Given["gullyHeads"]; given || d.frame.line == nil {
		return
	}
	clearM := float64(track.ClearanceM)
	if raw, given := d.request.Given["clearanceM"]; given {
		_ = jsonvalue.Unmarshal(raw, &clearM) // what is no number the computation refuses
	}
	var heads []headBeside
	for head := range d.p.of("gully-head") {
		fix, isPoint := head.Geometry.(orb.Point)
		if !isPoint {
			continue
		}
		place, atM, ok := d.frame.snap(fix)
		if !ok || place.OffsetM > clearM+nearTrackM || d.refuseUnsettled(head, "geometry") {
			continue
		}
		chainages := []float64{atM}
		if !d.frame.known {
			chainages = []float64{place.ChainageM, d.frame.lengthM - place.ChainageM}
		}
		for _, m := range chainages {
			m = min(max(m, used.bed[0].ChainageM), used.bed[len(used.bed)-1].ChainageM)
			one := headBeside{Name: head.Called(), ChainageM: m, OffsetM: place.OffsetM}
			if accuracyM := accuracyOf(head); accuracyM > 0 {
				one.PlusMinusM = &accuracyM
			}
			heads = append(heads, one)
		}
		d.use(head, "a head %.0f m off: no water is let out near it, on either side", place.OffsetM)
	}
	if len(heads) > 0 {
		d.in.put("gullyHeads", heads)
	}
}
