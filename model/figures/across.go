package figures

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"headcut/model"
	"headcut/model/section"
)

// SameChainageM is how near to each other two chainages are one place on a gully's bed: what a tape can
// err. NearDamM is how far from a dam a cross-section still tells how wide the gully is there. Common
// practice, no source.
const (
	SameChainageM = 2 * section.TapePlusMinusM
	NearDamM      = 10
)

// CrossSection is a gully across its bed as one level run has it, from the left wall to the right, looking
// downstream.
type CrossSection struct {
	Feature string   `json:"feature,omitempty"` // id of the cross-section; "" of one that its chainage alone tells
	Name    string   `json:"name,omitempty"`
	Thalweg string   `json:"thalweg,omitempty"`   // id of the gully; "" not known
	BookedM *float64 `json:"bookedM,omitempty"`   // chainage as booked
	UpM     *float64 `json:"chainageM,omitempty"` // the same up the gully from its downstream end; nil: not known

	Run        string `json:"run,omitempty"` // id of the level run
	RunName    string `json:"runName,omitempty"`
	ObservedOn string `json:"observedOn,omitempty"` // of the run
	Proven     bool   `json:"proven"`               // the run closes

	Points  []AcrossPoint `json:"points"`
	Brink   *AcrossFill   `json:"brink,omitempty"`   // up to the lower of its two ends; nil: the notes say why
	Notches []DamNotch    `json:"notches,omitempty"` // up to the crests of the dams near it
	Notes   []string      `json:"notes"`

	fill section.Fill // of Brink
}

// AcrossPoint is a levelled point of a cross-section.
type AcrossPoint struct {
	OffsetM float64 `json:"offsetM"` // from the thalweg: left negative, right positive
	LevelM  float64 `json:"levelM"`
}

// AcrossFill is what lies below a level. A ± that is not known is absent.
type AcrossFill struct {
	LevelM          float64  `json:"levelM"`
	DepthM          float64  `json:"depthM"`
	DepthPlusMinusM *float64 `json:"depthPlusMinusM,omitempty"`
	WidthM          float64  `json:"widthM"`
	WidthPlusMinusM *float64 `json:"widthPlusMinusM,omitempty"`
	AreaM2          float64  `json:"areaM2"`
	AreaPlusMinusM2 *float64 `json:"areaPlusMinusM2,omitempty"`
}

// DamNotch is what lies below the lowest part of a dam's crest.
type DamNotch struct {
	Dam    string  `json:"dam"` // id
	Name   string  `json:"name,omitempty"`
	ApartM float64 `json:"apartM"` // how far along the gully

	Planned bool `json:"planned,omitempty"` // its crest is to be built to that level, and is not levelled
	AcrossFill
}

// across is a cross-section that was marked.
type across struct {
	id, name, thalweg string
	bookedM           *float64
}

func newAcross(f model.Feature) *across {
	a := &across{id: f.ID, name: f.Text("name"), thalweg: f.Text("thalweg")}
	if m, ok := f.Number("chainageM"); ok {
		a.bookedM = &m
	}
	return a
}

// CrossSection is that of a feature; false when no run that can be reduced has levels of it.
func (l *PropertyFigures) CrossSection(id string) (CrossSection, bool) {
	c, r, ok := l.marked(id)
	if ok {
		l.alongGully(&c, r)
	}
	return c, ok
}

// marked is a cross-section by its own rows alone, with their run: what its sheet rests on.
func (l *PropertyFigures) marked(id string) (CrossSection, *run, bool) {
	a := l.across[id]
	if a == nil {
		return CrossSection{}, nil, false
	}
	spots := slices.DeleteFunc(slices.Clone(l.spots[id]), func(s *spot) bool { return s.place != model.SectionSpot })
	if len(spots) == 0 {
		return CrossSection{}, nil, false
	}
	c := CrossSection{Feature: id, Name: a.name, Thalweg: a.thalweg, BookedM: a.bookedM}
	r := l.draw(&c, spots)
	return c, r, true
}

