package compute

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/runoff"
	"headcut/model/works"
)

// TestPlusMinusOfNoughtIsTaken: a ± of 0 says that a value is taken as exact. No computation refuses
// one where it takes another; each refuses one below.
func TestPlusMinusOfNoughtIsTaken(t *testing.T) {
	tried := 0
	for _, c := range All() {
		inputs(t, c, func(path string, v any, with func(any) []byte) {
			name := path[strings.LastIndexByte(path, '.')+1:]
			if _, number := v.(json.Number); !number || !strings.Contains(name, "lusMinus") || problemOf(t, c.Name, with(v)) != nil {
				return
			}
			tried++
			if p := problemOf(t, c.Name, with(json.Number("0"))); p != nil && p.Path == path {
				t.Errorf("%s %s: 0 is refused: %v", c.Name, path, p)
			}
			if p := problemOf(t, c.Name, with(json.Number("-0.001"))); p == nil || p.Path != path {
				t.Errorf("%s %s: -0.001 is not refused there: %v", c.Name, path, p)
			}
		})
	}
	if tried < 40 {
		t.Errorf("only %d ± were tried", tried)
	}
}

// What the terminal shows of a computation: every parameter with its type, unit, choices and
// sentence, required ones with a star, each under its heading, and what stands in the Doc.
func TestExplainSaysAll(t *testing.T) {
	for _, c := range All() {
		text, whole := c.Explain(), c.whole()
		at := 0
		find := func(what string) {
			t.Helper()
			i := strings.Index(text[at:], what)
			if i < 0 {
				t.Errorf("%s: %q is not said, or not in its place, in\n%s", c.Name, what, text)
				return
			}
			at += i + len(what)
		}
		var list func(all []Parameter, indent string, inputs bool)
		list = func(all []Parameter, indent string, inputs bool) {
			for _, p := range all {
				line := "\n" + indent + p.Name
				if inputs && p.Required {
					line += "*"
				}
				line += "  " + p.Type
				if unit := model.UnitInWords(p.Unit); unit != "" {
					line += ", " + unit
				}
				if p.Choices != nil {
					line += " (" + strings.Join(p.Choices, ", ") + ")"
				}
				if p.Doc != "" {
					line += ": " + p.Doc
				}
				at--
				find(line + "\n")
				list(p.Fields, indent+"  ", inputs)
			}
		}
		find(c.Name + "\n  " + c.Summary + "\n\nInputs (those marked * are required)\n")
		list(c.Inputs(), "  ", true)
		find("\nOutputs\n")
		list(c.Outputs(), "  ", false)
		find("\nDigits\n  " + Digits + "\n")
		if takes := "\nTakes as input too\n"; len(c.Takes) > 0 {
			find(takes + "  the whole answer of " + strings.Join(c.Takes, ", or of "))
		} else if strings.Contains(text, takes) {
			t.Errorf("%s takes no other's answer and says it does", c.Name)
		}
		for _, part := range []struct {
			heading string
			lines   []string
		}{{"Limits", whole.Limits}, {"Work", []string{"grows as " + string(c.Growth)}}, {"Rules", whole.Rules}, {"Cautions", whole.Cautions}, {"Sources", model.Each(whole.Sources, model.Source.String)}} {
			if len(part.lines) > 0 {
				find("\n" + part.heading + "\n")
			}
			for _, line := range part.lines {
				find("  " + line)
			}
		}
	}
}

// The sources of every table of coefficients and of areas are named.
func TestSourcesOfPeakFlowAreWhole(t *testing.T) {
	c, _ := Named("peak-flow")
	for _, table := range runoff.Coefficients {
		if !slices.Contains(c.Sources, table.Source) {
			t.Errorf("%v is not named", table.Source)
		}
	}
	for _, limit := range runoff.AreaLimits {
		if !slices.Contains(c.Sources, limit.Source) {
			t.Errorf("%v is not named", limit.Source)
		}
	}
}

// Limits that are of whole numbers and words: each is taken, and what is next to it refused.
func TestWholeLimitsAreTaken(t *testing.T) {
	answer := func(name, in string, path string, taken bool) {
		t.Helper()
		p := problemOf(t, name, []byte(in))
		if refused := p != nil && p.Path == path; refused == taken {
			t.Errorf("%s of %.120s: %v, want it taken: %t", name, in, p, taken)
		}
	}
	for zone, longitude := range map[int]float64{0: -177, 1: -177, 60: 177, 61: 177} {
		answer("map-grid", fmt.Sprintf(`{"grid":"UTM","zone":%d,"positions":[[%v,-25]]}`, zone, longitude), "zone", zone >= 1 && zone <= 60)
	}
	for year, taken := range map[int]bool{1984: false, 1985: true, 2100: true, 2101: false} {
		answer("map-grid", fmt.Sprintf(`{"grid":"MGA2020","seenOn":"%d-06-30","positions":[[148,-25]]}`, year), "seenOn", taken)
	}
	for n, taken := range map[int]bool{200: true, 201: false} {
		answer("peak-flow", fmt.Sprintf(`{"areaHa":5,"coefficient":0.5,"intensityMmH":60,"event":%q}`, strings.Repeat("x", n)), "event", taken)
	}
	for pct, taken := range map[string]bool{"1": false, "1.01": true, "100": true, "100.1": false} {
		answer("cover", fmt.Sprintf(`{"points":{"hits":50,"total":100},"targetPct":%s}`, pct), "targetPct", taken)
	}
}

