package planning

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model/compute"
	"headcut/model/recorded"
)

var flow = Request{Of: "Main head", Plans: PeakFlow, Given: given(`{"coefficient": 0.4, "intensityMmH": 60}`)}

func mainHead(fields ...any) recorded.Item {
	return item("gully-head", "h", north(0, 0), append([]any{"name", "Main head", "headDepthM", 1.5}, fields...)...)
}

// square is a catchment of so many metres a side, whose south-west corner is so many metres north and east.
func square(id string, sideM, northM, eastM float64, fields ...any) recorded.Item {
	ring := orb.Ring{north(northM, eastM), north(northM, eastM+sideM), north(northM+sideM, eastM+sideM), north(northM+sideM, eastM), north(northM, eastM)}
	return item("catchment", id, orb.Polygon{ring}, append([]any{"name", "Catchment " + id}, fields...)...)
}

func areaIn(t *testing.T, d Draft) (areaHa, plusMinusHa float64) {
	t.Helper()
	var in struct{ AreaHa, AreaPlusMinusHa float64 }
	if err := json.Unmarshal(d.Input, &in); err != nil {
		t.Fatalf("input %s: %v; refused: %q", d.Input, err, d.Refused)
	}
	return in.AreaHa, in.AreaPlusMinusHa
}

// A head has the catchment that holds it, or on whose edge it stands, else the one given for it.
func TestPeakFlowOfTheMappedCatchment(t *testing.T) {
	d := drafted(t, property(mainHead(), square("a", 400, -50, -50, "accuracyM", 5), square("b", 400, 600, 0)), flow)
	if ha, plusMinus := areaIn(t, d); math.Abs(ha-16) > 0.01 || plusMinus <= 0 {
		t.Errorf("area %v ± %v ha, want 16 and its ±", ha, plusMinus)
	}
	uses(t, d, "a", "h")
	edge := drafted(t, property(mainHead(), square("a", 400, 20, -50)), flow)
	uses(t, edge, "a", "h") // its outlet is 20 m off the fix

	d = drafted(t, property(mainHead("catchmentHa", 14)), flow)
	says(t, "missing:", d.Missing, "no catchment is mapped around Main head")
	answer, err := d.Compute()
	if err != nil {
		t.Fatal(err)
	}
	if hand, err := compute.Run("peak-flow", []byte(`{"intensityMmH": 60, "coefficient": 0.40, "areaHa": 14}`)); err != nil || string(hand) != string(answer) {
		t.Errorf("answer %s\nby hand %s, %v", answer, hand, err)
	}
}

func TestPeakFlowRefusesWhatNobodyKnows(t *testing.T) {
	a := square("a", 400, -50, -50)
	hole := a
	polygon := a.Geometry.(orb.Polygon)
	hole.Geometry = orb.Polygon{polygon[0], orb.Ring{north(-40, -40), north(40, -40), north(40, 40), north(-40, 40), north(-40, -40)}}
	rainless := flow
	rainless.Given = nil
	for _, c := range []struct {
		name  string
		r     Request
		items []recorded.Item
		part  string
	}{
		{"no-catchment", flow, []recorded.Item{mainHead()}, "the catchment of Main head is not known: draw it"},
		{"a-hole-around-it", flow, []recorded.Item{mainHead(), hole}, "the catchment of Main head is not known"},
		{"two-that-differ", flow, []recorded.Item{mainHead(), a, square("b", 300, -50, -50)}, "and Main head lies in both"},
		{"given-otherwise", flow, []recorded.Item{mainHead("catchmentHa", 30), a}, "30.00 ha were given as the catchment of Main head, and Catchment a"},
		{"no-rain", rainless, []recorded.Item{mainHead(), a}, "the design rain is not known"},
		{"no-coefficient", rainless, []recorded.Item{mainHead(), a}, "what of the rain runs off is not known"},
		{"clash", flow, []recorded.Item{mainHead(), clashed(a, "geometry")}, "two people changed it differently"},
	} {
		t.Run(c.name, func(t *testing.T) { refuses(t, drafted(t, property(c.items...), c.r), c.part) })
	}
	d := drafted(t, property(mainHead(), a, square("b", 390, -45, -45)), flow)
	leavesOut(t, d, "b", "the head lies in Catchment a too")
}
