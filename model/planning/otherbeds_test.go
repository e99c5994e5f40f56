package planning

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// Fig Gully runs 200 m north. Another bed that crosses it is told; one that joins it, that ends at it or a little past
// it as GPS has it, or that lies beside it, is not.
func TestOtherBedsThatCross(t *testing.T) {
	for name, c := range map[string]struct {
		line orb.LineString
		at   float64 // 0: none
	}{
		"across":                {orb.LineString{north(80, -60), north(80, 60)}, 80},
		"slanting, in pieces":   {orb.LineString{north(0, -50), north(60, -30), north(150, 60), north(170, 90)}, 90},
		"crosses twice":         {orb.LineString{north(50, -60), north(50, 60), north(120, 60), north(120, -60)}, 50},
		"joins it":              {orb.LineString{north(120, 80), north(100, 0)}, 0},
		"joins it and 10 m on":  {orb.LineString{north(100, 80), north(100, -10)}, 0},
		"ends before it":        {orb.LineString{north(100, 80), north(100, 5)}, 0},
		"at its lower end":      {orb.LineString{north(10, -60), north(10, 60)}, 0},
		"at its head":           {orb.LineString{north(195, -60), north(195, 60)}, 0},
		"beside it":             {orb.LineString{north(0, 30), north(200, 30)}, 0},
		"far away":              {orb.LineString{north(5000, 30), north(5200, 30)}, 0},
		"a line of one place":   {orb.LineString{north(100, 0), north(100, 0)}, 0},
		"along it, on its line": {orb.LineString{north(50, 0), north(150, 0)}, 0},
	} {
		own := orb.LineString{north(0, 0), north(120, 0), north(200, 0)}
		for _, turned := range []bool{false, true} {
			line := c.line.Clone()
			if turned {
				line.Reverse()
			}
			m, ok := crossing(own, line)
			if ok != (c.at > 0) || ok && (math.Abs(m-c.at) > 0.1 && name != "crosses twice") {
				t.Errorf("%s, turned %v: crosses at %v, %v, want %v", name, turned, m, ok, c.at)
			}
		}
	}
	d := drafted(t, property(drawn(200), run("1", "2026-05-13", 0, bed(200, 2)...), item("thalweg", "o", orb.LineString{north(80, -60), north(80, 60)}, "name", "Low Gully")), dams)
	says(t, "missing:", d.Missing, "the lines of Fig Gully and Low Gully cross 80 m along this one")
	alone := drafted(t, property(drawn(200), run("1", "2026-05-13", 0, bed(200, 2)...)), dams)
	if strings.Contains(strings.Join(alone.Missing, " "), "cross") {
		t.Errorf("a gully alone crosses another: %q", alone.Missing)
	}
}

// A track that forks is drawn in pieces: the layout goes by its levels, and says that nobody knows where they lie.
func TestAForkedTrackGetsNoPositions(t *testing.T) {
	fork := item("track", "t", orb.MultiLineString{{north(0, 0), north(200, 0)}, {north(100, 0), north(150, 80)}}, "name", "Top track")
	l := land{fork, run("1", "2026-05-13", 0, trackBook(3)...), local()}
	d := drafted(t, property(l...), banks)
	says(t, "missing:", d.Missing, "Top track is drawn in 2 pieces, as one that forks is: nobody knows along which of them its levels lie, and planned whoa-boys get no position.")
	a := l.adopt(t, banks)
	for _, bank := range l.ofPlan("whoa-boy", a.Plan) {
		if bank.Geometry != nil {
			t.Errorf("%s was put at %v", bank.ID, bank.Geometry)
		}
	}
	whole := drafted(t, property(item("track", "t", orb.MultiLineString{{north(0, 0), north(200, 0)}}, "name", "Top track"), run("1", "2026-05-13", 0, trackBook(3)...), local()), banks)
	if strings.Contains(strings.Join(whole.Missing, " "), "pieces") {
		t.Errorf("a line of one piece: %q", whole.Missing)
	}
}
