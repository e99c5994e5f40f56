package track

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"

	"pgregory.net/rapid"
)

func rule(t testing.TB, table, soil string) Rule {
	t.Helper()
	found, ok := Named(table)
	if !ok {
		t.Fatalf("no table %q", table)
	}
	r, err := found.Rule(soil, Steeper)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The names that testdata/reference/runoff.csv has for tables and columns.
var (
	tableOf = map[string]string{"packer_waterbar": "water-bars-two-soils", "keller_sherar_rolling_dip": "dips-and-culverts", "keller_sherar_waterbar": "water-bars-by-class",
		"california_waterbreak": "legal-maximum-by-hazard", "southern_regional_waterbar": "water-bars-one-soil", "orange_county_nc_broad_based_dip": "broad-based-dips"}
	soilOf = map[string]string{"general": "general", "highly_erodible": "highly erodible", "low_to_nonerosive": "low to non-erosive", "erosive": "erosive",
		"extreme": "extreme", "high": "high", "moderate": "moderate", "low": "low"}
)

// TestPrintedRows holds every row of every published table to what was printed (SP1 to
// SP33), at both ends of its grades.
func TestPrintedRows(t *testing.T) {
	seen := map[string]int{}
	for _, c := range modeltest.Cases(t, "runoff", "track_bank_spacing") {
		t.Run(c.ID, func(t *testing.T) {
			name := tableOf[c.Text(t, "table")]
			seen[name]++
			var grades []float64
			for _, end := range []string{"grade_pct", "grade_pct_from", "grade_pct_to"} {
				if c.Has(end) {
					grades = append(grades, c.Number(t, end))
				}
			}
			if c.Has("grade_pct_from") && !c.Has("grade_pct_to") { // "over 12"
				grades = []float64{grades[0] + 0.5, 99}
			}
			want := map[string]float64{}
			switch {
			case c.Expects("spacing_m_range"):
				ends := modeltest.Want[[2]float64](t, c, "spacing_m_range")
				want["near end of range"], want["far end of range"] = ends[0], ends[1]
			case name == "water-bars-one-soil":
				want[""] = modeltest.Want[float64](t, c, "spacing_m")
			default:
				for soil, m := range modeltest.Want[map[string]float64](t, c, "spacing_m") {
					want[soilOf[soil]] = m
				}
			}
			table, _ := Named(name)
			if len(want) != len(table.Columns) {
				t.Fatalf("%d columns expected of %d: %v", len(want), len(table.Columns), want)
			}
			for soil, m := range want {
				for _, g := range grades {
					if got := rule(t, name, soil).SpacingM(g); !c.Tolerance.Allows("spacing_m", got, m) {
						t.Errorf("%s, %s at %v %%: %v m, want %v (%s)", name, soil, g, got, m, c.Source)
					}
				}
			}
		})
	}
	for _, table := range Tables {
		if seen[table.Name] != len(table.Rows) {
			t.Errorf("%s: %d of its %d rows were checked", table.Name, seen[table.Name], len(table.Rows))
		}
	}
}

// TestSouthernRegionalInFeet holds the same table to the second reading of it (WB01 to
// WB08), which is in feet.
func TestSouthernRegionalInFeet(t *testing.T) {
	for _, c := range modeltest.Cases(t, "gully", "water_bar_spacing_ft") {
		c.Check(t, "ft", rule(t, "water-bars-one-soil", "").SpacingM(c.Number(t, "grade_pct"))/footM)
	}
}

func TestFallOfABank(t *testing.T) {
	c := modeltest.Named(t, "gully", "WB09")
	c.Check(t, "fall", FallM(c.Number(t, "length"), c.Number(t, "one_in")))
}

// TestLinesBetweenRows is SPI1: the source gives no rule, so both lines are named choices.
func TestLinesBetweenRows(t *testing.T) {
	c := modeltest.Named(t, "runoff", "SPI1")
	table, _ := Named(tableOf[c.Text(t, "table")])
	for name, between := range map[string]Between{"linear_m": StraightLine, "loglog_m": LogLog} {
		r, err := table.Rule(soilOf[c.Text(t, "soil")], between)
		if err != nil {
			t.Fatal(err)
		}
		c.Check(t, name, r.SpacingM(c.Number(t, "grade_pct")))
	}
	if got := rule(t, "water-bars-two-soils", "highly erodible").SpacingM(7); got != 15 {
		t.Errorf("without a line between rows 7 %% allows %v m, want the steeper row's 15", got)
	}
}

// TestTablesDisagree is the comparison of tables on erodible soil in Tables' comment; each
// stands by itself, from 15 to 46 m at 10 %.
func TestTablesDisagree(t *testing.T) {
	for _, c := range []struct {
		gradePct                        float64
		packer, dip, bar, extreme, high float64
	}{
		{2, 45, 75, 40, 30.48, 45.72}, {5, 25, 50, 40, 30.48, 45.72}, {10, 15, 35, 30, 30.48, 45.72}, {15, 11, 30, 20, 22.86, 30.48},
	} {
		for _, one := range []struct {
			table, soil string
			want        float64
		}{{"water-bars-two-soils", "highly erodible", c.packer}, {"dips-and-culverts", "erosive", c.dip}, {"water-bars-by-class", "erosive", c.bar},
			{"legal-maximum-by-hazard", "extreme", c.extreme}, {"legal-maximum-by-hazard", "high", c.high}} {
			if got := rule(t, one.table, one.soil).SpacingM(c.gradePct); math.Abs(got-one.want) > 1e-9 {
				t.Errorf("%s, %s at %v %%: %v m, want %v", one.table, one.soil, c.gradePct, got, one.want)
			}
		}
	}
}

func TestReadingOfGrades(t *testing.T) {
	for _, c := range []struct {
		name, table, soil string
		gradePct, want    float64
		row, why          string
	}{
		{"in-a-class", "dips-and-culverts", "erosive", 5, 50, "4-6 %", ""},
		{"in-the-gap-of-classes", "dips-and-culverts", "erosive", 3.4, 50, "4-6 %", "between the rows 0-3 % and 4-6 %"},
		{"at-the-end-of-a-class", "dips-and-culverts", "erosive", 3, 75, "0-3 %", ""},
		{"rounding-at-an-end", "dips-and-culverts", "erosive", 3 + 1e-10, 75, "0-3 %", ""},
		{"over-the-last", "dips-and-culverts", "erosive", 60, 30, "over 12 %", ""},
		{"at-a-point", "water-bars-two-soils", "general", 10, 25, "10 %", ""},
		{"between-points", "water-bars-two-soils", "general", 5.1, 25, "10 %", "between the rows 5 % and 10 %"},
		{"gentler-than-all", "water-bars-two-soils", "general", 0.5, 75, "2 %", "gentler"},
		{"level", "water-bars-two-soils", "general", 0, 75, "2 %", "gentler"},
		{"beyond-the-table", "water-bars-two-soils", "general", 31, 10, "none", "ends at 30 %"},
		{"beyond-the-dips", "broad-based-dips", "near end of range", 11, 140 * footM, "none", "ends at 10 %"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := rule(t, c.table, c.soil)
			row, why := r.Reading(c.gradePct)
			if got := r.SpacingM(c.gradePct); got != c.want || row != c.row || (why == "") != (c.why == "") || !strings.Contains(why, c.why) {
				t.Errorf("%s at %v %%: %v m, row %q, %q; want %v m, %q, %q", c.table, c.gradePct, got, row, why, c.want, c.row, c.why)
			}
			if covers := r.Covers(c.gradePct); covers != (c.row != "none") {
				t.Errorf("Covers(%v) = %v", c.gradePct, covers)
			}
		})
	}
}

