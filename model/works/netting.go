package works

import (
	"cmp"
	"math"

	"headcut/model"
)

// Sizes of fences that hold rock, where none are given.
const (
	DefaultPostSpacingM    = 1.2  // Heede 1976, RM-169; from memory
	DefaultPostIntoGroundM = 0.6  // common practice, no source
	DefaultTieEveryM       = 0.3  // up each post; common practice, no source
	DefaultNetOverlapPct   = 10.0 // where rolls meet; common practice, no source
)

// Fences are the upright fences of netting on posts that hold the rock of a dam: two, with
// the rock between them, or one, with the rock heaped upstream of it. Zero means the
// default above, and two fences.
type Fences struct {
	Count           int     `json:"count,omitempty" unit:"1" doc:"2 with the rock between them, 1 with the rock heaped upstream; 2 if not given"`
	PostSpacingM    float64 `json:"postSpacingM,omitempty" unit:"m" doc:"most between posts; 1.2 if not given"`
	PostIntoGroundM float64 `json:"postIntoGroundM,omitempty" unit:"m" doc:"length of a post in the ground; 0.6 if not given"`
	TieEveryM       float64 `json:"tieEveryM,omitempty" unit:"m" doc:"up each post, between wires that tie the fences; 0.3 if not given"`
	NetOverlapPct   float64 `json:"netOverlapPct,omitempty" unit:"%" doc:"netting lost where rolls meet; 10 if not given"`
}

func (f Fences) settled() Fences {
	f.Count = cmp.Or(f.Count, 2)
	f.PostSpacingM, f.PostIntoGroundM = cmp.Or(f.PostSpacingM, DefaultPostSpacingM), cmp.Or(f.PostIntoGroundM, DefaultPostIntoGroundM)
	f.TieEveryM, f.NetOverlapPct = cmp.Or(f.TieEveryM, DefaultTieEveryM), cmp.Or(f.NetOverlapPct, DefaultNetOverlapPct)
	return f
}

func (f Fences) check() *model.Problem {
	return model.FirstProblem(
		model.Require(f.Count == 1 || f.Count == 2, "count", "give 1 for rock heaped upstream of a fence, 2 for rock between fences", "%d is not a number of fences", f.Count),
		inRange("postSpacingM", f.PostSpacingM, 0.3, 3, "m"),
		inRange("postIntoGroundM", f.PostIntoGroundM, 0.2, 2, "m"),
		inRange("tieEveryM", f.TieEveryM, 0.1, 1, "m"),
		inRange("netOverlapPct", f.NetOverlapPct, 0, 100, "%"),
	)
}

// netM2 is the netting for faces of faceM2 each, let footM2 each into the key.
func (f Fences) netM2(faceM2, footM2 float64) float64 {
	return float64(f.Count) * (faceM2 + footM2) * (1 + f.NetOverlapPct/100)
}

// count fills in the pieces: on each fence a post at either end and no two farther apart
// than the spacing; between two fences a wire there and back at each tie.
func (f Fences) count(q *DamQuantities, breadthM, accuracyM float64) {
	each := spans(q.CrestLengthM, f.PostSpacingM) + 1
	q.Posts = f.Count * each
	q.PostLengthM = q.TotalHeightM + f.PostIntoGroundM
	if f.Count == 2 {
		q.Ties = each * spans(q.TotalHeightM, f.TieEveryM)
		there := 2 * float64(q.Ties)
		q.TieWireM, q.TieWirePlusMinusM = there*breadthM, model.ScaledPlusMinus(there, accuracyM)
	}
}

// spans is how many spans of at most eachM a length takes, at least one.
func spans(lengthM, eachM float64) int {
	const rounding = 1e-9 // so that 3.6 m takes three spans of 1.2 m
	return max(1, int(math.Ceil(lengthM/eachM-rounding)))
}
