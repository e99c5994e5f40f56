package planning

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"headcut/model"
	"headcut/model/compute"
	"headcut/model/recorded"
)

var slopeBanks = Request{Of: "Ironbark scald", Plans: Banks, Given: given(builtAlike[:len(builtAlike)-1] + `, "flowM3S": 0.4, "slopeFactor": 0.1, "constant": 0.4}`)}

// builtAlike is what the officer says of every bank.
const builtAlike = `{"outlet": {"kind": "grassed waterway", "stable": true, "toGullyHead": false}, "reaches": [{"lengthM": 150, "gradePct": 0.3}],
	"bankRunPerRise": 3, "topWidthM": 2, "freeboardM": 0.15, "settlementPct": 10, "lining": "high grass", "cover": "couch"}`

// slopeBook are levels down a slope of the scald that falls so many per cent of the tape.
func slopeBook(lengthM, pct float64) (spots []staff) {
	for c := 0.0; c <= lengthM; c += 20 {
		spots = append(spots, staff{"s", "", c, 104 - c*pct/100})
	}
	return spots
}

func slopeOf(spots ...staff) []recorded.Item {
	return []recorded.Item{bareScald(), run("1", "2026-05-13", 0, spots...)}
}

func (r Request) with(text string) Request {
	all := given(text)
	for name, raw := range r.Given {
		if _, there := all[name]; !there {
			all[name] = raw
		}
	}
	r.Given = all
	return r
}

// On 4 % of fall over the tape VI = 0.1 S + 0.4 m puts banks 0.8 m of fall and 20 m apart; the answer is that of
// the same input typed by hand, for the uppermost.
func TestBanksAreTheBareComputation(t *testing.T) {
	d := drafted(t, property(slopeOf(slopeBook(100, 4)...)...), slopeBanks)
	answer, err := d.Compute()
	if err != nil {
		t.Fatalf("%s: %v; refused: %q", d.Input, err, d.Refused)
	}
	var in struct {
		LandSlopePct, LandSlopePlusMinusPct float64
		Outlet                              struct{ LevelM float64 }
	}
	slopePct := 4 / math.Sqrt(1-0.04*0.04)
	if err := json.Unmarshal(d.Input, &in); err != nil || math.Abs(in.LandSlopePct-slopePct) > 1e-9 || in.LandSlopePlusMinusPct < 0.005 || in.LandSlopePlusMinusPct > 0.02 {
		t.Fatalf("input %s, want a slope of %v %%", d.Input, slopePct)
	}
	if off := in.Outlet.LevelM - 103.2; math.Abs(off) > 0.002 {
		t.Errorf("the first outlet is at %v m, want 103.2 m, 20 m down the slope", in.Outlet.LevelM)
	}
	hand, err := compute.Run("bank-layout", []byte(`{"slopeFactor": 0.10, "constant": 0.4, "flowM3S": 0.40, "landSlopePct": `+number(in.LandSlopePct)+`, "landSlopePlusMinusPct": `+number(in.LandSlopePlusMinusPct)+`,
		"outlet": {"toGullyHead": false, "kind": "grassed waterway", "levelM": `+number(in.Outlet.LevelM)+`, "stable": true}, "reaches": [{"gradePct": 0.3, "lengthM": 150}],
		"bankRunPerRise": 3, "topWidthM": 2, "freeboardM": 0.15, "settlementPct": 10, "lining": "high grass", "cover": "couch"}`))
	if err != nil || string(hand) != string(answer) {
		t.Errorf("answer %s\nby hand %s, %v", answer, hand, err)
	}
	uses(t, d, "1", "s")
	if len(d.Missing) > 0 {
		t.Errorf("missing %q, and nothing is", d.Missing)
	}
}

