package figures

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"headcut/model"
	"headcut/model/geodesy"
)

// drawnGully is a gully that rises 3 % northward over 100 m from its mouth, with a dam that
// only its position and the level of its toe place, at 23 m up, and others that are taped.
type drawnGully struct {
	lineFromHead, bookedFromHead bool
	zeroUpM                      float64 // the chainage that the mouth of the line has, booked from the foot
	tapedAt, levelledAt          []float64
	accuracyM                    float64
	stated                       string
	bedSlope                     float64
	moved                        map[int]float64 // how far off along the gully a fix is, taped dams first
}

func (g drawnGully) survey() (*PropertyFigures, model.Feature) {
	mouth := orb.Point{146, -20}
	north := func(m float64) orb.Point { return geodesy.Destination(mouth, 0, m) }
	lineOf := orb.LineString{mouth, north(100)}
	if g.lineFromHead {
		lineOf.Reverse()
	}
	booked := func(upM float64) float64 {
		if g.bookedFromHead {
			return 100 - upM
		}
		return upM + g.zeroUpM
	}
	fields := []any{"name", "Gully", "accuracyM", 1, "positionBasis", "drawn on the map"}
	if g.stated != "" {
		fields = append(fields, "chainageZero", g.stated)
	}
	features := []model.Feature{feature("thalweg", "t", lineOf, fields...)}
	spots := []staff{}
	slope := g.bedSlope
	if slope == 0 {
		slope = 0.03
	}
	for _, upM := range []float64{0, 40, 100} {
		if !g.bookedFromHead {
			upM = max(upM, -g.zeroUpM)
		}
		spots = append(spots, staff{"t", model.BedSpot, booked(upM), 100 + slope*upM})
	}
	for i, upM := range append(append([]float64{}, g.tapedAt...), g.levelledAt...) {
		id := fmt.Sprintf("d%d", i)
		one := []any{"name", "Dam " + id, "status", "pegged", "thalweg", "t", "accuracyM", g.accuracyM}
		if i < len(g.tapedAt) {
			one = append(one, "chainageM", booked(upM), "chainageBasis", "taped")
		}
		features = append(features, feature("check-dam", id, north(upM+g.moved[i]), one...))
		spots = append(spots, staff{id, model.ToeSpot, -1, 100 + slope*upM})
	}
	drawn := feature("check-dam", "drawn", north(23), "name", "Dam 2", "status", "proposed", "thalweg", "t", "accuracyM", g.accuracyM)
	features = append(features, drawn, feature("level-run", "r", nil, "rows", book(0, spots...)))
	return survey(features...), drawn
}

// atUp is where the model has the dam that stands 23 m up from the mouth.
func (g drawnGully) atUp() (upM float64, known bool, section LongSection) {
	l, d := g.survey()
	f, ok := l.Of(d).Figure("chainageM")
	return f.Value, ok, l.LongSections()[0]
}

// wantUp is the chainage of that dam, up the gully.
func (g drawnGully) wantUp() float64 {
	if g.bookedFromHead {
		return 23
	}
	return 23 + g.zeroUpM
}

// TestLineIsMatchedToTheBed: tapped from the head or the foot, booked from the head or the
// foot, by what evidence there is. Worked by hand: 23 m up, plus the chainage of the mouth.
func TestLineIsMatchedToTheBed(t *testing.T) {
	for _, lineFromHead := range []bool{false, true} {
		for _, bookedFromHead := range []bool{false, true} {
			zero := zeroAtStart
			if lineFromHead != bookedFromHead {
				zero = zeroAtEnd
			}
			for _, c := range []struct {
				say   string
				g     drawnGully
				known bool
			}{
				{"nothing is known", drawnGully{accuracyM: 4}, false},
				{"one taped dam fits both ways", drawnGully{accuracyM: 4, tapedAt: []float64{10}}, false},
				{"two taped dams", drawnGully{accuracyM: 4, tapedAt: []float64{10, 60}}, true},
				{"two taped dams too near to each other for their fixes", drawnGully{accuracyM: 8, tapedAt: []float64{10, 18}}, false},
				{"two levelled dams", drawnGully{accuracyM: 4, levelledAt: []float64{5, 60}}, true},
				{"one taped, one levelled", drawnGully{accuracyM: 4, tapedAt: []float64{10}, levelledAt: []float64{70}}, true},
				{"two levelled on a bed too flat to tell", drawnGully{accuracyM: 4, levelledAt: []float64{5, 60}, bedSlope: 0.002}, false},
				{"stated", drawnGully{accuracyM: 4, stated: zero}, true},
				{"stated, and a dam that does not fit", drawnGully{accuracyM: 4, stated: zero, tapedAt: []float64{80}, moved: map[int]float64{0: -60}}, true},
				{"chainage 0 is 20 m below the line's mouth", drawnGully{accuracyM: 4, zeroUpM: 20, tapedAt: []float64{10, 60}}, true},
				{"one bad fix among four", drawnGully{accuracyM: 2, tapedAt: []float64{10, 30, 60, 80}, moved: map[int]float64{0: 60}}, true},
			} {
				c.g.lineFromHead, c.g.bookedFromHead = lineFromHead, bookedFromHead
				t.Run(fmt.Sprintf("line from head %t, booked from head %t, %s", lineFromHead, bookedFromHead, c.say), func(t *testing.T) {
					up, known, section := c.g.atUp()
					want := c.g.wantUp()
					if known != c.known || known && math.Abs(up-want) > 0.1 {
						t.Errorf("it stands at %.2f m, known: %t; want %.0f, %t", up, known, want, c.known)
					}
					if section.ZeroUnknown == c.known || (section.Line != nil) != c.known {
						t.Errorf("the section asks: %t, and has the line at %+v; want it to ask: %t", section.ZeroUnknown, section.Line, !c.known)
					}
					if notes := strings.Join(section.Notes, " "); strings.Contains(notes, "left out") == c.known {
						t.Errorf("notes are %q", notes)
					}
				})
			}
		}
	}
}

