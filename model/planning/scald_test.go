package planning

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"headcut/model"
	"headcut/model/compute"
	"headcut/model/recorded"
)

const ponding = `"ponding": {"pondDepthM": 0.1, "freeboardM": 0.15, "faceRunPerRise": 3, "crestBreadthM": 0.5}`
const pitting = `"pitting": {"lengthM": 0.8, "widthM": 0.4, "depthM": 0.12, "apartM": 1.5, "rowsApartM": 1}`
const gypsum = `"gypsum": {"dispersionClass": "moderate", "source": "Shire office, sheet 7", "table": [{"dispersionClass": "moderate", "kgHa": 5000}]}`

func onScald(given string) Request {
	r := laidBack("s", given)
	r.Plans = Scald
	return r
}

// bare is a scald of 120 by 120 m whose boundary was walked, levelled down 100 m that fall 0.5 %.
func bare(more ...any) recorded.Item {
	s := square("s", 120, 0, 0, append([]any{"name", "Scald s", "kind", "scald", "accuracyM", 3, "positionBasis", "GPS", "dispersive", false}, more...)...)
	s.Kind = "scald"
	return s
}

func downTheScald(id, day string, outM, fallPct float64) recorded.Item {
	var spots []staff
	for c := 0.0; c <= 100; c += 20 {
		spots = append(spots, staff{"s", "", c, 104 - c*fallPct/100})
	}
	return run(id, day, outM, spots...)
}

// The answer is that of the same input typed by hand, byte for byte.
func TestScaldIsTheBareComputation(t *testing.T) {
	p := property(bare("dispersive", true), downTheScald("1", "2026-05-13", 0, 0.5), ratesSet("rates", json.RawMessage(`[{"item":"ponding bank","unit":"m","hoursPerUnit":0.01}]`)))
	o, err := p.Plan(onScald(ponding+","+gypsum), "")
	if err != nil || o.Answer == nil {
		t.Fatal(err, o.Refused)
	}
	area, _ := p.figures.Of(p.items["s"].Feature).Figure("areaM2")
	hand, err := compute.Run("scald", fmt.Appendf(nil, `{"rates": [{"item":"ponding bank","unit":"m","hoursPerUnit":0.01}], %s, %s, "dispersive": true, "areaPlusMinusM2": %v, "areaM2": %v,
		"ground": [{"chainageM": 0, "levelM": 104}, {"chainageM": 20, "levelM": 103.9}, {"chainageM": 40, "levelM": 103.8}, {"chainageM": 60, "levelM": 103.7}, {"chainageM": 80, "levelM": 103.6}, {"chainageM": 100, "levelM": 103.5}]}`,
		gypsum, ponding, *area.PlusMinus, area.Value))
	if err != nil || string(hand) != string(o.Answer) {
		t.Errorf("answer %s\nby hand %s, %v", o.Answer, hand, err)
	}
	if !strings.Contains(string(o.Answer), `"gypsumSource":"Shire office, sheet 7: moderate, as the officer gave it"`) {
		t.Errorf("%s does not name the table of gypsum rates", o.Answer)
	}
	uses(t, o.Draft, "1", "s", "settings-p")
}