func TestWhatBanksLack(t *testing.T) {
	whole := slopeOf(slopeBook(100, 4)...)
	for _, c := range []struct {
		name  string
		items []recorded.Item
		r     Request
		part  string
	}{
		{"no-levels", []recorded.Item{bareScald()}, slopeBanks, "no levels of Ironbark scald are booked: book a line straight down the slope, beside where banks can let their water out, with a level and staff"},
		{"open-run", []recorded.Item{bareScald(), run("1", "2026-05-13", 0.5, slopeBook(100, 4)...)}, slopeBanks, "can be used as it is"},
		{"nothing-given", whole, Request{Of: "s", Plans: Banks}, "the bank is not described: give its length and grade (reaches), the lean of its face (bankRunPerRise)"},
		{"no-water", whole, Request{Of: "s", Plans: Banks, Given: given(builtAlike)}, "how much water comes is not known: give flowM3S"},
		{"no-outlet", whole, slopeBanks.with(`{"outlet": null}`), "where the water leaves is not known: give outlet, with kind, one of grassed waterway,"},
		{"outlet-by-word", whole, slopeBanks.with(`{"outlet": {"kind": "grassed area", "stable": true, "toGullyHead": false, "levelM": 99}}`), "outlet.levelM comes from the level run: leave it out"},
		{"no-place", whole, Request{Of: "s", Plans: Banks, Given: given(builtAlike)}, "where the bank crosses the levels is not known: give atM"},
		{"two-rules", whole, slopeBanks.with(`{"atM": 40}`), "atM: banks by a spacing rule are counted from the top"},
		{"off-the-levels", whole, slopeBanks.with(`{"toM": 140}`), "toM: 140 is not from 0 to 100 m."},
		{"turned-about", whole, slopeBanks.with(`{"fromM": 60, "toM": 40}`), "toM: 40 m is not beyond fromM, 60 m."},
		{"too-short", whole, slopeBanks.with(`{"toM": 15}`), "the rule puts banks 20.0 m apart, and the slope is 15.0 m long: no bank divides it."},
		{"unit-slipped", whole, slopeBanks.with(`{"ruleUnit": "cm"}`), "the rule would put 500 banks down the slope, more than 200: is its unit right?"},
		{"rises", slopeOf(append(slopeBook(60, 4), staff{"s", "", 80, 101.9})...), slopeBanks, "the slope rises again by 0.30 m at chainage 80.0"},
		{"contradiction", append(whole, run("2", "2026-05-13", 0, append(slopeBook(60, 4), staff{"s", "", 80, 100.4})...)), slopeBanks, "differ by 0.40 m at chainage 80.0"},
		{"clash", []recorded.Item{clashed(bareScald(), "geometry"), whole[1]}, slopeBanks, "Ironbark scald: two people changed it differently"},
		{"clashing-bank", append(whole, clashed(item("contour-bank", "k", nil, "slope", "s", "status", "built", "chainageM", 40), "chainageM")), slopeBanks, "two people changed it differently"},
	} {
		t.Run(c.name, func(t *testing.T) { refuses(t, drafted(t, property(c.items...), c.r), c.part) })
	}
	uneven := drafted(t, property(slopeOf(append(slopeBook(60, 2), staff{"s", "", 80, 100.8}, staff{"s", "", 130, 98})...)...), slopeBanks)
	says(t, "missing:", uneven.Missing, "the slope is uneven, from 2.0 to 10.1 %")
	says(t, "missing:", uneven.Missing, "no levels between chainage 80.0 and 130.0: book the slope there.")
	bare := slopeBanks.with(`{"cover": null}`)
	says(t, "missing:", drafted(t, property(whole...), bare).Missing, "what velocity the channel bears is not known, and is not judged: give cover")
}

