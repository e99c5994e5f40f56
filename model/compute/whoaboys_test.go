package compute

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
)

// TestWhoaBoysAnswers is SPL1 through the computation.
func TestWhoaBoysAnswers(t *testing.T) {
	c := modeltest.Named(t, "runoff", "SPL1")
	length := c.Number(t, "track_length_m")
	in := fmt.Sprintf(`{"track": [{"chainageM": 0, "levelM": 100}, {"chainageM": %v, "levelM": %v}], "table": "water-bars-two-soils", "soil": "highly erodible", "side": "left"}`,
		length, 100-length*c.Number(t, "grade_pct")/100)
	var out whoaBoysOut
	run(t, "whoa-boys", in, &out)
	c.Check(t, "banks", float64(out.Count))
	c.Check(t, "first_at_m", out.Banks[0].ChainageM)
	c.Check(t, "last_at_m", out.Banks[out.Count-1].ChainageM)
	if b := out.Banks[0]; b.Side != "left" || b.Row != "10 %" || b.AllowedM != 15 || len(out.SpacingsM) != out.Count || len(out.SlopesPct) != out.Count ||
		len(out.Tables) != 13 || out.Basis != "levelled" || out.Table != "water-bars-two-soils" || !strings.Contains(out.TableSource, "table 9.1 (looked up)") {
		t.Errorf("whoa-boys = %+v", out)
	}
}

// TestWhoaBoysLineBetweenRows is SPI1: the two lines and the steeper row, each by its name.
func TestWhoaBoysLineBetweenRows(t *testing.T) {
	c := modeltest.Named(t, "runoff", "SPI1")
	for between, name := range map[string]string{"straight line": "linear_m", "log-log": "loglog_m", "steeper": ""} {
		in := fmt.Sprintf(`{"track": [{"chainageM": 0, "levelM": 100}, {"chainageM": 100, "levelM": %v}], "table": "water-bars-two-soils", "soil": "highly erodible", "between": %q}`,
			100-c.Number(t, "grade_pct"), between)
		var out whoaBoysOut
		run(t, "whoa-boys", in, &out)
		if name != "" {
			c.Check(t, name, out.Banks[0].SpacingM)
		} else if out.Banks[0].SpacingM != 15 {
			t.Errorf("steeper: %v m, want 15", out.Banks[0].SpacingM)
		}
		if out.Banks[0].RowWhy == "" {
			t.Errorf("%s: nobody says why the row", between)
		}
	}
}

// TestWhoaBoysBankShape: WB09 is a bank 150 m long at 1 in 300. At square angle and 0.5 m
// past each edge a track of 29 m makes one of 30 m, a fifth of it.
func TestWhoaBoysBankShape(t *testing.T) {
	c := modeltest.Named(t, "gully", "WB09")
	var out whoaBoysOut
	run(t, "whoa-boys", `{"track": [{"chainageM": 0, "levelM": 100}, {"chainageM": 100, "levelM": 95}], "table": "water-bars-one-soil", "angleDeg": 90, "trackWidthM": 29, "pastEdgeM": 0.5, "oneIn": 300, "settledHeightM": 0.3, "settlePct": 25}`, &out)
	if out.BankLengthM == nil || out.BankFallM == nil || out.BuiltHeightM == nil {
		t.Fatalf("whoa-boys = %+v", out)
	}
	c.Check(t, "fall", *out.BankFallM*c.Number(t, "length") / *out.BankLengthM)
	if h := *out.BuiltHeightM; h < 0.4-1e-9 || h > 0.4+1e-9 {
		t.Errorf("0.3 m after 25 %% of settling is built %v m high, want 0.4", h)
	}
	if !strings.Contains(fmt.Sprint(out.Cautions), "squarer ones silt up") {
		t.Errorf("an angle of 90° passes without a word: %v", out.Cautions)
	}
}