// A ± of the intensity of 0 % is one; without it none is known.
func TestIntensityTakenAsExact(t *testing.T) {
	mmH, nought, most, over := 60.0, 0.0, 100.0, 100.1
	for _, c := range []struct {
		pct  *float64
		want float64
		ok   bool
	}{{nil, -1, true}, {&nought, 0, true}, {&most, 60, true}, {&over, 0, false}} {
		r, err := peakFlowIn{IntensityMmH: &mmH, IntensityPlusMinusPct: c.pct}.intensity(runoff.LogLog)
		if (err == nil) != c.ok || c.ok && r.IntensityMmH != (runoff.Quantity{Value: 60, PlusMinus: c.want}) {
			t.Errorf("± %v %%: %+v, %v; want ± %v", c.pct, r.IntensityMmH, err, c.want)
		}
	}
}

func TestLipPaths(t *testing.T) {
	for path, want := range map[string]string{"groundSlopePct": "groundSlopePct", "slopePlusMinusPct": "slopePlusMinusPct", "heightM": "lip.heightM", "": "lip"} {
		var p *model.Problem
		if err := lipPath(&model.Problem{Path: path}); !errors.As(err, &p) || p.Path != want {
			t.Errorf("%q is at %v, want %q", path, err, want)
		}
	}
	if other := errors.New("other"); lipPath(other) != other || lipPath(nil) != nil {
		t.Error("another error is changed")
	}
}

// Where figures end: by decimals, by digits where those go farther, never as minus nought.
func TestEndings(t *testing.T) {
	for _, c := range []struct {
		e    ending
		n    float64
		want float64
	}{
		{ending{decimals: 2}, 1.2345, 1.23}, {ending{decimals: 2}, 0.0012, 0}, {ending{decimals: 2}, -0.0012, 0}, {ending{decimals: 2}, 0, 0}, {ending{decimals: 0}, 1234.5, 1235},
		{ending{decimals: 2, digits: 3}, 0.0012345, 0.00123}, {ending{decimals: 2, digits: 3}, 1.2345, 1.23}, {ending{decimals: 2, digits: 3}, 123.456, 123.46}, {ending{decimals: 0, digits: 3}, 1.2345, 1.23},
		{ending{decimals: 2, digits: 3}, 0.0000012345, 0}, {ending{decimals: 1, digits: 4}, 0.00012345, 0.00012},
	} {
		if got := c.e.of(c.n); got != c.want || 1/got < 0 && got == 0 {
			t.Errorf("%v ends %+v as %v, want %v", c.n, c.e, got, c.want)
		}
	}
	for n, want := range map[float64]int{1: 0, 9.99: 0, 10: 1, 0.1: -1, -0.099: -2, 1e-9: -9} {
		if got := exponent(n); got != want {
			t.Errorf("the exponent of %v is %d, want %d", n, got, want)
		}
	}
}

// A computation says which answers it takes, and names the sources of its tables of slopes and deposits.
func TestWhatIsTakenIsSaid(t *testing.T) {
	for _, c := range All() {
		takes := model.Each(*c.feeds, func(f feed) string { return f.from })
		if !slices.Equal(c.Takes, takes) {
			t.Errorf("%s takes %q and says %q", c.Name, takes, c.Takes)
		}
	}
	layout, _ := Named("dam-layout")
	said := strings.Join(model.Each(layout.Sources, model.Source.String), "\n")
	for _, limit := range works.SlopeLimits {
		if !strings.Contains(said, fmt.Sprintf("Slope limit, %s, %v %%: %s", limit.Key, limit.Pct, limit.Source.Title)) {
			t.Errorf("%+v is not named", limit)
		}
	}
	for _, rule := range works.DepositRules {
		if !strings.Contains(said, fmt.Sprintf("Deposit rule, %s: %s", rule.Key, rule.Source.Title)) {
			t.Errorf("%+v is not named", rule)
		}
	}
}

// A spread of the observer is for plots alone, be it 0.
func TestObserverIsForPlots(t *testing.T) {
	for in, path := range map[string]string{
		`{"points":{"hits":50,"total":100},"observerPlusMinusPct":0}`: "observerPlusMinusPct", `{"points":{"hits":50,"total":100}}`: "",
		`{"plots":[{"coverPct":50},{"coverPct":60}],"observerPlusMinusPct":0}`: "",
	} {
		p := problemOf(t, "cover", []byte(in))
		if p == nil && path != "" || p != nil && p.Path != path {
			t.Errorf("%s: %v, want a problem at %q", in, p, path)
		}
	}
}

// Dams whose toes fall going up their chainages were booked from the head down: at least two of
// them, each with a toe, by the lowest and the highest, in whatever order they are listed.
func TestTurnedByToes(t *testing.T) {
	at := func(pairs ...float64) (all []damIn) {
		for i := 0; i < len(pairs); i += 2 {
			all = append(all, damIn{ChainageM: pairs[i], ToeLevelM: &pairs[i+1]})
		}
		return all
	}
	for name, c := range map[string]struct {
		dams  []damIn
		turnM float64 // 0: not turned
	}{
		"none": {nil, 0}, "one": {at(10, 5), 0}, "up": {at(10, 5, 20, 6), 0}, "down": {at(10, 6, 20, 5), 20}, "down, listed from the end": {at(20, 5, 15, 5.5, 10, 6), 20}, "as level as may be": {at(10, 5.05, 20, 5), 0},
		"one odd between": {at(10, 6, 15, 9, 20, 5), 20}, "no toe": {append(at(10, 6, 20, 5), damIn{ChainageM: 30}), 0},
	} {
		got := turnedBy(c.dams)
		if (got.turnedAtM != nil) != (c.turnM > 0) || got.turnedAtM != nil && *got.turnedAtM != c.turnM {
			t.Errorf("%s: %v, want %v", name, got.turnedAtM, c.turnM)
		}
	}
}