func TestWhatAScaldLacks(t *testing.T) {
	levels := downTheScald("1", "2026-05-13", 0, 0.5)
	open := bare()
	open.Geometry = nil
	untested := bare()
	delete(untested.Fields, "dispersive")
	moved := downTheScald("2", "2026-05-13", 0, 0.8)
	for _, c := range []struct {
		name, given, part string
		refused           bool
		items             []recorded.Item
	}{
		{"nothing", "", "give ponding, pitting, gypsum or sowing", true, []recorded.Item{bare()}},
		{"no-area", pitting, "has no area: walk or draw its boundary", true, []recorded.Item{open}},
		{"no-levels", ponding, "no levels of Scald s are booked: book a line down it, square to its contours", true, []recorded.Item{bare()}},
		{"open-run", ponding, "no level run along Scald s can be used", true, []recorded.Item{bare(), downTheScald("1", "2026-05-13", 0.5, 0.5)}},
		{"two-runs-of-a-day", ponding, "both of 13 May 2026, differ by", true, []recorded.Item{bare(), levels, moved}},
		{"a-part-levelled", ponding, "would be 360 m wide, more than it reaches from corner to corner", true, []recorded.Item{bare(), run("1", "2026-05-13", 0, staff{"s", "", 0, 104}, staff{"s", "", 40, 103.8})}},
		{"levels-far-past-it", ponding, "cover 300 m, more than Scald s reaches from corner to corner", true, []recorded.Item{bare(), run("1", "2026-05-13", 0, staff{"s", "", 0, 104}, staff{"s", "", 300, 102.8})}},
		{"two-boundaries", pitting, "Scald s: two people changed it differently", true, []recorded.Item{clashed(bare(), "geometry")}},
		{"two-tests", pitting, "Scald s: two people changed it differently", true, []recorded.Item{clashed(bare(), "dispersive")}},
		{"not-tested", pitting, "whether Scald s disperses: put a crumb of its subsoil in still water", false, []recorded.Item{untested}},
		{"no-gypsum", `"sowing": [{"item": "saltbush", "is": "seed", "rate": 3}]`, "the gypsum for Scald s: have the soil tested", false, []recorded.Item{bare("dispersive", true)}},
		{"no-accuracy", pitting, "how far the area of Scald s may be out", false, []recorded.Item{bare("accuracyM", nil)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := drafted(t, property(c.items...), onScald(c.given))
			if c.refused {
				refuses(t, d, c.part)
				return
			}
			says(t, "missing:", d.Missing, c.part)
		})
	}
	for given, part := range map[string]string{ponding: "breaks out along cracks and tunnels", pitting: "can start tunnels"} {
		if _, err := property(bare("dispersive", true), levels).Plan(onScald(given), ""); err == nil || !strings.Contains(err.Error(), part) {
			t.Errorf("%s on dispersive ground: %v, want that it %s", given, err, part)
		}
	}
	sketch := onScald(ponding)
	sketch.Run = "1"
	if _, err := property(bare(), downTheScald("1", "2026-05-13", 0.5, 0.5)).Plan(sketch, adoptedOn); err == nil || !strings.Contains(err.Error(), "not closed") {
		t.Errorf("a sketch was adopted: %v", err)
	}
}

// An adopted plan proposes each bank with the contour to peg it at, and what is spread on the scald's own area.
func TestAdoptedScald(t *testing.T) {
	l := land{bare("dispersive", true), downTheScald("1", "2026-05-13", 0, 0.5)}
	r := onScald(ponding + "," + pitting + "," + gypsum + `, "sowing": [{"item": "saltbush", "is": "seed", "rate": 3}, {"item": "super", "is": "fertiliser", "rate": 100}]`)
	a := l.adopt(t, r)
	var kinds []string
	for _, c := range a.Changes {
		kinds = append(kinds, c.Kind)
	}
	if want := []string{"ponding-bank", "ponding-bank", "ponding-bank", "ponding-bank", "ponding-bank", "pitting", "gypsum", "revegetation", "plan"}; !slices.Equal(kinds, want) {
		t.Fatalf("changes %q, want %q", kinds, want)
	}
	p := property(l...)
	second := p.items[a.Changes[1].Feature]
	for name, want := range map[string]float64{"chainageM": 80, "targetLevelM": 103.6, "heightM": 0.25, "pondDepthM": 0.1} {
		if m, _ := second.Number(name); math.Abs(m-want) > 1e-9 {
			t.Errorf("%s of the second bank is %v, want %v", name, m, want)
		}
	}
	if second.Geometry != nil || second.Text("treats") != "s" || second.Basis("chainageM") != model.FromPlan {
		t.Errorf("second bank %s: nobody knows where on the map it lies", second.Fields)
	}
	says(t, "takes:", []string{second.Text("takes")}, " m of ponding bank, ")
	spread := p.items[a.Changes[6].Feature]
	if spread.Text("gypsumSource") != "Shire office, sheet 7" || spread.Text("dispersionClass") != "moderate" || spread.Geometry == nil || spread.Basis("geometry") != model.FromPlan {
		t.Errorf("gypsum %s", spread.Fields)
	}
	if again := l.adopt(t, r); len(again.Changes) > 0 || again.Known != 8 {
		t.Errorf("adopted again: %+v, want no change", again)
	}
	l.set(second.ID, "status", "pegged", "chainageM", 80.4, "chainageBasis", "taped")
	deeper := onScald(strings.Replace(ponding, "0.1,", "0.2,", 1) + "," + gypsum)
	b := l.adopt(t, deeper)
	for _, c := range b.Changes {
		if c.Feature == second.ID {
			t.Errorf("the pegged bank was changed: %s", c.Fields)
		}
	}
	says(t, "says:", b.Says, "are proposed and are not in this layout")
	if again := l.adopt(t, deeper); len(again.Changes) > 0 {
		t.Errorf("adopted again: %+v, want no change", again.Changes)
	}
	l = append(l, downTheScald("2", "2027-05-13", 0, 0.5))
	if what := property(l...).Changed(property(l...).items[b.Plan]); len(what) == 0 || !strings.Contains(what[len(what)-1].What, "Run 2 of 13 May 2027 closes, and is newer than the run used.") {
		t.Errorf("changed %+v, want the newer run", what)
	}
}

