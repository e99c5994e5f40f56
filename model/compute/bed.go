package compute

import (
	"fmt"

	"headcut/model"
	"headcut/model/section"
)

// surveyedBed is the input field "bed" as it was read.
type surveyedBed struct {
	section.Bed
	points     []section.Point // from the downstream end up
	byPosition bool
	turnedAtM  *float64 // the highest chainage as booked, where it was booked from the head down
	before     bool     // turned by the computation before: what is given with it is turned too
}

// turnedIn is what an answer says of a bed that was turned, and the next computation takes.
type turnedIn struct {
	TurnedAtM *float64 `json:"turnedAtM,omitempty" unit:"m" doc:"only where the bed was booked from its head down and is turned here: a chainage as booked is this less the one here"`
}

// bedFrom reads the input field "bed". One booked from the head down is turned.
func (in turnedIn) bedFrom(points []section.Point) (b surveyedBed, err error) {
	b.points = points
	if b.Bed, b.byPosition, err = stationsOf(points); err != nil {
		return b, err
	}
	if !b.Bed.BookedDown() {
		b.turnedAtM, b.before = in.TurnedAtM, in.TurnedAtM != nil
		return b, nil
	}
	last := len(b.Bed) - 1
	at := b.Bed[last].ChainageM
	b.turnedAtM = &at
	b.points = make([]section.Point, len(points))
	for i, p := range points {
		if p.ChainageM != nil {
			p.ChainageM = new(at - *p.ChainageM)
		}
		b.points[last-i] = p
	}
	b.Bed, b.byPosition, err = stationsOf(b.points)
	return b, err
}

func stationsOf(points []section.Point) (section.Bed, bool, error) {
	bed, byPosition, err := section.NewBed(points)
	if err != nil {
		return nil, byPosition, model.Within(err, "bed")
	}
	return bed, byPosition, nil
}

// turns tells whether what is given with the bed is turned with it.
func (b surveyedBed) turns() bool { return b.turnedAtM != nil && !b.before }

// turn is a chainage given with the bed, from its downstream end up.
func (b surveyedBed) turn(chainageM float64) float64 {
	if !b.turns() {
		return chainageM
	}
	return *b.turnedAtM - chainageM
}

// cautions are those of a bed that was turned.
func (b surveyedBed) cautions() []model.Caution {
	if b.turnedAtM == nil {
		return nil
	}
	given := "Those given with the bed were turned with it."
	if b.before {
		given = "Heads, sites, reaches and dams given beside it must be in the chainages here, not as booked."
	}
	at := plain(*b.turnedAtM)
	return []model.Caution{{About: "bed", Text: fmt.Sprintf("The bed was booked from the head down and has been turned: chainages here run up the gully from its downstream end, %s m less the booked ones, and a booked one is %s m less the one here. %s", at, at, given)}}
}

// plain is a number as a sentence has it.
func plain(n float64) string { return fmt.Sprint(ending{decimals: 2}.of(n)) }

// turnPlace turns the chainages given to a layout, its ends, sites, reaches and heads.
func (b surveyedBed) turnPlace(in *damLayoutIn) {
	if !b.turns() {
		return
	}
	in.FromM, in.ToM = in.ToM, in.FromM
	for _, end := range []*float64{in.FromM, in.ToM} {
		if end != nil {
			*end = b.turn(*end)
		}
	}
	for i := range in.Sites {
		in.Sites[i].ChainageM = b.turn(in.Sites[i].ChainageM)
	}
	for i, r := range in.Skip {
		in.Skip[i].FromM, in.Skip[i].ToM = b.turn(r.ToM), b.turn(r.FromM)
	}
	for i := range in.Sections {
		in.Sections[i].ChainageM = b.turn(in.Sections[i].ChainageM)
	}
	for i := range in.Heads {
		in.Heads[i].ChainageM = b.turn(in.Heads[i].ChainageM)
	}
}

// turnedBy tells from the toes of dams alone whether their chainages run down the gully.
func turnedBy(dams []damIn) surveyedBed {
	low, high := 0, 0
	for i, d := range dams {
		if d.ToeLevelM == nil {
			return surveyedBed{}
		}
		if d.ChainageM < dams[low].ChainageM {
			low = i
		}
		if d.ChainageM > dams[high].ChainageM {
			high = i
		}
	}
	if len(dams) < 2 || !section.RunsDown(*dams[low].ToeLevelM, *dams[high].ToeLevelM) {
		return surveyedBed{}
	}
	return surveyedBed{turnedAtM: new(dams[high].ChainageM)}
}
