package server

import (
	"cmp"
	"encoding/json"
	"math"
	"slices"
	"strings"

	"headcut/model"
	"headcut/model/figures"
	"headcut/model/section"
	"headcut/model/works"
)

// linkSection is the long section of a gully as the landholder's page draws it. Chainage
// runs upstream from the downstream end; levels are metres on the datum of the run.
type linkSection struct {
	Thalweg string            `json:"thalweg"` // id
	Name    string            `json:"name,omitempty"`
	LengthM float64           `json:"lengthM"`
	Proven  bool              `json:"proven"` // the bed was levelled, by runs that close
	Bed     []section.Station `json:"bed"`
	Dams    []linkDam         `json:"dams"`
	Pairs   []linkPair        `json:"pairs"`
	Notes   []string          `json:"notes"`
}

type linkDam struct {
	ID            string       `json:"id"`
	Name          string       `json:"name,omitempty"`
	Status        model.Status `json:"status,omitempty"`
	ChainageM     float64      `json:"chainageM"`
	PlusMinusM    *float64     `json:"plusMinusM,omitempty"`    // of the chainage; absent: not known
	ToeLevelM     *float64     `json:"toeLevelM,omitempty"`     // absent: not levelled
	CrestLevelM   *float64     `json:"crestLevelM,omitempty"`   // absent: not levelled
	HeightM       *float64     `json:"heightM,omitempty"`       // as measured by hand, else as planned; absent: neither
	HeightPlanned bool         `json:"heightPlanned,omitempty"` // nobody measured heightM
	Basis         model.Basis  `json:"basis"`                   // of the levels
	Disagrees     bool         `json:"disagrees,omitempty"`     // its level and its place do not agree

	drawnOff bool // by its level it would be drawn off the bed, as its place is known poorly
}

type linkPair struct {
	Lower      string   `json:"lower"` // id of the dam
	Upper      string   `json:"upper"`
	SpacingM   float64  `json:"spacingM"`
	PlusMinusM *float64 `json:"plusMinusM,omitempty"` // absent when not known
	StepM      *float64 `json:"stepM,omitempty"`      // upper toe less lower crest; absent: not levelled
	Verdict    string   `json:"verdict"`

	Hump *works.Hump `json:"hump,omitempty"` // where the bed between the two stands above both
}

// linkSectionOf writes what may be shown of a long section, nil when nothing may, or when a number of it
// is not finite. A gully
// with a hidden dam is shown without any pair, for the spacings of its neighbours would show
// where it is; a hidden gully is left out. Of both what was computed of their dams from each other must
// not be shown either: notes, by dam, have them unchecked.
func linkSectionOf(s figures.LongSection, hidden map[string]bool, heights map[string]damHeight) (shown []byte, notes map[string]damNote) {
	partly := hidden[s.Thalweg] || slices.ContainsFunc(s.Dams, func(d figures.SectionDam) bool { return hidden[d.ID] })
	notes = map[string]damNote{}
	for _, d := range s.Dams {
		notes[d.ID] = damNote{unchecked: partly}
	}
	for _, p := range s.Pairs {
		if p.Verdict == works.Humped {
			notes[p.Lower] = damNote{partly, p.Hump.AboveM}
		}
	}
	if hidden[s.Thalweg] {
		return nil, notes
	}
	out := &linkSection{
		Thalweg: s.Thalweg, Name: s.Name, LengthM: s.LengthM, Proven: s.Proven,
		Bed: append([]section.Station{}, s.Bed...), Dams: []linkDam{}, Pairs: []linkPair{}, Notes: []string{},
	}
	for _, d := range s.Dams {
		if hidden[d.ID] {
			continue
		}
		dam := linkDam{
			ID: d.ID, Name: d.Name, Status: d.Status, ChainageM: d.ChainageM, PlusMinusM: d.ChainagePlusMinusM,
			ToeLevelM: d.ToeLevelM, CrestLevelM: d.CrestLevelM, Basis: d.Basis, Disagrees: d.Disagrees, drawnOff: d.DrawnOff,
		}
		if height, ok := heights[d.ID]; ok {
			dam.HeightM, dam.HeightPlanned = &height.m, height.planned
		}
		out.Dams = append(out.Dams, dam)
	}
	if partly {
		out.Notes = append(out.Notes, "Part of this gully is kept off this map, so its dams are not checked against each other here.")
	} else {
		// The section's own notes are for the officer: what was turned or left out.
		if slices.Contains(s.Notes, figures.LeftOut) {
			out.Notes = append(out.Notes, "It is not recorded yet from which end of the gully distances count: dams without a taped distance are not drawn.")
		}
		for _, p := range s.Pairs {
			pair := linkPair{Lower: p.Lower, Upper: p.Upper, SpacingM: p.SpacingM, PlusMinusM: p.PlusMinusM, StepM: p.StepM, Verdict: string(p.Verdict)}
			if p.Verdict == works.Humped {
				pair.Hump = p.Hump
			}
			out.Pairs = append(out.Pairs, pair)
		}
	}
	out.dropDisagreeing(s.Bed)
	out.shorten()
	shown, _ = json.Marshal(out) // errs for such a number alone
	return shown, notes
}