func TestRuleRefuses(t *testing.T) {
	for _, c := range []struct {
		name, table, soil string
		between           Between
		path              string
	}{
		{"no-soil", "water-bars-two-soils", "", Steeper, "soil"},
		{"soil-of-another-table", "water-bars-two-soils", "erosive", Steeper, "soil"},
		{"soil-where-there-is-one", "water-bars-one-soil", "general", Steeper, "soil"},
		{"line-through-classes", "dips-and-culverts", "erosive", StraightLine, "between"},
		{"unknown-line", "water-bars-two-soils", "general", "spline", "between"},
	} {
		t.Run(c.name, func(t *testing.T) {
			table, _ := Named(c.table)
			_, err := table.Rule(c.soil, c.between)
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path || p.Reason == "" {
				t.Errorf("Rule(%q, %q) = %v, want a problem at %q", c.soil, c.between, err, c.path)
			}
		})
	}
}

func TestLocalTable(t *testing.T) {
	if _, err := Local([]LocalRow{{4, 60}, {8, 60}, {15, 20}}, "", Steeper); err != nil {
		t.Errorf("the same spacing on two grades: %v", err)
	}
	if _, err := Local([]LocalRow{{1, MaxSpacingM}, {MaxGradePct, LeastSpacingM}}, "", Steeper); err != nil {
		t.Errorf("the widest and the nearest spacing, on the steepest grade: %v", err)
	}
	rows := []LocalRow{{4, 60}, {8, 40}, {15, 20}}
	for _, c := range []struct {
		between        Between
		gradePct, want float64
	}{{Steeper, 3, 60}, {Steeper, 4, 60}, {Steeper, 4.1, 40}, {Steeper, 15, 20}, {StraightLine, 6, 50}, {StraightLine, 2, 60}, {LogLog, 8, 40}} {
		table, err := Local(rows, "A shire's standard drawing", c.between)
		if err != nil {
			t.Fatal(err)
		}
		r, err := table.Rule("", c.between)
		if err != nil {
			t.Fatal(err)
		}
		if got := r.SpacingM(c.gradePct); math.Abs(got-c.want) > 1e-9 || r.MaxPct() != 15 || r.Source.Title != "A shire's standard drawing" {
			t.Errorf("%s at %v %%: %v m of %+v, want %v", c.between, c.gradePct, got, r.Source, c.want)
		}
	}
	for _, c := range []struct {
		name string
		rows []LocalRow
		path string
	}{
		{"none", nil, ""},
		{"too-many", make([]LocalRow, 101), ""},
		{"level", []LocalRow{{0, 60}}, "[0].upToPct"},
		{"nan", []LocalRow{{math.NaN(), 60}}, "[0].upToPct"},
		{"not-a-grade", []LocalRow{{101, 60}}, "[0].upToPct"},
		{"millimetres", []LocalRow{{4, 60_000}}, "[0].spacingM"},
		{"too-near", []LocalRow{{4, 60}, {8, 2}}, "[1].spacingM"},
		{"unsorted", []LocalRow{{8, 60}, {4, 60}}, "[1].upToPct"},
		{"twice", []LocalRow{{8, 60}, {8, 40}}, "[1].upToPct"},
		{"grows", []LocalRow{{4, 40}, {8, 60}}, "[1].spacingM"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Local(c.rows, "", Steeper)
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path || p.Reason == "" {
				t.Errorf("Local(%v) = %v, want a problem at %q", c.rows, err, c.path)
			}
		})
	}
}

// TestSpacingNeverGrows: the walk down a track rests on it.
func TestSpacingNeverGrows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawnRule(t)
		g := []float64{rapid.Float64Range(0, 60).Draw(t, "grade"), rapid.Float64Range(0, 60).Draw(t, "other")}
		slices.Sort(g)
		gentle, steep := r.SpacingM(g[0]), r.SpacingM(g[1])
		if !(gentle >= steep && steep >= LeastSpacingM) {
			t.Fatalf("%s: %v m at %v %%, %v m at %v %%", r.Table, gentle, g[0], steep, g[1])
		}
	})
}

// drawnRule is any column of any published table, with a line between rows where it has
// points.
func drawnRule(t *rapid.T) Rule {
	table := rapid.SampledFrom(Tables).Draw(t, "table")
	between := Steeper
	if table.Rows[0].FromPct == table.Rows[0].ToPct {
		between = rapid.SampledFrom(Betweens).Draw(t, "between")
	}
	r, err := table.Rule(rapid.SampledFrom(table.Columns).Draw(t, "soil"), between)
	if err != nil {
		t.Fatal(err)
	}
	return r
}