// An unsafe outlet is refused by the computation, with its reason, and what fails is not adopted.
func TestUnsafeBanksAreRefused(t *testing.T) {
	p := property(slopeOf(slopeBook(100, 4)...)...)
	if _, err := p.Plan(slopeBanks.with(`{"outlet": {"kind": "grassed area", "stable": true, "toGullyHead": true}}`), ""); err == nil || err.(*model.Problem).Path != "outlet.toGullyHead" {
		t.Errorf("an outlet to a gully head: %v, want a problem there", err)
	}
	fails := slopeBanks.with(`{"lengthLimitM": 100}`)
	o, err := p.Plan(fails, "")
	if err != nil {
		t.Fatal(err)
	}
	says(t, "says:", o.Says, "It is 150 m long, over the limit of 100 m")
	if _, err := p.Plan(fails, adoptedOn); err == nil {
		t.Error("a bank that is too long was adopted")
	}
	sketch := slopeBanks
	sketch.Run = "1"
	open := property(bareScald(), run("1", "2026-05-13", 0.5, slopeBook(100, 4)...))
	o, err = open.Plan(sketch, "")
	if err != nil || o.Answer == nil {
		t.Fatalf("a sketch: %v, %q", err, o.Refused)
	}
	says(t, "missing:", o.Missing, "Until then the layout is a sketch")
	if _, err := open.Plan(sketch, adoptedOn); err == nil {
		t.Error("a sketch was adopted")
	}
}

// chainagesOf are where the banks of a plan are to be, and the levels of their channels, as they were written.
func (l land) chainagesOf(t rapid.TB, kind, plan string) (atM, outletM, topM []float64) {
	for _, bank := range l.ofPlan(kind, plan) {
		for field, to := range map[string]*[]float64{"chainageM": &atM, "targetOutletLevelM": &outletM, "targetTopLevelM": &topM} {
			m, ok := bank.Number(field)
			if !ok {
				t.Fatalf("%s has no %s", bank.Fields, field)
			}
			*to = append(*to, m)
		}
	}
	return atM, outletM, topM
}

func TestAdoptedBanks(t *testing.T) {
	l := land(slopeOf(slopeBook(100, 4)...))
	a := l.adopt(t, slopeBanks)
	atM, outletM, topM := l.chainagesOf(t, "contour-bank", a.Plan)
	if len(atM) != 4 { // 20.0 m and a little by the tape: the fifth lies below the last level
		t.Fatalf("banks at %v, want 4", atM)
	}
	for i := range atM {
		if math.Abs(atM[i]-20*float64(i+1)) > 0.1 || math.Abs(outletM[i]-(104-0.04*atM[i])) > 1e-3 || math.Abs(topM[i]-outletM[i]-0.45) > 1e-9 {
			t.Errorf("bank %d at %v m from %v to %v m", i+1, atM[i], outletM[i], topM[i])
		}
	}
	first := l.ofPlan("contour-bank", a.Plan)[0]
	for name, want := range map[string]any{"name": "Contour bank 1", "status": "proposed", "slope": "s", "gradePct": 0.3, "outlet": "grassed waterway", "crestLengthM": 150.0, "heightBasis": "from plan", "chainageBasis": "from plan"} {
		var got any
		if err := json.Unmarshal(first.Fields[name], &got); err != nil || got != want {
			t.Errorf("%s is %s, want %v", name, first.Fields[name], want)
		}
	}
	says(t, "takes:", []string{first.Text("takes")}, "m³ of earth")
	if again := l.adopt(t, slopeBanks); len(again.Changes) > 0 || again.Known != 4 || again.Plan != a.Plan {
		t.Errorf("adopted again: %+v, want no change", again)
	}

	// One that is built stays; another rule moves those that are proposed near by.
	l.set(first.ID, "status", "built")
	wider := slopeBanks.with(`{"constant": 0.5}`)
	o, err := property(l...).Plan(wider, "")
	if err != nil {
		t.Fatal(err)
	}
	says(t, "says:", o.Says, "Contour bank 1 is built at chainage 20.0: it stays as it is, and the others go on from it.")
	if !slices.ContainsFunc(o.Used, func(u Used) bool { return u.Feature == first.ID }) {
		t.Errorf("used %+v, want the built bank among it", o.Used)
	}
	b := l.adopt(t, wider)
	if slices.ContainsFunc(b.Changes, func(c Change) bool { return c.Feature == first.ID }) {
		t.Errorf("a built bank was touched: %+v", b.Changes)
	}
	if atM, _, _ := l.chainagesOf(t, "contour-bank", b.Plan); len(atM) != 3 || math.Abs(atM[0]-42.5) > 0.1 || math.Abs(atM[2]-87.6) > 0.1 {
		t.Errorf("below the built one banks are at %v, want each 22.5 m farther down", atM)
	}
	says(t, "says:", b.Says, "Contour bank 4 at chainage 80.0 is proposed and is not in this layout: strike it out")

	l = append(l, run("2", "2027-05-13", 0, slopeBook(100, 4)...))
	p := property(l...)
	says(t, "changed:", model.Each(p.Changed(p.items[b.Plan]), func(c BaseChange) string { return c.What }), "Run 2 of 13 May 2027 closes, and is newer than the run used.")
}