// CrossSections lists those that were levelled, gully by gully and up each: those that were marked, and those that
// were booked on a thalweg by their chainage.
func (l *PropertyFigures) CrossSections() []CrossSection {
	var all []CrossSection
	for _, id := range model.Keys(l.across) {
		if c, ok := l.CrossSection(id); ok {
			all = append(all, c)
		}
	}
	for _, id := range model.Keys(l.thalwegs) {
		all = append(all, l.acrossThalweg(id)...)
	}
	model.SortStable(all, func(a, b CrossSection) int {
		return cmp.Or(cmp.Compare(a.Thalweg, b.Thalweg), cmp.Compare(orInfinite(a.UpM), orInfinite(b.UpM)), cmp.Compare(a.Feature, b.Feature))
	})
	return all
}

func orInfinite(m *float64) float64 {
	if m == nil {
		return math.Inf(1)
	}
	return *m
}

// acrossThalweg are the cross-sections that were booked on a thalweg itself, each at its chainage.
func (l *PropertyFigures) acrossThalweg(id string) (all []CrossSection) {
	var spots []*spot
	for _, s := range l.spots[id] {
		if s.place == model.SectionSpot && s.chainageM != nil {
			spots = append(spots, s)
		}
	}
	model.SortStable(spots, func(a, b *spot) int { return cmp.Compare(*a.chainageM, *b.chainageM) })
	for len(spots) > 0 {
		first, n := *spots[0].chainageM, 1
		for n < len(spots) && *spots[n].chainageM-first <= SameChainageM {
			n++
		}
		c := CrossSection{Thalweg: id, BookedM: &first}
		l.alongGully(&c, l.draw(&c, spots[:n]))
		all = append(all, c)
		spots = spots[n:]
	}
	return all
}

// draw makes a cross-section of its levels: those of the best run, as a bed moves from year to year.
func (l *PropertyFigures) draw(c *CrossSection, spots []*spot) *run {
	c.Notes, c.Points = []string{}, []AcrossPoint{}
	runs := runsAt(spots, model.SectionSpot)
	best := runs[0]
	c.Run, c.RunName, c.ObservedOn, c.Proven = best.id, best.name, best.observedOn, best.proven
	points, without := [][2]float64{}, 0
	for _, s := range spots {
		switch {
		case s.run != best:
		case s.offsetM == nil:
			without++
		default:
			points = append(points, [2]float64{*s.offsetM, s.levelM})
			if c.BookedM == nil {
				c.BookedM = s.chainageM
			} else if s.chainageM != nil && math.Abs(*s.chainageM-*c.BookedM) > SameChainageM {
				c.note("A row has it at chainage %.1f m and it is said to lie at %.1f m: edit the wrong one.", *s.chainageM, *c.BookedM)
			}
		}
	}
	if without > 0 {
		c.note("%d of its levels have no offset and were left out.", without)
	}
	if len(runs) > 1 {
		c.note("%d other level runs have it too and were left out: %s is the newest%s.", len(runs)-1, best.called(), map[bool]string{true: " that closes"}[best.proven])
	}
	if !best.proven {
		c.note("Its%s", notChecked)
	}
	if c.BookedM != nil {
		points = l.withBed(points, c, best)
	}
	points = alongGround(points)
	for _, p := range points {
		c.Points = append(c.Points, AcrossPoint{p[0], p[1]})
	}
	a := section.NewAcross(points)
	if p := section.CheckAcross(a, section.LevelledAndTaped); p != nil {
		c.note("It %s: %s.", p.Reason, p.Fix)
		return best
	}
	at, heightM := a.Brink()
	c.fill = a.Fill(heightM, at, qualityOf(best))
	c.Brink = new(fillOf(points[at][1], c.fill))
	return best
}

func (c *CrossSection) note(text string, args ...any) {
	c.Notes = append(c.Notes, fmt.Sprintf(text, args...))
}

// qualityOf is how well a run levels, and a tape beside it: of one that does not close nobody knows.
func qualityOf(r *run) section.Quality {
	q := section.LevelledAndTaped
	if !r.proven {
		q.Basis, q.LevelPlusMinusM = model.Unproven, -1
	}
	return q
}

