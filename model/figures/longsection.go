package figures

import (
	"slices"

	"headcut/model"
	"headcut/model/section"
	"headcut/model/works"
)

// LongSection is a gully from its downstream end up, ready to be drawn to scale.
type LongSection struct {
	Thalweg string            `json:"thalweg"` // id of the feature
	Name    string            `json:"name,omitempty"`
	LengthM float64           `json:"lengthM"` // of the thalweg's line; of its surveyed bed where no line was drawn
	Bed     []section.Station `json:"bed"`     // upstream in order, straight between
	Dams    []SectionDam      `json:"dams"`    // upstream in order
	Pairs   []SectionPair     `json:"pairs"`
	Proven  bool              `json:"proven"` // a bed was levelled, by runs that close
	Notes   []string          `json:"notes"`

	BookedFromM *float64     `json:"bookedFromM,omitempty"` // chainages were booked from the head down: what they are taken from; nil: they run up the gully
	Line        *SectionLine `json:"line,omitempty"`        // where the line lies along it; nil: not known, or no line
	ZeroUnknown bool         `json:"zeroUnknown,omitempty"` // somebody must say at which end of the line chainage 0 is
}

// SectionLine is where chainages lie along the thalweg's line as drawn.
type SectionLine struct {
	AtFirstM float64 `json:"atFirstM"`       // chainage of its first point
	Down     bool    `json:"down,omitempty"` // it was drawn from the head down: chainages fall along it
}

// SectionDam is a dam on the long section; one that was not levelled has
// no levels, one that is pegged has that of its toe.
type SectionDam struct {
	ID                 string       `json:"id"`
	Name               string       `json:"name,omitempty"`
	Status             model.Status `json:"status,omitempty"`
	ChainageM          float64      `json:"chainageM"`
	ChainagePlusMinusM *float64     `json:"chainagePlusMinusM,omitempty"` // nil: not known
	ChainageBasis      model.Basis  `json:"chainageBasis"`
	ToeLevelM          *float64     `json:"toeLevelM,omitempty"`
	CrestLevelM        *float64     `json:"crestLevelM,omitempty"`
	Basis              model.Basis  `json:"basis"` // of the levels

	Disagrees bool `json:"disagrees,omitempty"` // the toe is not where the levelled bed is, there
	DrawnOff  bool `json:"drawnOff,omitempty"`  // the toe is off the bed there, as the chainage is known poorly
}

// SectionPair is what the check of two neighbouring dams found.
type SectionPair struct {
	Lower      string        `json:"lower"` // id of the dam
	Upper      string        `json:"upper"`
	SpacingM   float64       `json:"spacingM"`
	PlusMinusM *float64      `json:"plusMinusM,omitempty"` // of the spacing; nil: not known
	StepM      *float64      `json:"stepM,omitempty"`
	Verdict    works.Meeting `json:"verdict"`
	Hump       *works.Hump   `json:"hump,omitempty"`
}

// LongSections returns the thalwegs that have something to draw, a levelled bed or a dam
// whose chainage is known, in the order of their ids.
func (l *PropertyFigures) LongSections() []LongSection {
	var all []LongSection
	for _, id := range model.Keys(l.thalwegs) {
		if s, ok := l.LongSection(id); ok {
			all = append(all, s)
		}
	}
	return all
}

// LongSection is that of one thalweg; false when there is nothing to draw.
func (l *PropertyFigures) LongSection(id string) (LongSection, bool) {
	t := l.thalwegs[id]
	if t == nil || len(t.bed.bed) < 2 && len(t.dams) == 0 && t.nowhere == 0 {
		return LongSection{}, false
	}
	return t.longSection(), true
}

func (t *thalweg) longSection() LongSection {
	b := t.bed
	s := LongSection{Thalweg: t.id, Name: t.name, LengthM: t.lengthM, Bed: b.bed, Notes: slices.Concat(b.notes, t.turnNotes()),
		Dams: []SectionDam{}, Pairs: []SectionPair{},
		Proven: len(b.bed) >= 2 && b.quality.Basis == model.Levelled}
	if s.Bed == nil {
		s.Bed = section.Bed{}
	}
	if s.Notes == nil {
		s.Notes = []string{}
	}
	if s.BookedFromM, s.ZeroUnknown = t.tapedFromM, t.lengthM > 0 && t.match == nil; t.match != nil {
		s.Line = &SectionLine{t.match.atFirstM, t.match.down}
	}
	if n := len(b.bed); s.LengthM == 0 && n > 0 {
		s.LengthM = b.bed[n-1].ChainageM
	}
	for _, d := range t.dams {
		one := SectionDam{ID: d.id, Name: d.name, Status: d.status, ChainageM: d.at.chainageM,
			ChainagePlusMinusM: model.Known(d.at.plusMinusM), ChainageBasis: d.at.basis, Basis: d.basis()}
		_, one.Disagrees = d.offBed()
		one.DrawnOff = d.drawnOff()
		one.Disagrees = one.Disagrees || d.at.misfit != ""
		if d.toe != nil {
			one.ToeLevelM = &d.toe.levelM
		}
		if d.crest != nil {
			one.CrestLevelM = &d.crest.levelM
		}
		s.Dams = append(s.Dams, one)
	}
	for _, p := range t.pairs {
		one := SectionPair{Lower: p.lower.id, Upper: p.upper.id, SpacingM: p.spacingM, PlusMinusM: model.Known(p.plusMinusM), Verdict: p.verdict()}
		if p.step != nil {
			one.StepM, one.Hump = &p.step.StepM, p.step.Hump
		}
		s.Pairs = append(s.Pairs, one)
	}
	return s
}