// A bank above a gully head stands alone where it is put, and carries the peak flow that was adopted to the head,
// also by levels that were booked from the foot of the slope up.
func TestABankAboveAHead(t *testing.T) {
	var up []staff
	for _, s := range slopeBook(100, 4) {
		up = append(up, staff{"h", "", 100 - s.chainageM, s.levelM})
	}
	l := land{mainHead("catchmentHa", 14), run("1", "2026-05-13", 0, up...)}
	r := Request{Of: "h", Plans: Banks, Given: given(builtAlike)}.with(`{"atM": 70}`)
	refuses(t, drafted(t, property(l...), r), "how much water comes is not known")
	peak := l.adopt(t, flow)
	a := l.adopt(t, r)
	d := drafted(t, property(l...), r)
	uses(t, d, append([]string{"1"}, sorted(peak.Plan, "h")...)...)
	atM, outletM, _ := l.chainagesOf(t, "diversion-bank", a.Plan)
	if len(atM) != 1 || atM[0] != 30 || math.Abs(outletM[0]-101.2) > 1e-9 {
		t.Errorf("banks at %v with outlets at %v, want one at 30 m as booked, at 101.2 m", atM, outletM)
	}
	l.set("h", "catchmentHa", 20)
	p := property(l...)
	says(t, "changed:", model.Each(p.Changed(p.items[a.Plan]), func(b BaseChange) string { return b.What }), "Peak flow to Main head rests on what has changed since.")
	refuses(t, drafted(t, property(l...), r), "rests on what has changed since: plan it again and adopt it, or give flowM3S")
}

// On 4 % VI = 0.1 S + 0.4 m puts banks 20 m apart. Between the top and one that stands at 50 m there are two, not 20 m
// apart and one 10 m above it, but each after a third; a bank that failed or stands beyond the plan counts for nothing.
func TestBanksGoOnFromThoseThatStand(t *testing.T) {
	bank := func(id string, chainageM float64, status string) recorded.Item {
		return item("contour-bank", id, nil, "name", "Bank "+id, "slope", "s", "status", status, "chainageM", chainageM)
	}
	for name, c := range map[string]struct {
		there []recorded.Item
		given string
		want  []float64
	}{
		"none":                {nil, `{}`, []float64{20, 40, 60, 80}},
		"one":                 {[]recorded.Item{bank("a", 50, "built")}, `{}`, []float64{50. / 3, 100. / 3, 70, 90}},
		"one that is pegged":  {[]recorded.Item{bank("a", 20, "pegged")}, `{}`, []float64{40, 60, 80}},
		"failed and removed":  {[]recorded.Item{bank("a", 50, "failed"), bank("b", 30, "removed")}, `{}`, []float64{20, 40, 60, 80}},
		"above the part":      {[]recorded.Item{bank("a", 10, "built")}, `{"fromM": 20}`, []float64{40, 60, 80}},
		"two in a spacing":    {[]recorded.Item{bank("b", 30, "built"), bank("a", 15, "built")}, `{}`, []float64{50, 70, 90}},
		"no chainage is told": {[]recorded.Item{item("contour-bank", "a", nil, "slope", "s", "status", "built")}, `{}`, []float64{20, 40, 60, 80}},
	} {
		d := drafted(t, property(append(slopeOf(slopeBook(100, 4)...), c.there...)...), slopeBanks.with(c.given))
		if !slices.EqualFunc(d.placesM, c.want, func(a, b float64) bool { return math.Abs(a-b) < 0.1 }) {
			t.Errorf("%s: banks at %v, want %v; refused %q", name, d.placesM, c.want, d.Refused)
		}
	}
	full := property(append(slopeOf(slopeBook(100, 4)...), bank("a", 20, "built"), bank("b", 40, "built"), bank("c", 60, "built"), bank("d", 80, "built"), bank("e", 99, "pegged"))...)
	refuses(t, drafted(t, full, slopeBanks), "no bank is missing")
}

