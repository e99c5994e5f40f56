package figures

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
)

func TestWords(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{LengthWords(120.3, 4.2), "120 m, give or take 4 m"},
		{LengthWords(9, 7.07), "9 m, give or take 7 m"},
		{LengthWords(8, 0.0707), "8 m, give or take 0.07 m"},
		{LengthWords(118.44, -1), "about 118 m"},
		{LengthWords(0.4, -1), "about 0.4 m"},
		{LengthWords(1234.5, 42), "1,230 m, give or take 40 m"},
		{LengthWords(1234.5, 9.6), "1,230 m, give or take 10 m"},
		{LengthWords(12_345, 30), "12.35 km, give or take 0.03 km"},
		{LengthWords(0, -1), "about 0 m"},
		{AreaWords(450, 30), "450 m², give or take 30 m²"},
		{AreaWords(23_400, 1200), "2.3 ha, give or take 0.1 ha"},
		{AreaWords(5_000_002, -1), "about 500 ha"},
		{AreaWords(999.6, -1), "about 1,000 m²"},
		{AreaWords(123_456_789, -1), "about 12,300 ha"},
		{LengthWords(math.NaN(), math.NaN()), "about NaN m"}, // no figure is ever that; the words must not panic
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestPlain(t *testing.T) {
	line := orb.LineString{north(0, 0), north(120, 0)}
	square := orb.Polygon{{north(0, 0), north(0, 150), north(150, 150), north(150, 0), north(0, 0)}}
	bowTie := orb.Polygon{{north(0, 0), north(100, 100), north(0, 100), north(100, 0), north(0, 0)}}
	three := threeDams(0)
	for _, c := range []struct {
		name string
		f    model.Feature
		with []model.Feature
		want []string
	}{
		{"check-dam", feature("check-dam", "d", nil, "crestHeightM", 0.4, "status", "built", "builtOn", "2026-03-03"), nil,
			[]string{"About 0.4 m high.", "Built on 3 March 2026.", "Its toe and crest have not been levelled."}},
		{"dam-with-a-gap", three[2], three,
			[]string{"About 0.4 m high.", "18 m up the gully from its lower end, give or take 0.05 m.", "Built.", "Its crest is 0.18 m below the toe of dam 5: a gap."}},
		{"fence", feature("fence", "f", line, "accuracyM", 3), nil, []string{"120 m long, give or take 4 m."}},
		{"line-of-unknown-accuracy", feature("fence", "f", line), nil, []string{"About 120 m long."}},
		{"scald", feature("scald", "s", square, "accuracyM", 5), nil, []string{"Covers 2.3 ha, give or take 0.1 ha."}},
		{"scald-that-crosses-itself", feature("scald", "s", bowTie), nil, nil}, // its sentence is looked at below
		{"windrow", feature("windrow", "w", line, "heightM", 1.25, "status", "proposed"), nil,
			[]string{"About 1.25 m high.", "About 120 m long.", "Proposed; nothing is on the ground yet.", "Its contour has not been levelled."}},
		{"pegged", feature("batter", "b", nil, "status", "pegged", "peggedOn", "2026-11-25"), nil, []string{"Pegged out on 25 November 2026, not built yet."}},
		{"failed", feature("batter", "b", nil, "status", "failed", "builtOn", "2025-01-02", "failedOn", "2026-02-14"), nil,
			[]string{"Built on 2 January 2025.", "Failed on 14 February 2026."}},
		{"removed", feature("batter", "b", nil, "status", "removed"), nil, []string{"Removed."}},
		{"odd-status", feature("batter", "b", nil, "status", 7, "builtOn", "yesterday"), nil, nil},
		{"gully-head", feature("gully-head", "h", orb.Point{148, -20}, "headDepthM", 1.6), nil, []string{"The head is about 1.6 m deep."}},
		{"unknown", feature("moon-base", "m", nil), nil, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Plain(c.f, survey(c.with...).Of(c.f))
			if c.name == "scald-that-crosses-itself" {
				if len(got) != 1 || !strings.HasPrefix(got[0], "Its boundary crosses itself near") {
					t.Errorf("Plain = %q, want why it has no area", got)
				}
				return
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("Plain = %q, want %q", got, c.want)
			}
		})
	}
}

// ExamplePlain is what a landholder reads of a rip line walked with a 3 m receiver.
func ExamplePlain() {
	f := model.Feature{ID: "r", Kind: "rip-line", Geometry: orb.LineString{{148, -20}, {148.001, -20}},
		Fields: map[string]json.RawMessage{"accuracyM": json.RawMessage("3"), "status": json.RawMessage(`"built"`), "builtOn": json.RawMessage(`"2026-03-03"`)}}
	land := Survey(slices.Values([]model.Feature{f}))
	for _, sentence := range Plain(f, land.Of(f)) {
		fmt.Println(sentence)
	}
	// Output:
	// 105 m long, give or take 4 m.
	// Built on 3 March 2026.
	// Its contour has not been levelled.
}
