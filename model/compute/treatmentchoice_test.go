package compute

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/treatment"
)

func TestTreatmentChoiceAnswers(t *testing.T) {
	var out treatmentChoiceOut
	run(t, "treatment-choice", `{"what": "gully", "depthM": 0.8, "depthPlusMinusM": 0.05, "widthM": 2, "catchmentHa": 0.3, "bedSlopePct": 3, "timberAtHand": true, "dispersive": false, "tunnels": false, "stockOut": true}`, &out)
	var fits []string
	for i, f := range out.Fits {
		fits = append(fits, strings.TrimSuffix(f.Treatment+" of "+f.BuiltFrom, " of "))
		if f.Rank != i+1 || len(f.Reasons) == 0 || f.Labour == "" || f.Material == "" {
			t.Errorf("%s fits without rank, reason, labour or material: %+v", f.Treatment, f)
		}
	}
	if want := []string{"exclosure", "revegetation", "earth-plug", "check-dam of brushwood", "check-dam of loose rock", "check-dam of netting and posts", "check-dam of hay bales"}; !slices.Equal(fits, want) {
		t.Errorf("fits %q, want %q", fits, want)
	}
	refused := map[string]string{}
	for _, r := range out.RuledOut {
		for _, reason := range r.Reasons {
			refused[r.Treatment] += reason.Rule + " "
		}
	}
	if !strings.Contains(refused["brush-fill"], "brush-fill-deep") || !strings.Contains(refused["diversion-bank"], "divert-small") {
		t.Errorf("ruled out: %v, want brush fill by its depth and diversion by its catchment", refused)
	}
	i := slices.IndexFunc(out.NotDecided, func(u undecidedOut) bool { return u.Treatment == "batter" })
	if i < 0 || out.NotDecided[i].Lacks[0].Field != "wallRunPerRise" || out.NotDecided[i].Lacks[0].Text != "not measured: needed to decide" {
		t.Errorf("not decided: %+v, want batter for want of wallRunPerRise", out.NotDecided)
	}
	if out.Size == nil || out.Size.ByDepth != "small" || out.Size.ByCatchment != "small" {
		t.Errorf("size = %+v, want small by both", out.Size)
	}
	if told := len(out.Fits) + len(out.NotDecided) + len(out.RuledOut) + len(out.NotFor); told != len(treatment.Treatments) {
		t.Errorf("%d treatments are told of, want %d", told, len(treatment.Treatments))
	}
}

// TestEveryFieldCanBeGiven: each field of a site can be given, with its plus-minus, under its
// own name, and the reader's choices are the places that are known.
func TestEveryFieldCanBeGiven(t *testing.T) {
	given := map[string]bool{}
	for _, p := range treatmentChoice.Inputs() {
		given[p.Name] = true
		if p.Name == "what" {
			for i, w := range treatment.Whats {
				if i >= len(p.Choices) || p.Choices[i] != string(w) {
					t.Errorf("what may be %q, want %q", p.Choices, treatment.Whats)
				}
			}
		}
	}
	for _, f := range treatment.Fields() {
		value := "true"
		if f.Measured() {
			value = "1e9"
			if !given[f.PlusMinusName()] {
				t.Errorf("%s has no plus-minus %s", f, f.PlusMinusName())
			}
		}
		in := `{"what": "gully", "` + f.String() + `": ` + value + `}`
		_, err := Run("treatment-choice", []byte(in))
		if p, refused := errors.AsType[*model.Problem](err); !given[f.String()] || refused != f.Measured() || refused && p.Path != f.String() {
			t.Errorf("%s: %v, want an absurd number refused under that name and an answer taken", in, err)
		}
	}
}

func TestExplainPrintsTheRules(t *testing.T) {
	text := treatmentChoice.Explain()
	for _, line := range treatment.Lines() {
		if !strings.Contains(text, line) {
			t.Errorf("Explain() lacks the rule %q", line)
		}
	}
}