func fillOf(levelM float64, f section.Fill) AcrossFill {
	return AcrossFill{levelM, f.DepthM, model.Known(f.DepthPlusMinusM), f.WidthM, model.Known(f.WidthPlusMinusM), f.AreaM2, model.Known(f.AreaPlusMinusM2)}
}

// withBed takes the bed that the run booked at the chainage for the point at offset 0, where that was not booked
// as one.
func (l *PropertyFigures) withBed(points [][2]float64, c *CrossSection, r *run) [][2]float64 {
	if len(points) == 0 || slices.ContainsFunc(points, func(p [2]float64) bool { return p[0] == 0 }) {
		return points
	}
	for _, s := range l.spots[c.Thalweg] {
		if s.run == r && s.place == model.BedSpot && s.chainageM != nil && math.Abs(*s.chainageM-*c.BookedM) <= SameChainageM {
			return append(points, [2]float64{0, s.levelM})
		}
	}
	return points
}

// alongGround orders points from the left to the right, each place once. Of two at one offset, an upright wall, the
// upper comes first on the left and the lower on the right; on the thalweg they stay as booked.
func alongGround(points [][2]float64) [][2]float64 {
	model.SortStable(points, func(a, b [2]float64) int {
		if order := cmp.Compare(a[0], b[0]); order != 0 || a[0] == 0 {
			return order
		}
		return cmp.Compare(a[1], b[1]) * int(math.Copysign(1, a[0]))
	})
	return slices.Compact(points)
}

// alongGully finds where a cross-section lies up its gully, and the notches of the dams near it: those whose crest is
// levelled, or to be built to a level of a closed run.
func (l *PropertyFigures) alongGully(c *CrossSection, r *run) {
	t := l.thalwegs[c.Thalweg]
	if t == nil || c.BookedM == nil {
		return
	}
	c.UpM = c.BookedM
	if t.tapedFromM != nil {
		c.UpM = new(*t.tapedFromM - *c.BookedM)
	}
	if c.Brink == nil {
		return
	}
	a := section.NewAcross(model.Each(c.Points, func(p AcrossPoint) [2]float64 { return [2]float64{p.OffsetM, p.LevelM} }))
	for _, d := range t.dams {
		apartM := math.Abs(d.at.chainageM - *c.UpM)
		n := DamNotch{Dam: d.id, Name: d.name, ApartM: apartM}
		crest := d.crest
		if crest == nil && d.targetM != nil && r.proven {
			crest, n.Planned = &spot{run: r, levelM: *d.targetM}, true
		}
		if d.gone() || crest == nil || apartM > NearDamM || !oneDatum(crest, &spot{run: r}) {
			continue
		}
		heightM := c.Brink.DepthM - (c.Brink.LevelM - crest.levelM)
		if !(heightM > 0 && heightM <= c.Brink.DepthM) {
			c.note("The crest of %s is at %.2f m, which is not between its lowest point and its brink.", cmp.Or(d.name, "a dam near it"), crest.levelM)
			continue
		}
		n.AcrossFill = fillOf(crest.levelM, a.Fill(heightM, -1, qualityOf(r)))
		c.Notches = append(c.Notches, n)
	}
}

// judgeAcross adds the figures of a cross-section.
func (l *PropertyFigures) judgeAcross(s *Sheet, f model.Feature) {
	c, _, ok := l.marked(f.ID)
	if !ok {
		return
	}
	for _, text := range c.Notes {
		s.caution(brinkDepth.name, text)
	}
	if c.Brink != nil {
		basis := model.Unproven
		if c.Proven {
			basis = model.Levelled
		}
		s.Figures = append(s.Figures, brinkDepth.figure(c.fill.DepthM, c.fill.DepthPlusMinusM, basis),
			brinkWidth.figure(c.fill.WidthM, c.fill.WidthPlusMinusM, basis), brinkArea.figure(c.fill.AreaM2, c.fill.AreaPlusMinusM2, basis))
	}
}
