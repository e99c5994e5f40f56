package planning

import (
	"math"
	"slices"
	"strconv"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"headcut/model/geodesy"
	"headcut/model/recorded"
)

// slopePeg is a peg of run 1, so many metres south and east of the top of the slope.
func slopePeg(id string, southM, eastM, levelM float64, more ...any) recorded.Item {
	return item("peg", id, north(-southM, eastM), append([]any{"name", "Peg " + id, "levelRun", "1", "levelM", levelM, "positionBasis", "GPS", "accuracyM", 0.5}, more...)...)
}

// twoLines are the pegs of a slope that falls by 4 % to the south, booked every 20 m down it, and of a line beside it.
func twoLines(eastM float64) (all []recorded.Item) {
	for c := 0.0; c <= 100; c += 20 {
		n := strconv.Itoa(int(c))
		all = append(all, slopePeg("d"+n, c, 0, 104-c*0.04, "chainageM", c, "chainageBasis", "taped"), slopePeg("b"+n, c+5, eastM, 104.1-c*0.04))
	}
	return all
}

// each are pegs with another value of one field.
func each(pegs []recorded.Item, field string, value any) []recorded.Item {
	l := land(pegs)
	for _, peg := range pegs {
		l.set(peg.ID, field, value)
	}
	return l
}

// westOf are the pegs beside the line, under other ids.
func westOf(pegs []recorded.Item) (all []recorded.Item) {
	for _, peg := range pegs {
		if peg.Fields["chainageM"] == nil {
			peg.ID = "west-" + peg.ID
			all = append(all, peg)
		}
	}
	return all
}

func TestBanksLieBetweenPegs(t *testing.T) {
	base := slopeOf(slopeBook(100, 4)...)
	with := func(pegs ...recorded.Item) land { return append(slices.Clone(base), pegs...) }
	without := func(pegs []recorded.Item, ids ...string) []recorded.Item {
		return slices.DeleteFunc(pegs, func(peg recorded.Item) bool { return slices.Contains(ids, peg.ID) })
	}
	moved := func(id string, southM float64) []recorded.Item {
		all := twoLines(148)
		for i := range all {
			if all[i].ID == id {
				all[i].Geometry = north(-southM, 0)
			}
		}
		return all
	}
	for _, c := range []struct {
		name   string
		l      land
		placed int    // of four banks
		says   string // "" where all are placed
	}{
		{"two-lines", with(twoLines(148)...), 4, ""},
		{"to-the-west", with(twoLines(-148)...), 4, ""},
		{"no-pegs", with(), 0, "The banks are recorded by chainage and levels alone, without a place on the map: record pegs at spots of the book down the slope"},
		{"one-line", with(twoLines(60)...), 0, "level a second line down the slope there in the same run, and record its pegs"},
		{"both-sides", with(append(twoLines(148), westOf(twoLines(-148))...)...), 0, "on both sides of its outlet"},
		{"no-pegs-below", with(without(twoLines(148), "d60", "d80", "d100")...), 1, "The bank at chainage 60.0 is recorded by chainage and levels alone, without a place on the map: no pegs of the run have places above and below its outlet"},
		{"wrong-fix", with(moved("d60", 90)...), 2, "the pegs at chainages 40.0 and 60.0 are 50.0 m apart by their places: fix both again"},
		{"another-run", with(each(twoLines(148), "levelRun", "2")...), 0, "without a place on the map"},
		{"by-a-plan", with(each(twoLines(148), "positionBasis", "from plan")...), 0, "without a place on the map"},
		{"not-at-the-booked-level", with(append(each(without(twoLines(148), "b0", "b20", "b40", "b60", "b80", "b100"), "levelM", 99.0), westOf(twoLines(148))...)...), 0, "The banks are recorded by chainage and levels alone"},
	} {
		t.Run(c.name, func(t *testing.T) {
			o, err := property(c.l...).Plan(slopeBanks, "")
			if err != nil || len(o.Refused) > 0 {
				t.Fatal(err, o.Refused)
			}
			if c.says != "" {
				says(t, "says:", o.Says, c.says)
			}
			const straight = "On the map each bank is a straight line between its two ends: peg it by level and staff at its grade, not by its place there."
			if slices.Contains(o.Says, straight) != (c.placed > 0) {
				t.Errorf("the plan says %q, and puts %d banks on the map", o.Says, c.placed)
			}
			a := c.l.adopt(t, slopeBanks)
			placed := 0
			for _, bank := range c.l.ofPlan("contour-bank", a.Plan) {
				if bank.Geometry == nil {
					if bank.Fields["positionBasis"] != nil || bank.Fields["chainageM"] == nil || bank.Fields["targetTopLevelM"] == nil {
						t.Errorf("the bank without a place is %s", bank.Fields)
					}
					continue
				}
				placed++
				line := bank.Geometry.(orb.LineString)
				m, _ := bank.Number("chainageM")
				topM, _ := bank.Number("targetTopLevelM")
				east, top := frameAt(line[1])
				if _, south := frameAt(line[0]); bank.Text("positionBasis") != "from plan" || math.Abs(south-m) > 0.01 || math.Abs(math.Abs(east)-148) > 0.01 || math.Abs(104.3-0.04*top-topM) > 0.01 {
					t.Errorf("the bank at %v m runs from %v to %v, with its top at %v m", m, line[0], line[1], topM)
				}
			}
			if placed != c.placed || c.says == "" != (placed == 4) {
				t.Errorf("%d banks have a place, want %d", placed, c.placed)
			}
			if again := c.l.adopt(t, slopeBanks); len(again.Changes) > 0 {
				t.Errorf("adopted again: %+v, want no change", again.Changes)
			}
		})
	}

	// A peg that is fixed again is another base.
	l := with(twoLines(148)...)
	a := l.adopt(t, slopeBanks)
	i := slices.IndexFunc(l, func(peg recorded.Item) bool { return peg.ID == "b40" })
	l[i].Version = "v-2"
	says(t, "changed:", whats(property(l...).Changed(planItem(l, a.Plan))), "Peg b40 was edited since")
}

