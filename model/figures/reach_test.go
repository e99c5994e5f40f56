package figures

import (
	"math"
	"slices"
	"strings"
	"testing"

	"headcut/model"
)

// pegs are three dams at 10, 22 and 35 m by their fixes; the second and the third were taped
// 12.5 m up, each from the one below.
func pegs(zero ...any) (line, a, b, c model.Feature) {
	return gully(append(zero, "accuracyM", 5)...),
		damAt("a", 10, 0, "accuracyM", 5, "name", "Dam 1"),
		damAt("b", 22, 0, "accuracyM", 5, "name", "Dam 2", "damBelow", "a", "fromBelowM", 12.5, "fromBelowBasis", "taped"),
		damAt("c", 35, 0, "accuracyM", 5, "name", "Dam 3", "damBelow", "b", "fromBelowM", 12.5, "fromBelowBasis", "taped")
}

// with is a feature with one more field.
func with(f model.Feature, fields ...any) model.Feature {
	more := feature(f.Kind, f.ID, f.Geometry, fields...).Fields
	for name, raw := range f.Fields {
		if _, given := more[name]; !given {
			more[name] = raw
		}
	}
	f.Fields = more
	return f
}

// What was taped from the dam below is the spacing, whether a chainage is known or not, and
// the chainage follows as soon as that of any of them is.
func TestDistanceTapedFromTheDamBelow(t *testing.T) {
	line, a, b, c := pegs()
	l := survey(line, a, b, c)
	want(t, l.Of(a), "spacingM", 12.5, 0.05, 1e-9, model.Taped)
	want(t, l.Of(b), "spacingM", 12.5, 0.05, 1e-9, model.Taped)
	quiet(t, l.Of(a), "spacingM")
	want(t, l.Of(a), "chainageM", 10, 5*math.Sqrt2, 0.001, model.GPS)
	want(t, l.Of(c), "chainageM", 35, math.Sqrt(50+0.05*0.05*2), 0.001, model.GPS)

	// The lowest is taped afterwards, or the highest: all follow.
	for booked, l := range []*PropertyFigures{survey(line, with(a, "chainageM", 10, "chainageBasis", "taped"), b, c), survey(line, a, b, with(c, "chainageM", 35, "chainageBasis", "taped"))} {
		for i, d := range []model.Feature{a, b, c} {
			tapes := 1 + math.Abs(float64(i-2*booked)) // that of the booked chainage, and those between
			want(t, l.Of(d), "chainageM", 10+12.5*float64(i), 0.05*math.Sqrt(tapes), 1e-9, model.Taped)
			quiet(t, l.Of(d), "chainageM")
		}
	}

	// The dam between is gone: the two tapes add up.
	want(t, survey(line, a, with(b, "status", "failed"), c).Of(a), "spacingM", 25, 0.05*math.Sqrt2, 1e-9, model.Taped)

	// A line of which nobody knows the end with chainage 0, and no line at all.
	spots := []staff{{"t", model.BedSpot, 0, 100}, {"t", model.BedSpot, 50, 101}}
	unknown := survey(line, a, b, c, feature("level-run", "r", nil, "rows", book(0, spots...)))
	none(t, unknown.Of(a), "chainageM")
	want(t, unknown.Of(a), "spacingM", 12.5, 0.05, 1e-9, model.Taped)
	want(t, survey(with(a, "thalweg", ""), with(b, "thalweg", "")).Of(a), "spacingM", 12.5, 0.05, 1e-9, model.Taped)

	// Without a position the tape alone places it.
	b.Geometry = nil
	want(t, survey(line, with(a, "chainageM", 10, "chainageBasis", "taped"), b).Of(b), "chainageM", 22.5, 0.05*math.Sqrt2, 1e-9, model.Taped)
}

// Taped chainages and the tape from toe to toe may contradict each other.
func TestTapesThatContradictAreTold(t *testing.T) {
	line, a, b, _ := pegs()
	a, b = with(a, "chainageM", 10, "chainageBasis", "taped"), with(b, "chainageM", 27, "chainageBasis", "taped")
	warns(t, survey(line, a, b).Of(a), "spacingM", "Dam 2 is 12.5 m up by tape from toe to toe, but 17.0 m by chainages")
	quiet(t, survey(line, a, with(b, "chainageM", 22.5, "chainageBasis", "taped")).Of(a), "spacingM")
	// Two that each name the other below, or a dam that names itself, hang nothing up.
	ring := survey(line, with(a, "damBelow", "b", "fromBelowM", 3), b, damAt("s", 60, 0, "damBelow", "s", "fromBelowM", 5))
	want(t, ring.Of(a), "chainageM", 10, 0.05, 1e-9, model.Taped)
}

// Where one of two dams is taped and the other placed on the line, the error of the line's
// place is in the spacing; between two fixes and between two tapes it cancels. Worked by hand.
func TestErrorOfAMixedSpacing(t *testing.T) {
	line := gully("accuracyM", 5, "chainageZero", zeroAtStart)
	fix := func(id string, m float64, fields ...any) model.Feature {
		return damAt(id, m, 0, append(fields, "accuracyM", 5)...)
	}
	l := survey(line, fix("a", 10), fix("b", 20), fix("c", 30, "chainageM", 30, "chainageBasis", "taped"), fix("d", 40, "chainageM", 40, "chainageBasis", "taped"))
	want(t, l.Of(fix("a", 10)), "spacingM", 10, 5*math.Sqrt2, 0.001, model.GPS)
	want(t, l.Of(fix("b", 20)), "spacingM", 10, math.Hypot(5*math.Sqrt2, 0.05), 0.001, model.GPS)
	want(t, l.Of(fix("c", 30)), "spacingM", 10, 0.05*math.Sqrt2, 1e-9, model.Taped)
}

// A phone that keeps its figures has the same ones as a survey of all, whatever came last.
func TestTapedDistanceKept(t *testing.T) {
	line, a, b, c := pegs()
	k := NewCache()
	now := map[string]model.Feature{}
	for i, change := range []model.Feature{line, a, c, b, with(a, "chainageM", 10), with(b, "fromBelowM", 13), with(a, "status", "removed"), a, with(line, "name", "other"), with(b, "damBelow", ""), b} {
		k.Change(slices.Values([]model.Feature{change}), nil)
		now[change.ID] = change
		all := []model.Feature{}
		for _, f := range now {
			all = append(all, f)
		}
		slices.SortFunc(all, func(x, y model.Feature) int { return strings.Compare(x.ID, y.ID) })
		l := survey(all...)
		for _, f := range all {
			got, _ := k.Sheet(f.ID)
			if g, w := asJSON(t, got), asJSON(t, l.Of(f)); g != w {
				t.Errorf("after change %d %s is kept as\n%s\nwant\n%s", i, f.ID, g, w)
			}
		}
	}
}