// The property's own rule spaces banks where the request names none; one that is placed by itself needs none.
func TestBanksBySettingsOfTheProperty(t *testing.T) {
	plain := Request{Of: "Ironbark scald", Plans: Banks, Given: given(builtAlike[:len(builtAlike)-1] + `, "flowM3S": 0.4}`)}
	with := func(fields ...any) Draft {
		return drafted(t, property(append(slopeOf(slopeBook(100, 4)...), item("settings", "settings-p", nil, fields...))...), plain)
	}
	rows := json.RawMessage(`[{"upToPct": 3, "spacingM": 40}, {"upToPct": 6, "spacingM": 30}]`)
	d := with("bankSpacingRule", "local", "bankSpacingRows", rows, "bankSpacingSource", "district sheet, 2024")
	uses(t, d, "1", "s", "settings-p")
	says(t, "settings:", model.Each(d.Used, func(u Used) string { return u.What }), "the spacing of banks, local")
	answer, err := d.Compute()
	if err != nil {
		t.Fatal(err, d.Refused)
	}
	var out struct {
		Spacing struct {
			Rule, Source string
			HorizontalM  float64
		}
	}
	if err := json.Unmarshal(answer, &out); err != nil || out.Spacing.Rule != "local" || !strings.HasPrefix(out.Spacing.Source, "district sheet, 2024") || len(d.placesM) != 3 {
		t.Errorf("%+v with banks at %v, %v; want three by the district sheet", out.Spacing, d.placesM, err)
	}
	if d := with("bankSpacingRule", "ramser"); len(d.placesM) == 0 || !strings.Contains(string(d.Input), `"spacingRule":"ramser"`) {
		t.Errorf("by a published rule: banks at %v, refused %q", d.placesM, d.Refused)
	}
	refuses(t, with("bankSpacingRule", "local"), "its rows are not there: record bankSpacingRows in its settings")
	refuses(t, with("damCrestHeightM", 0.5), "or spacingRule for banks all down it")
	own := drafted(t, property(append(slopeOf(slopeBook(100, 4)...), item("settings", "settings-p", nil, "bankSpacingRule", "local", "bankSpacingRows", rows))...), slopeBanks)
	if strings.Contains(string(own.Input), "rows") || len(own.placesM) != 4 {
		t.Errorf("the request's own rule gives way to the settings: %s", own.Input)
	}
	alone := drafted(t, property(append(slopeOf(slopeBook(100, 4)...), item("settings", "settings-p", nil, "bankSpacingRule", "local", "bankSpacingRows", rows))...), plain.with(`{"atM": 30, "areaHa": 2}`))
	if strings.Contains(string(alone.Input), "spacingRule") || len(alone.placesM) != 1 {
		t.Errorf("a bank that stands alone is spaced: %s, %q", alone.Input, alone.Refused)
	}
}

