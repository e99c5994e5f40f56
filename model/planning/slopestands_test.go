package planning

import (
	"testing"

	"headcut/model"
)

// Works of a plan are pegged in the run that it rests on: that changes no base, while another level of what it went
// by does.
func TestPegsChangeNoPlanOfASlope(t *testing.T) {
	lines := func() []staff { return append(pegsAt("1", 100), pegsAt("2", 98.5)...) }
	slope := func() []staff { return slopeBook(100, 4) }
	for _, c := range []struct {
		name  string
		r     Request
		land  func() land
		run   string
		spots []staff // of the run as it is edited
		outM  float64
		says  string // "": nothing
	}{
		{"lines-pegged-on", rips, func() land { return twoRips() }, "r", append(lines(), pegsAt("other", 99.2)...), 0, ""},
		{"line-pegged-elsewhere", rips, func() land { return twoRips() }, "r", append(pegsAt("1", 100), pegsAt("2", 98.4)...), 0, "Run r was edited since"},
		{"line-off", rips, func() land { return twoRips() }, "r", append(pegsAt("1", 100), pegsAt("2", 98.5, 0, 0.3)...), 0, "Run r was edited since"},
		{"lines-not-closed", rips, func() land { return twoRips() }, "r", lines(), 0.5, "Run r was edited since"},
		{"rows-pegged-on", rowsAsked, func() land { return twoRows() }, "r", append(append(pegsAt("1", 100), pegsAt("2", 98)...), pegsAt("other", 99.2)...), 0, ""},
		{"banks-pegged-on", slopeBanks, func() land { return slopeOf(slope()...) }, "1", append(slope(), pegsAt("bank", 99.2)...), 0, ""},
		{"slope-levelled-on", slopeBanks, func() land { return slopeOf(slope()...) }, "1", append(slope(), staff{"s", "", 110, 99.6}), 0, "Run 1 was edited since"},
		{"slope-lower", slopeBanks, func() land { return slopeOf(slope()...) }, "1", append(slope()[:5], staff{"s", "", 100, 99.9}), 0, "Run 1 was edited since"},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := c.land()
			a := l.adopt(t, c.r)
			l.set(c.run, "rows", book(c.outM, c.spots...))
			p := property(l...)
			changed := model.Each(p.Changed(p.items[a.Plan]), func(b BaseChange) string { return b.What })
			if c.says == "" && len(changed) > 0 {
				t.Errorf("changed: %q, want nothing", changed)
			} else if c.says != "" {
				says(t, "changed:", changed, c.says)
			}
		})
	}
}