// TestPlaceOffTheMatchedLineIsTold, on the dam's page, in the notes, and marked in the section.
func TestPlaceOffTheMatchedLineIsTold(t *testing.T) {
	g := drawnGully{accuracyM: 2, tapedAt: []float64{10, 30, 60, 80}, moved: map[int]float64{0: 60}}
	l, _ := g.survey()
	warns(t, l.Of(feature("check-dam", "d0", nil)), "chainageM", "Its position lies at chainage 70 m of Gully as drawn, but its chainage is 10.0 m: check the tape, the position, and which end of the line is chainage 0.")
	quiet(t, l.Of(feature("check-dam", "d1", nil)), "chainageM")
	section := l.LongSections()[0]
	if notes := strings.Join(section.Notes, " "); !strings.Contains(notes, "Dam d0: its position lies") || strings.Contains(notes, "Dam d1") {
		t.Errorf("notes are %q, want the one that does not fit", notes)
	}
	for _, d := range section.Dams {
		if d.Disagrees != (d.ID == "d0") {
			t.Errorf("dam %s disagrees: %t", d.ID, d.Disagrees)
		}
	}
	// What the officer said stands, and what contradicts it is told.
	g = drawnGully{accuracyM: 4, stated: zeroAtEnd, tapedAt: []float64{10, 60}}
	l, _ = g.survey()
	warns(t, l.Of(feature("check-dam", "d0", nil)), "chainageM", "Its position lies at chainage 90 m")
}

// TestMatchIsNeverWrong: with fixes that err as receivers do, the line is matched rightly or
// not at all; and turning the line round changes nothing.
func TestMatchIsNeverWrong(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawnGully{
			bookedFromHead: rapid.Bool().Draw(t, "bookedFromHead"),
			zeroUpM:        rapid.Float64Range(0, 40).Draw(t, "zeroUpM"),
			accuracyM:      rapid.Float64Range(1, 6).Draw(t, "accuracyM"),
			tapedAt:        rapid.SliceOfN(rapid.Float64Range(0, 100), 0, 4).Draw(t, "tapedAt"),
			levelledAt:     rapid.SliceOfN(rapid.Float64Range(0, 100), 0, 4).Draw(t, "levelledAt"),
			moved:          map[int]float64{},
		}
		for i := range len(g.tapedAt) + len(g.levelledAt) { // within the two standard deviations that are allowed for
			g.moved[i] = rapid.Float64Range(-2, 2).Draw(t, "off") * g.accuracyM
		}
		up, known, one := g.atUp()
		g.lineFromHead = true
		upTurned, knownTurned, other := g.atUp()
		if known != knownTurned || known && math.Abs(up-upTurned) > 1e-3 {
			t.Fatalf("it stands at %v m, known %t; with the line turned round at %v, %t", up, known, upTurned, knownTurned)
		}
		if one.Line != nil && (one.Line.Down || !other.Line.Down) {
			t.Fatalf("the line is matched as %+v, and turned round as %+v", one.Line, other.Line)
		}
		if far := 6*g.accuracyM + 12; known && math.Abs(up-g.wantUp()) > far {
			t.Fatalf("it stands at %v m, want %v within %v", up, g.wantUp(), far)
		}
	})
}
