package planning

import (
	"slices"
	"testing"

	"headcut/model"
)

// A peak flow that is adopted after a plan which rests on one is another base where it would be used now: notches
// go by the largest flow to a head, and a bank by the only one.
func TestANewerPeakFlowIsABaseOfItsPlans(t *testing.T) {
	notched := func() (land, string) {
		l := land{drawn(60), topHead(3), acrossRun("1", 2, 0)}
		l.adopt(t, flow)
		asked := dams
		asked.Given = given(builtAs)
		return l, l.adopt(t, asked).Plan
	}
	bank := func() (land, string) {
		var down []staff
		for _, s := range slopeBook(100, 4) {
			down = append(down, staff{"h", "", s.chainageM, s.levelM})
		}
		l := land{mainHead("catchmentHa", 14), run("1", "2026-05-13", 0, down...)}
		l.adopt(t, flow)
		return l, l.adopt(t, Request{Of: "h", Plans: Banks, Given: given(builtAlike)}.with(`{"atM": 30}`)).Plan
	}
	for _, c := range []struct {
		name      string
		plan      func() (land, string)
		intensity string
		of        string // the head that the newer flow is to
		what      string // "" where nothing changed
	}{
		{"dams-larger", notched, "90", "h", "Peak flow to Main head was adopted since, with 0.30 m³/s, and the plan goes without it."},
		{"dams-smaller", notched, "30", "h", ""},
		{"dams-another-head", notched, "90", "far", ""},
		{"bank-larger", bank, "90", "h", "Peak flow to Main head was adopted since, with 1.40 m³/s, and the plan goes without it."},
		{"bank-smaller", bank, "30", "h", "Peak flow to Main head was adopted since, with 0.47 m³/s, and the plan goes without it."},
		{"bank-another-head", bank, "90", "far", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			l, plan := c.plan()
			l = append(l, item("gully-head", "far", north(4000, 0), "name", "Far head", "headDepthM", 1.0, "catchmentHa", 5))
			if changed := property(l...).Changed(planItem(l, plan)); len(changed) > 0 {
				t.Fatalf("changed %+v before another flow was adopted", changed)
			}
			newer := flow.with(`{"intensityMmH": ` + c.intensity + `}`)
			newer.Of = c.of
			id := l.adopt(t, newer).Plan
			changed := property(l...).Changed(planItem(l, plan))
			if got := model.Each(changed, func(b BaseChange) string { return b.What }); c.what == "" && len(got) > 0 || c.what != "" && !slices.Equal(got, []string{c.what}) {
				t.Fatalf("changed %q, want %q", got, c.what)
			}
			if c.what == "" {
				return
			}
			if changed[0].Feature != id {
				t.Errorf("changed %+v, want the newer flow %s", changed, id)
			}
			l.set("h", "catchmentHa", 20) // both flows rest on it: neither would be used now
			for _, b := range property(l...).Changed(planItem(l, plan)) {
				if b.Feature == id {
					t.Errorf("changed %+v by a flow that would not be used", b)
				}
			}
		})
	}
}