// Wherever banks stand, no two are farther apart than the rule says, and none is planned within half a spacing of
// one that stands above a reach that needs it.
func TestLawsOfPlacesDown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		toM, apartM := rapid.Float64Range(1, 1000).Draw(t, "toM"), rapid.Float64Range(8, 100).Draw(t, "apartM")
		standing := rapid.SliceOfN(rapid.Float64Range(0.1, toM), 0, 5).Draw(t, "standing")
		slices.Sort(standing)
		planned := placesDown(0, toM, apartM, standing)
		all := append(slices.Clone(planned), standing...)
		slices.Sort(all)
		lastM := 0.0
		for _, m := range all {
			if m-lastM > apartM*(1+1e-6) || m > toM {
				t.Fatalf("standing %v, planned %v: nothing from %v to %v m", standing, planned, lastM, m)
			}
			lastM = m
		}
		if toM-lastM >= apartM*(1+1e-6) {
			t.Fatalf("standing %v, planned %v: nothing from %v m down", standing, planned, lastM)
		}
		for _, m := range planned {
			for _, s := range standing {
				if math.Abs(m-s) < apartM/2*(1-1e-6) {
					t.Fatalf("planned at %v m beside the one that stands at %v m, spacing %v m", m, s, apartM)
				}
			}
		}
	})
}

func sorted(all ...string) []string { slices.Sort(all); return all }

// Wherever the land falls, adopted banks follow each other by one spacing down the slope, each outlet at the level
// of the ground there and below the one above, each channel falling to it by its grade; and adopting twice
// changes nothing.
func TestLawsOfAdoptedBanks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var spots []staff
		levelM := 104.0
		for c := 0.0; c <= 200; c += 20 {
			spots = append(spots, staff{"s", "", c, math.Round(levelM*1000) / 1000})
			levelM -= rapid.Float64Range(0.1, 0.9).Draw(t, "fall")
		}
		r := slopeBanks
		r.Given = map[string]json.RawMessage{}
		for name, raw := range slopeBanks.Given {
			r.Given[name] = raw
		}
		fields(r.Given).put("slopeFactor", rapid.Float64Range(0.02, 0.3).Draw(t, "factor"))
		fields(r.Given).put("constant", rapid.Float64Range(0.1, 0.6).Draw(t, "constant"))
		gradePct := rapid.Float64Range(0.1, 0.5).Draw(t, "grade")
		fields(r.Given).put("reaches", []map[string]float64{{"lengthM": 200, "gradePct": gradePct}})
		l := land(slopeOf(spots...))
		o, err := property(l...).Plan(r, "")
		if err != nil {
			t.Fatal(err)
		}
		if len(o.Refused) > 0 {
			if o.Answer != nil || o.Input != nil {
				t.Fatalf("refused, and with an answer: %q", o.Refused)
			}
			return
		}
		var out struct {
			Spacing struct{ AlongGroundM float64 }
			FallM   float64
		}
		if err := json.Unmarshal(o.Answer, &out); err != nil {
			t.Fatal(err)
		}
		a := l.adopt(t, r)
		atM, outletM, topM := l.chainagesOf(t, "contour-bank", a.Plan)
		if want := int(200 / out.Spacing.AlongGroundM); len(atM) < want-1 || len(atM) > want+1 || len(atM) == 0 {
			t.Fatalf("%d banks %v m apart on 200 m", len(atM), out.Spacing.AlongGroundM)
		}
		for i, m := range atM {
			k := min(int(m/20), 9)
			ground := spots[k].levelM + (spots[k+1].levelM-spots[k].levelM)*(m-spots[k].chainageM)/20
			if math.Abs(m-float64(i+1)*out.Spacing.AlongGroundM) > 0.01*float64(i+1) || math.Abs(outletM[i]-ground) > 0.002 || i > 0 && outletM[i] >= outletM[i-1] {
				t.Fatalf("bank %d at %v m with its outlet at %v m, ground %v, spacing %v", i, m, outletM[i], ground, out.Spacing.AlongGroundM)
			}
			if math.Abs(topM[i]-outletM[i]-200*gradePct/100) > 0.002 {
				t.Fatalf("bank %d falls from %v to %v m by %v %%", i, topM[i], outletM[i], gradePct)
			}
		}
		if again := l.adopt(t, r); len(again.Changes) > 0 {
			t.Fatalf("adopted again: %+v, want no change", again.Changes)
		}
	})
}
