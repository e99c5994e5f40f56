package server

import (
	"encoding/json"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"headcut/model/figures"
	"headcut/model/section"
	"headcut/model/works"
	"headcut/sync/register"
)

func TestNotLevelledIsAbsent(t *testing.T) {
	v := viewOf(t, slices.DeleteFunc(gully(t), func(f register.Folded) bool { return string(f.Fields["kind"]) == `"level-run"` })...)
	if _, text, _ := strings.Cut(jsonOf(t, v), `"sections"`); len(v.Sections) == 0 || strings.Contains(text, "null") {
		t.Errorf("sections of dams that nobody levelled are %s, want what is not known absent", text)
	}
}

func TestHiddenGullyLeavesNoSection(t *testing.T) {
	all := gully(t)
	all[0].Fields["sensitive"] = json.RawMessage("true")
	v := viewOf(t, all...)
	if text := jsonOf(t, v); len(v.Sections) != 0 || strings.Contains(text, "Lower Gully") || strings.Contains(text, `"thal"`) {
		t.Errorf("land.json tells of a sensitive gully: %s", text)
	}
}

func TestGapIsToldInMetres(t *testing.T) {
	v := viewOf(t, gully(t)...)
	s := v.Sections[0]
	if !s.Proven || len(s.Bed) != 11 {
		t.Errorf("section: proven %v with %d stations, want true with 11", s.Proven, len(s.Bed))
	}
	for i, want := range []struct {
		step    float64
		verdict string
	}{{0.20, "gap"}, {0, "level"}} {
		p := s.Pairs[i]
		if p.StepM == nil || math.Abs(*p.StepM-want.step) > 1e-9 || p.Verdict != want.verdict {
			t.Errorf("pair %d: got %+v, want step %v, %s", i, p, want.step, want.verdict)
		}
	}
	i := slices.IndexFunc(v.Works, func(w linkItem) bool { return w.ID == "dam-1" })
	want := []string{"There is a gap of 0.2\u00a0m up to the next dam: water falls on bare bed between the two."}
	if i < 0 || v.Works[i].State != attentionState || !slices.Equal(v.Works[i].Wrong, want) {
		t.Errorf("dam-1: got %+v, want attention for %q", v.Works, want)
	}
}

func TestHumpIsToldInMetres(t *testing.T) {
	all := gully(t)
	for i := range all {
		if all[i].Feature == "run" { // where the bed at 50 m has 101.00
			all[i].Fields["rows"] = json.RawMessage(strings.Replace(string(all[i].Fields["rows"]), `"chainageM":50,"feature":"thal","is":2`, `"chainageM":50,"feature":"thal","is":1.5`, 1))
		}
	}
	v := viewOf(t, all...)
	i := slices.IndexFunc(v.Works, func(w linkItem) bool { return w.ID == "dam-2" })
	want := []string{"Between it and the next dam up the gully bed stands 0.3\u00a0m above its top: water falls on bare bed there."}
	if i < 0 || v.Works[i].State != attentionState || !slices.Equal(v.Works[i].Wrong, want) {
		t.Errorf("dam-2: got %+v, want attention for %q", v.Works, want)
	}
	if p := v.Sections[0].Pairs[1]; p.Verdict != "hump" || p.Hump == nil || p.Hump.ChainageM != 50 || p.Hump.AboveM < 0.25 || p.Hump.AboveM > 0.3 {
		t.Errorf("the pair: got %+v, want a hump of 0.3 m at 50 m", p)
	}
}

// A dam whose level, of a run that does not close, lies far off the bed at its place is drawn
// on the bed, and the page says that the two do not agree.
func TestLevelAndPlaceThatDisagreeAreSaid(t *testing.T) {
	all := gully(t)
	for i := range all {
		switch all[i].Feature {
		case "run":
			all[i].Fields["rows"] = json.RawMessage(strings.Replace(string(all[i].Fields["rows"]), `"fs":3`, `"fs":3.5`, 1))
		case "dam-3":
			all[i].Fields["chainageM"] = json.RawMessage("20") // its foot was levelled 0.8 m higher than the bed there
		}
	}
	s := viewOf(t, all...).Sections[0]
	for _, d := range s.Dams {
		if got, want := d.ToeLevelM != nil && d.CrestLevelM != nil, d.ID != "dam-3"; got != want {
			t.Errorf("%s is drawn by its levels: %v, want %v", d.ID, got, want)
		}
	}
	if want := "The level and the place of Dam three do not agree: drawn on the gully bed until the officer has checked."; !slices.Contains(s.Notes, want) {
		t.Errorf("notes %q, want %q", s.Notes, want)
	}
}

