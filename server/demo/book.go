package demo

import "headcut/model"

// book writes a level book as an officer would: she sets up, sights what she can, and
// moves by a change point. Readings come from true levels, to the millimetre.
type book struct {
	rows       []model.LevelRow
	instrument float64 // level of the line of sight
	back       *float64
}

func reading(v float64) *float64 { return new(round(v, 1000)) }

// from sets up over a point of known level.
func (b *book) from(point string, levelM, instrumentM float64) {
	b.rows = append(b.rows, model.LevelRow{Point: point, Spot: model.MarkSpot, BS: reading(instrumentM - levelM), KnownLevelM: reading(levelM)})
	b.instrument = instrumentM
}

// sight takes an intermediate sight on a spot of a feature.
func (b *book) sight(point, feature string, spot model.Spot, chainageM, levelM float64) {
	b.rows = append(b.rows, model.LevelRow{
		Point: point, IS: reading(b.instrument - levelM), Feature: feature, Spot: spot, ChainageM: reading(chainageM),
	})
}

// move carries the level to a new set-up over a change point.
func (b *book) move(point string, levelM, instrumentM float64) {
	b.rows = append(b.rows, model.LevelRow{Point: point, FS: reading(b.instrument - levelM), BS: reading(instrumentM - levelM)})
	b.instrument = instrumentM
}

// close ends on a point of known level, misread by so much.
func (b *book) close(point string, levelM, misreadM float64) []model.LevelRow {
	b.rows = append(b.rows, model.LevelRow{Point: point, Spot: model.MarkSpot, FS: reading(b.instrument - levelM + misreadM), KnownLevelM: reading(levelM)})
	return b.rows
}

// reach moves the instrument by change points until a level can be read on a 4 m staff.
func (b *book) reach(point string, levelM float64) {
	for reads := b.instrument - levelM; reads < 0.3 || reads > 3.6; reads = b.instrument - levelM {
		step := max(-2.4, min(2.4, levelM+1.9-b.instrument))
		b.move(point, b.instrument+min(step, 0)-0.6, b.instrument+step)
	}
}
