package model

import "slices"

// Basis is how a value came about, best first. A figure that rests on several values has
// the basis of the weakest of them.
type Basis string

const (
	Levelled    Basis = "levelled"         // dumpy or laser level and staff
	Taped       Basis = "taped"            // tape, chain or measuring wheel on the ground
	GPS         Basis = "GPS"              // positions of a phone or handheld
	Drawn       Basis = "drawn on the map" // tapped with a finger or a pointer; as good as the picture and the tap
	Estimated   Basis = "estimated"        // judged by eye or paced, on the ground
	FromPlan    Basis = "from plan"        // as designed: nobody has measured it
	NotRecorded Basis = "not recorded"     // nobody said how it was measured
	Unproven    Basis = "unproven"         // from a level run that does not close, or from nothing
)

// Bases lists every basis, best first.
var Bases = []Basis{Levelled, Taped, GPS, Drawn, Estimated, FromPlan, NotRecorded, Unproven}

// Weakest returns the basis of a figure that rests on all of these; Unproven when there
// are none or one is not a basis.
func Weakest(bases ...Basis) Basis {
	worst := -1
	for _, b := range bases {
		rank := slices.Index(Bases, b)
		if rank < 0 {
			rank = len(Bases) - 1
		}
		worst = max(worst, rank)
	}
	if worst < 0 {
		return Unproven
	}
	return Bases[worst]
}

// Basis is how the value of one of the feature's fields was measured, as the officer said
// in the field that Field.Basis names. A place that was recorded before there was such a
// field is from GPS when it has an accuracy, drawn on the map when every position of it was
// tapped; a chainage was asked for as a taped one. NotRecorded where nobody said.
func (f Feature) Basis(field string) Basis {
	kind, ok := KindNamed(f.Kind)
	if !ok {
		kind = &Kind{}
	}
	if known, ok := kind.FieldNamed(field); ok && known.Basis != "" {
		if b := Basis(f.Text(known.Basis)); slices.Contains(Bases, b) {
			return b
		}
	}
	switch field {
	case "geometry":
		return f.placeBasis()
	case "chainageM":
		return Taped
	}
	return NotRecorded
}

// tapped tells whether a position of a place was tapped on the map, by what the phone kept
// of the receiver.
func tapped(raw []byte) bool {
	var receiver struct {
		How []string `json:"how"`
	}
	return jsonInto(raw, &receiver) && slices.Contains(receiver.How, "tapped")
}

// placeBasis is how a place without a positionBasis came: by what the phone kept of each
// position, else by the accuracy that only a receiver gives.
func (f Feature) placeBasis() Basis {
	if raw, ok := f.Fields["receiver"]; ok && tapped(raw) {
		return Drawn
	}
	if m, ok := f.Number("accuracyM"); ok && m > 0 {
		return GPS
	}
	return NotRecorded
}