func TestWhoaBoyCheckAnswers(t *testing.T) {
	track := `"track": [{"chainageM": 0, "levelM": 100}, {"chainageM": 100, "levelM": 92}], "table": "water-bars-two-soils", "soil": "general"`
	for _, c := range []struct{ name, in, verdict, intervals, outlets string }{
		{"holds", `"banks": [{"chainageM": 20, "side": "left"}, {"chainageM": 40, "side": "left"}, {"chainageM": 60, "side": "left"}, {"chainageM": 80, "side": "left"}]`, "OK", "ok ok ok ok ok", "ok ok ok ok"},
		{"one-missing", `"banks": [{"chainageM": 20, "side": "left"}, {"chainageM": 60}, {"chainageM": 80}]`, "fails", "ok too far ok ok", "ok not known not known"},
		{"into-a-head", `"banks": [{"chainageM": 24, "side": "left"}, {"chainageM": 48, "side": "left"}, {"chainageM": 76, "side": "right"}], "gullyHeads": [{"chainageM": 50, "side": "left", "offsetM": 5}]`, "fails", "ok ok too far ok", "not safe not safe ok"},
		{"gps", `"banks": [{"chainageM": 20, "side": "left"}, {"chainageM": 40, "side": "left"}, {"chainageM": 60, "side": "left"}, {"chainageM": 80, "side": "left"}], "basis": "GPS"`, "not levelled", "not levelled not levelled not levelled not levelled not levelled", "ok ok ok ok"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out whoaBoyCheckOut
			run(t, "whoa-boy-check", "{"+track+", "+c.in+"}", &out)
			var intervals, outlets []string
			for _, n := range out.Intervals {
				intervals = append(intervals, string(n.Verdict))
			}
			for _, o := range out.Outlets {
				outlets = append(outlets, string(o.Verdict))
			}
			if strings.Join(intervals, " ") != c.intervals || strings.Join(outlets, " ") != c.outlets || out.Verdict != c.verdict {
				t.Errorf("%v, %v, %s; want %s, %s, %s", intervals, outlets, out.Verdict, c.intervals, c.outlets, c.verdict)
			}
		})
	}
}

func TestWhoaBoyRefusalsNameTheFault(t *testing.T) {
	track := `"track": [{"chainageM": 0, "levelM": 100}, {"chainageM": 100, "levelM": 92}]`
	bySite := `"track": [{"position": [148, -25], "levelM": 100}, {"position": [148.001, -25], "levelM": 92}], "table": "water-bars-one-soil"`
	for _, c := range []struct{ name, compute, in, path string }{
		{"table-missing", "whoa-boys", track, "table"},
		{"table-unknown", "whoa-boys", track + `, "table": "packer"`, "table"},
		{"local-without-rows", "whoa-boys", track + `, "table": "local"`, "rows"},
		{"local-millimetres", "whoa-boys", track + `, "table": "local", "rows": [{"upToPct": 10, "spacingM": 25000}]`, "rows[0].spacingM"},
		{"rows-beside-a-table", "whoa-boys", track + `, "table": "water-bars-one-soil", "rows": [{"upToPct": 10, "spacingM": 25}]`, "rows"},
		{"soil", "whoa-boys", track + `, "table": "water-bars-two-soils", "soil": "erosive"`, "soil"},
		{"between", "whoa-boys", track + `, "table": "dips-and-culverts", "soil": "erosive", "between": "log-log"`, "between"},
		{"level-missing", "whoa-boys", `"track": [{"chainageM": 0, "levelM": 100}, {"chainageM": 100}], "table": "water-bars-one-soil"`, "track[1].levelM"},
		{"level-millimetres", "whoa-boys", `"track": [{"chainageM": 0, "levelM": 100}, {"chainageM": 100, "levelM": 92000}], "table": "water-bars-one-soil"`, "track[1].levelM"},
		{"plus-minus", "whoa-boys", track + `, "table": "water-bars-one-soil", "levelPlusMinusM": -1`, "levelPlusMinusM"},
		{"angle-in-radians", "whoa-boys", track + `, "table": "water-bars-one-soil", "angleDeg": 0.8`, "angleDeg"},
		{"side-reach", "whoa-boys", track + `, "table": "water-bars-one-soil", "sides": [{"fromM": 10, "toM": 5, "side": "left"}]`, "sides[0].toM"},
		{"head-twice-placed", "whoa-boys", bySite + `, "gullyHeads": [{"chainageM": 1, "position": [148, -25]}]`, "gullyHeads[0].position"},
		{"head-side-of-a-position", "whoa-boys", bySite + `, "gullyHeads": [{"side": "left", "position": [148, -25]}]`, "gullyHeads[0].position"},
		{"head-plus-minus", "whoa-boys", track + `, "table": "water-bars-one-soil", "gullyHeads": [{"chainageM": 1, "plusMinusM": -3}]`, "gullyHeads[0].plusMinusM"},
		{"bank-without-place", "whoa-boy-check", track + `, "table": "water-bars-one-soil", "banks": [{}]`, "banks[0].chainageM"},
		{"bank-off-the-track", "whoa-boy-check", bySite + `, "banks": [{"position": [148.0005, -25.01]}]`, "banks[0].position"},
		{"banks-missing", "whoa-boy-check", track + `, "table": "water-bars-one-soil"`, "banks"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, err := Run(c.compute, []byte("{"+c.in+"}"))
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path {
				t.Errorf("Run(%s, {%s}) = %s, %v; want a problem at %q", c.compute, c.in, out, err, c.path)
			}
		})
	}
}