// offBedM is how far a foot that no closed level run proves may lie off the bed that was
// levelled, before its level or its place is wrong. Common practice, no source.
const offBedM = 0.3

// dropDisagreeing takes the levels off the dams whose level and place do not agree, so that they are
// drawn on the bed, and says so.
func (s *linkSection) dropDisagreeing(bed section.Bed) {
	var names []string
	for i := range s.Dams {
		d := &s.Dams[i]
		if d.ToeLevelM == nil || d.Basis == model.Levelled && !d.drawnOff {
			continue
		}
		if at, ok := bed.LevelAt(d.ChainageM); d.drawnOff || ok && math.Abs(at-*d.ToeLevelM) > offBedM {
			d.ToeLevelM, d.CrestLevelM = nil, nil
			names = append(names, cmp.Or(d.Name, "a dam, unnamed"))
		}
	}
	if len(names) > 0 {
		s.Notes = append(s.Notes, "The level and the place of "+listed(names)+" do not agree: drawn on the gully bed until the officer has checked.")
	}
}

// listed is "Dam 1, Dam 3 and Dam 4".
func listed(names []string) string {
	last := len(names) - 1
	if last == 0 {
		return names[0]
	}
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

// shorten leaves the digits that a drawing can use: chainages to a centimetre, levels to a
// millimetre, as they were read.
func (s *linkSection) shorten() {
	const cm, mm = 0.01, 0.001
	s.LengthM = roundedTo(s.LengthM, cm)
	for i := range s.Bed {
		s.Bed[i].ChainageM, s.Bed[i].LevelM = roundedTo(s.Bed[i].ChainageM, cm), roundedTo(s.Bed[i].LevelM, mm)
	}
	short := func(v *float64, unit float64) *float64 {
		if v == nil {
			return nil
		}
		rounded := roundedTo(*v, unit)
		return &rounded
	}
	for i := range s.Dams {
		d := &s.Dams[i]
		d.ChainageM, d.PlusMinusM, d.HeightM = roundedTo(d.ChainageM, cm), short(d.PlusMinusM, cm), short(d.HeightM, cm)
		d.ToeLevelM, d.CrestLevelM = short(d.ToeLevelM, mm), short(d.CrestLevelM, mm)
	}
	for i := range s.Pairs {
		p := &s.Pairs[i]
		p.SpacingM, p.PlusMinusM, p.StepM = roundedTo(p.SpacingM, cm), short(p.PlusMinusM, cm), short(p.StepM, mm)
		if p.Hump != nil {
			p.Hump = &works.Hump{ChainageM: roundedTo(p.Hump.ChainageM, cm), AboveM: roundedTo(p.Hump.AboveM, mm)}
		}
	}
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