func whats(all []BaseChange) (said []string) {
	for _, c := range all {
		said = append(said, c.What)
	}
	return said
}

// frameAt is how far a position lies east and south of the top of the slope.
func frameAt(p orb.Point) (eastM, southM float64) {
	eastM, northM := geodesy.Frame{Origin: orb.Point{148, -20}}.Offset(p)
	return eastM, -northM
}

// However a plain falls, a bank that has a place starts at its outlet on the line down it and ends where the plain
// has the level of its top.
func TestLawsOfPlacedBanks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		fall, rise := rapid.Float64Range(0.01, 0.08).Draw(t, "fall"), rapid.Float64Range(0, 0.02).Draw(t, "across")
		lengthM := rapid.Float64Range(50, 300).Draw(t, "length")
		offM := rapid.Float64Range(0.5, 1.5).Draw(t, "beside") * lengthM
		level := func(eastM, southM float64) float64 { return 100 - fall*southM + rise*eastM }
		var p slopePegs
		for c := 0.0; c <= 100; c += 20 {
			p.down = append(p.down, levelledPeg{at: north(-c, 0), levelM: level(0, c), chainageM: c})
			p.beside = append(p.beside, levelledPeg{at: north(-c, offM), levelM: level(offM, c)})
		}
		m := rapid.Float64Range(-10, 110).Draw(t, "chainage")
		topM := level(0, m) + rapid.Float64Range(0, 0.005).Draw(t, "grade")*lengthM
		line, why := p.bank(m, topM, lengthM)
		if (line == nil) == (why == "") {
			t.Fatalf("line %v, and why there is none is %q", line, why)
		}
		if line == nil {
			if offM >= 0.92*lengthM && offM <= 0.97*lengthM && m >= 20 && m <= 80 && math.Abs(topM-level(offM, m)) < 20*fall && math.Abs(topM-level(offM, m)) < fall*0.1*lengthM {
				t.Fatalf("no line, %s", why)
			}
			return
		}
		_, southM := frameAt(line[0])
		eastM, topSouthM := frameAt(line[1])
		if m < 0 || m > 100 || math.Abs(southM-m) > 0.001 || math.Abs(level(eastM, topSouthM)-topM) > 0.001 {
			t.Fatalf("from %v m down, want %v, to the level %v m, want %v", southM, m, level(eastM, topSouthM), topM)
		}
		if chordM := geodesy.Distance(line[0], line[1]); chordM > lengthM+0.001 || chordM < 0.9*lengthM-0.001 {
			t.Fatalf("its ends are %v m apart, and it is %v m long", chordM, lengthM)
		}
	})
}