func TestRevegetationAnswers(t *testing.T) {
	for _, c := range []struct {
		name, in, verdict string
		alone             bool
		field, finding    string // one reason
		treatment         string // one that is named
	}{
		{"shallow", `{"dispersive": false, "depthM": 0.4, "wallRunPerRise": 2, "headDepthM": 0.2, "catchmentHa": 1}`, "likely", true, "depthM", "met", ""},
		{"deep", `{"dispersive": false, "depthM": 0.6, "wallRunPerRise": 2, "headDepthM": 0.2, "catchmentHa": 1}`, "not likely", false, "depthM", "not met", "check-dam"},
		{"deep-by-judgement", `{"dispersive": false, "depthM": 0.6, "wallRunPerRise": 2, "headDepthM": 0.2, "catchmentHa": 1, "screen": "judgement"}`, "likely", true, "depthM", "met", ""},
		{"steep", `{"dispersive": false, "depthM": 0.4, "wallRunPerRise": 0.5, "headDepthM": 0.2, "catchmentHa": 1}`, "not likely", false, "wallRunPerRise", "not met", "batter"},
		{"head", `{"dispersive": false, "depthM": 0.4, "wallRunPerRise": 2, "headDepthM": 0.9, "catchmentHa": 1}`, "not likely", false, "headDepthM", "not met", "rock-faced-head"},
		{"catchment", `{"dispersive": false, "depthM": 0.4, "wallRunPerRise": 2, "headDepthM": 0.2, "catchmentHa": 3}`, "not likely", false, "catchmentHa", "not met", "diversion-bank"},
		{"stock", `{"dispersive": false, "depthM": 0.4, "wallRunPerRise": 2, "headDepthM": 0.2, "catchmentHa": 1, "stockOut": false}`, "not likely", false, "stockOut", "not met", "exclosure"},
		{"tunnels", `{"dispersive": false, "depthM": 0.4, "wallRunPerRise": 2, "headDepthM": 0.2, "catchmentHa": 1, "tunnels": true}`, "not likely", false, "tunnels", "not met", "engineer"},
		{"not-measured", `{"dispersive": false, "depthM": 0.4, "wallRunPerRise": 2, "headDepthM": 0.2}`, "not measured", false, "catchmentHa", "not measured", "diversion-bank"},
		{"too-close", `{"dispersive": false, "depthM": 0.4, "wallRunPerRise": 2, "headDepthM": 0.2, "catchmentHa": 1.9, "catchmentPlusMinusHa": 0.2}`, "too close to tell", false, "catchmentHa", "too close to tell", "diversion-bank"},
		{"dispersive", `{"dispersive": true, "depthM": 0.4, "wallRunPerRise": 2, "headDepthM": 0.2, "catchmentHa": 1}`, "not likely", false, "dispersive", "not met", "gypsum"},
		{"soil-not-tested", `{"depthM": 0.4, "wallRunPerRise": 2, "headDepthM": 0.2, "catchmentHa": 1}`, "not measured", false, "dispersive", "not measured", "gypsum"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out revegetationOut
			run(t, "revegetation", c.in, &out)
			i := slices.IndexFunc(out.Reasons, func(r screenReason) bool { return r.Field == c.field })
			named := c.treatment == "" && len(out.Treatments) == 0 || slices.ContainsFunc(out.Treatments, func(o otherTreatment) bool { return o.Treatment == c.treatment })
			if out.AloneIsLikely != c.alone || out.Verdict != c.verdict || i < 0 || out.Reasons[i].Verdict != c.finding || out.Reasons[i].Source == "" || !named {
				t.Errorf("revegetation %s = %t, %q, %+v, %+v", c.in, out.AloneIsLikely, out.Verdict, out.Reasons, out.Treatments)
			}
			if len(out.Screens) != len(treatment.Screens) || len(out.Evidence) == 0 {
				t.Errorf("revegetation tells of %d screens and %d findings", len(out.Screens), len(out.Evidence))
			}
		})
	}
}

func TestTreatmentRefusalsNameTheFault(t *testing.T) {
	for _, c := range []struct{ name, compute, in, path string }{
		{"depth-missing", "revegetation", `{"wallRunPerRise": 2}`, "depthM"},
		{"millimetres", "revegetation", `{"depthM": 400}`, "depthM"},
		{"negative-plus-minus", "revegetation", `{"depthM": 0.4, "depthPlusMinusM": -0.1}`, "depthPlusMinusM"},
		{"plus-minus-alone", "revegetation", `{"depthM": 0.4, "catchmentPlusMinusHa": 0.1}`, "catchmentPlusMinusHa"},
		{"other-screen", "revegetation", `{"depthM": 0.4, "screen": "hope"}`, "screen"},
		{"place-missing", "treatment-choice", `{"depthM": 0.4}`, "what"},
		{"wall-in-degrees", "treatment-choice", `{"what": "gully", "wallRunPerRise": 60}`, "wallRunPerRise"},
		{"part-of-one", "treatment-choice", `{"what": "scald", "coverPct": 0.4}`, "coverPct"},
		{"percent-as-number", "treatment-choice", `{"what": "scald", "slopePct": 450}`, "slopePct"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, err := Run(c.compute, []byte(c.in))
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path {
				t.Errorf("%s %s = %s, %v; want a problem at %q", c.compute, c.in, out, err, c.path)
			}
		})
	}
}

func FuzzTreatmentChoice(f *testing.F) {
	f.Add([]byte(`{"what": "gully-head", "depthM": 1.6, "headDepthM": 1.6, "wallRunPerRise": 0, "catchmentHa": 6, "active": true, "stableOutlet": true}`))
	f.Add([]byte(`{"what": "track", "lengthM": 40, "lengthPlusMinusM": 0, "slopePct": 100, "rutted": null}`))
	f.Fuzz(func(t *testing.T, in []byte) { holdsToItsSchema(t, "treatment-choice", in) })
}

func FuzzRevegetation(f *testing.F) {
	f.Add([]byte(`{"depthM": 0.5, "depthPlusMinusM": 0.0001, "wallRunPerRise": 0, "headDepthM": 50, "catchmentHa": 0, "screen": "judgement"}`))
	f.Add([]byte(`{"depthM": 0.48, "depthPlusMinusM": 0.05, "wallRunPerRise": 2, "tunnels": true, "stockOut": false}`))
	f.Fuzz(func(t *testing.T, in []byte) { holdsToItsSchema(t, "revegetation", in) })
}
