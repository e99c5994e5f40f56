package planning

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
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

// The property's rainfall table is taken where the request gives no rain, and read at the time of concentration.
func TestPeakFlowByThePropertysRain(t *testing.T) {
	rows := []map[string]any{{"minutes": 5, "intensityMmH": 150}, {"minutes": 10, "intensityMmH": 110}, {"minutes": 30, "intensityMmH": 66}}
	rain := item("settings", "settings-p", nil, "rainRows", rows, "rainEvent", "10 % AEP", "rainTableDate", "2016", "rainSource", "the weather bureau")
	head := mainHead("catchmentHa", 14)
	with := func(text string) Request { return Request{Of: "Main head", Plans: PeakFlow, Given: given(text)} }

	d := drafted(t, property(head, rain), with(`{"coefficient": 0.4, "timeOfConcentrationMin": 12}`))
	says(t, "used:", []string{d.Used[1].What}, "the rainfall table by the weather bureau")
	answer, err := d.Compute()
	if err != nil {
		t.Fatal(err)
	}
	const hand = `{"durations": [{"minutes": 5, "intensityMmH": 150}, {"minutes": 10, "intensityMmH": 110}, {"minutes": 30, "intensityMmH": 66}], "event": "%s", "tableDate": "2016", "timeOfConcentrationMin": 12, "coefficient": 0.4, "areaHa": 14}`
	if by, err := compute.Run("peak-flow", fmt.Appendf(nil, hand, "10 % AEP")); err != nil || string(by) != string(answer) {
		t.Errorf("answer %s\nby hand %s, %v", answer, by, err)
	}
	answer, err = drafted(t, property(head, rain), with(`{"coefficient": 0.4, "timeOfConcentrationMin": 12, "event": "1 in 5 years"}`)).Compute()
	if by, _ := compute.Run("peak-flow", fmt.Appendf(nil, hand, "1 in 5 years")); err != nil || string(by) != string(answer) {
		t.Errorf("with an event of its own %s, %v\nby hand %s", answer, err, by)
	}
	own := drafted(t, property(head, rain), flow)
	if len(own.Used) != 1 || strings.Contains(string(own.Input), "durations") {
		t.Errorf("with a rain of its own the draft is %s, of %+v; want it without the table", own.Input, own.Used)
	}
	refuses(t, drafted(t, property(head, rain), with(`{"coefficient": 0.4}`)), "give timeOfConcentrationMin")
	refuses(t, drafted(t, property(head, clashed(rain, "rainRows")), with(`{"coefficient": 0.4, "timeOfConcentrationMin": 12}`)), "two people changed it differently")
	refuses(t, drafted(t, property(head), with(`{"coefficient": 0.4, "timeOfConcentrationMin": 12}`)), "record the table in the settings")
}
