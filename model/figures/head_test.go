package figures

import (
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
)

func TestGivenAndMappedCatchmentsAreCompared(t *testing.T) {
	square := func(id string, sideM, eastM float64) model.Feature {
		return feature("catchment", id, orb.Polygon{{north(0, eastM), north(sideM, eastM), north(sideM, eastM+sideM), north(0, eastM+sideM), north(0, eastM)}}, "name", "Catchment "+id)
	}
	crossed := feature("catchment", "x", orb.Polygon{{north(0, 0), north(400, 400), north(400, 0), north(0, 400), north(0, 0)}}, "name", "Catchment x")
	for name, c := range map[string]struct {
		given any
		at    orb.Point
		lands []model.Feature
		told  string // the start of what is said; empty: nothing is
	}{
		"twice-the-mapped":  {32.0, north(0, 200), []model.Feature{square("a", 400, 0)}, "32 ha were given as its catchment, and Catchment a, mapped to this head, has 16 ha"},
		"a-tenth-apart":     {17.5, north(0, 200), []model.Feature{square("a", 400, 0)}, ""},
		"half-of-it":        {8.0, north(-10, 200), []model.Feature{square("a", 400, 0)}, "8 ha were given"},
		"nearest-of-two":    {32.0, north(-5, 200), []model.Feature{square("a", 400, 0), square("b", 600, 220)}, "32 ha were given as its catchment, and Catchment a"},
		"far-from-any":      {32.0, north(-60, 200), []model.Feature{square("a", 400, 0)}, ""},
		"in-the-middle":     {32.0, north(200, 200), []model.Feature{square("a", 400, 0)}, ""},
		"none-mapped":       {32.0, north(0, 200), nil, ""},
		"nought-given":      {0.0, north(0, 200), []model.Feature{square("a", 400, 0)}, ""},
		"none-given":        {nil, north(0, 200), []model.Feature{square("a", 400, 0)}, ""},
		"crosses-itself":    {32.0, north(0, 200), []model.Feature{crossed}, ""},
		"catchment-nowhere": {32.0, north(0, 200), []model.Feature{feature("catchment", "n", nil)}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			fields := []any{"headDepthM", 1.2}
			if c.given != nil {
				fields = append(fields, "catchmentHa", c.given)
			}
			head := feature("gully-head", "h", c.at, fields...)
			s := Survey(slices.Values(append(c.lands, head))).Of(head)
			i := slices.IndexFunc(s.Cautions, func(c model.Caution) bool { return c.About == "catchmentHa" })
			if (i >= 0) != (c.told != "") || i >= 0 && !strings.HasPrefix(s.Cautions[i].Text, c.told) {
				t.Errorf("cautions %v, want %q", s.Cautions, c.told)
			}
		})
	}
}