// The height of a dam that is planned is the one that it was pegged for; one that was
// measured comes before it, and one that nobody knows stays absent.
func TestSectionHasHeightsOfPeggedDams(t *testing.T) {
	for _, c := range []struct {
		name   string
		fields fields
		want   float64 // 0: absent
		plan   bool    // nobody measured it
	}{
		{"pegged", fields{"toeLevelM": 101.84, "targetCrestLevelM": 102.34}, 0.5, true},
		{"measured", fields{"crestHeightM": 0.45, "toeLevelM": 101.84, "targetCrestLevelM": 102.34}, 0.45, false},
		{"from-plan", fields{"crestHeightM": 0.45, "crestHeightBasis": "from plan"}, 0.45, true},
		{"toe-alone", fields{"toeLevelM": 101.84}, 0, false},
		{"nothing", fields{}, 0, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			pegged := fields{"kind": "check-dam", "name": "Dam four", "status": "pegged", "thalweg": "thal", "chainageM": 70, "chainageBasis": "taped", "geometry": point(147.3, -22.6+70/110700.0)}
			maps.Copy(pegged, c.fields)
			s := viewOf(t, append(gully(t), folded(t, "dam-4", pegged))...).Sections[0]
			d := s.Dams[3]
			switch {
			case c.want == 0 && d.HeightM != nil:
				t.Errorf("height %v of a dam whose height is not known", *d.HeightM)
			case c.want != 0 && (d.HeightM == nil || *d.HeightM != c.want):
				t.Errorf("height %v, want %v", d.HeightM, c.want)
			}
			if d.HeightPlanned != c.plan {
				t.Errorf("the height is said to be planned: %v, want %v", d.HeightPlanned, c.plan)
			}
			if d.PlusMinusM == nil || !(*d.PlusMinusM > 0) {
				t.Errorf("the taped distance has the ± %v", d.PlusMinusM)
			}
		})
	}
}

func TestSectionWithANumberJSONLacksIsLeftOut(t *testing.T) {
	good := figures.LongSection{Thalweg: "good", Bed: []section.Station{{ChainageM: 0, LevelM: 1}}}
	bad := figures.LongSection{Thalweg: "bad", Bed: []section.Station{{ChainageM: 0, LevelM: math.NaN()}}}
	for _, s := range []figures.LongSection{good, bad} {
		if shown, _ := linkSectionOf(s, nil, nil); (shown != nil) != (s.Thalweg == "good") {
			t.Errorf("linkSectionOf the %s one: got %+v", s.Thalweg, shown)
		}
	}
	// Whichever number it is.
	whole := func() *linkSection {
		one := func() *float64 { m := 1.0; return &m }
		return &linkSection{Bed: []section.Station{{}},
			Dams:  []linkDam{{ToeLevelM: one(), CrestLevelM: one(), HeightM: one(), PlusMinusM: one()}},
			Pairs: []linkPair{{StepM: one(), Hump: &works.Hump{}}}}
	}
	for name, at := range map[string]func(*linkSection) *float64{
		"length": func(s *linkSection) *float64 { return &s.LengthM }, "bed's chainage": func(s *linkSection) *float64 { return &s.Bed[0].ChainageM },
		"bed": func(s *linkSection) *float64 { return &s.Bed[0].LevelM }, "dam's chainage": func(s *linkSection) *float64 { return &s.Dams[0].ChainageM },
		"toe": func(s *linkSection) *float64 { return s.Dams[0].ToeLevelM }, "crest": func(s *linkSection) *float64 { return s.Dams[0].CrestLevelM },
		"height": func(s *linkSection) *float64 { return s.Dams[0].HeightM }, "error": func(s *linkSection) *float64 { return s.Dams[0].PlusMinusM },
		"spacing": func(s *linkSection) *float64 { return &s.Pairs[0].SpacingM }, "step": func(s *linkSection) *float64 { return s.Pairs[0].StepM },
		"hump's chainage": func(s *linkSection) *float64 { return &s.Pairs[0].Hump.ChainageM }, "hump": func(s *linkSection) *float64 { return &s.Pairs[0].Hump.AboveM },
	} {
		for _, odd := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
			s := whole()
			*at(s) = odd
			s.shorten()
			if text, err := json.Marshal(s); err == nil {
				t.Errorf("a section whose %s is %v is written as %s", name, odd, text)
			}
		}
	}
}