// Gypsum by a laboratory's figures has no dispersion class, and none is written down.
func TestAdoptedGypsumBySodium(t *testing.T) {
	l := land{bare("dispersive", true)}
	r := onScald(`"gypsum": {"source": "Soil laboratory, sheet 12", "sodium": {"sodiumPct": 15, "cationsCmolKg": 20, "targetPct": 5, "depthM": 0.15, "densityTM3": 1.2, "factor": 1.2, "purityPct": 80}}`)
	a := l.adopt(t, r)
	spread := property(l...).items[a.Changes[0].Feature]
	kgHa, _ := spread.Number("gypsumKgHa")
	if _, classed := spread.Fields["dispersionClass"]; classed || spread.Kind != "gypsum" || kgHa != 4644 || spread.Text("gypsumSource") != "Soil laboratory, sheet 12" {
		t.Errorf("%s %s, want 4644 kg/ha and no class", spread.Kind, spread.Fields)
	}
}

// Whatever the levels: adopted banks stand on the levelled ground, the pond of each ends at the toe of the next, none is
// deeper or steeper than banks that pond are built, gypsum is the table's rate on the scald's area, and adopting twice
// changes nothing.
func TestAdoptedScaldsKeepTheirLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spots := []staff{{"s", "", 0, 104}}
		n := rapid.IntRange(1, 5).Draw(t, "levels")
		apartM := 120 / float64(n)
		for i := range n {
			fallM := math.Round(apartM*rapid.Float64Range(0.2, 1.4).Draw(t, "fall")*10) / 1000
			spots = append(spots, staff{"s", "", apartM * float64(i+1), math.Round((spots[i].levelM-fallM)*1000) / 1000})
		}
		depthM := math.Round(rapid.Float64Range(0.03, 0.3).Draw(t, "depth")*100) / 100
		kgHa := math.Round(rapid.Float64Range(100, 50_000).Draw(t, "gypsum"))
		l := land{bare("dispersive", true), run("1", "2026-05-13", 0, spots...)}
		status := rapid.SampledFrom([]string{"", "proposed", "pegged", "built", "failed"}).Draw(t, "a bank there")
		if status != "" {
			l = append(l, item("ponding-bank", "old", nil, "kind", "ponding-bank", "name", "Ponding bank 9", "treats", "s", "status", status, "chainageM", 40))
		}
		r := onScald(fmt.Sprintf(`"ponding": {"pondDepthM": %v, "freeboardM": 0.15, "faceRunPerRise": 3}, "gypsum": {"dispersionClass": "x", "source": "ours", "table": [{"dispersionClass": "x", "kgHa": %v}]}`, depthM, kgHa))
		a := l.adopt(t, r)
		p := property(l...)
		area, _ := p.figures.Of(p.items["s"].Feature).Figure("areaM2")
		var levels []float64
		for _, item := range p.order {
			if item.Text("plan") != a.Plan {
				continue
			}
			if item.Kind == "gypsum" {
				if q := taking(item); len(q) != 1 || math.Abs(q[0].Amount/(kgHa*area.Value/1e4)-1) > 5e-3 {
					t.Fatalf("gypsum %s, want %v kg/ha on %v m²", item.Fields, kgHa, area.Value)
				}
				continue
			}
			atM, _ := item.Number("chainageM")
			levelM, _ := item.Number("targetLevelM")
			pondM, _ := item.Number("pondDepthM")
			i := min(int(atM/apartM), len(spots)-2)
			groundM := spots[i].levelM + (spots[i+1].levelM-spots[i].levelM)*(atM-spots[i].chainageM)/apartM
			if item.Basis("chainageM") == model.FromPlan && (math.Abs(groundM-levelM) > 0.002 || pondM != depthM || pondM > 0.3) {
				t.Fatalf("%s: the ground there is at %v", item.Fields, groundM)
			}
			levels = append(levels, levelM)
		}
		if again := l.adopt(t, r); len(again.Changes) > 0 {
			t.Fatalf("adopted again: %+v, want no change", again.Changes)
		}
		if status == "pegged" || status == "built" {
			return // a planned bank may stand where that one does, and is not made
		}
		slices.Sort(levels)
		for i := 1; i < len(levels); i++ {
			if math.Abs(levels[i]-levels[i-1]-depthM) > 0.002 {
				t.Fatalf("contours %v, want them %v apart", levels, depthM)
			}
		}
	})
}
