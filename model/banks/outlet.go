package banks

import (
	"fmt"
	"slices"

	"headcut/model"
)

// OutletKind is what a bank lets its water out on to.
type OutletKind string

const (
	Waterway   OutletKind = "grassed waterway"
	Depression OutletKind = "natural depression"
	GrassArea  OutletKind = "grassed area"
	Spreader   OutletKind = "level spreader"
	NoOutlet   OutletKind = "none"
)

// OutletKinds lists every kind.
var OutletKinds = []OutletKind{Waterway, Depression, GrassArea, Spreader, NoOutlet}

// Outlet is where a bank's water leaves it, the weak point of every bank: water may go on to
// stable grass and nowhere else (Soil Conservation Guidelines for Queensland, chapter 7; WA
// DPIRD).
type Outlet struct {
	Kind        OutletKind
	LevelM      float64 // of the channel's bed there
	Stable      bool    // grassed, and as it will be when the water comes
	ToGullyHead bool    // water would run from there to a gully head
	ToNeighbour bool    // or across a boundary
}

// Check refuses an outlet that is not safe, and says what to do.
func (o Outlet) Check() *model.Problem {
	return model.FirstProblem(
		model.Require(slices.Contains(OutletKinds, o.Kind), "kind", fmt.Sprintf("give one of %q", OutletKinds), "%q is no outlet", o.Kind),
		model.Require(o.Kind != NoOutlet, "kind", "find or build a safe outlet first, and lay the bank out from there", "a bank without an outlet fills and breaks"),
		model.Require(!o.ToGullyHead, "toGullyHead", "carry the bank on past the head to stable grass, or fall it the other way", "the water would run into a gully head, which is what the bank is to stop"),
		model.Require(!o.ToNeighbour, "toNeighbour", "end the bank on the same property, or agree on a shared waterway with the neighbour", "the water would be sent on to a neighbour"),
		model.Require(o.Stable, "stable", "shape and grass the outlet and let it grow before the bank sends water there, or take the water elsewhere", "the outlet is not stable: the bank's water would cut it"),
		model.Require(o.LevelM >= -highestM && o.LevelM <= highestM, "levelM", "give metres, not millimetres", "%v m is no level on earth", o.LevelM))
}
