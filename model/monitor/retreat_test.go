package monitor

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"headcut/model"
	"headcut/model/calendar"
	"headcut/model/geodesy"
)

func taped(date string, offsetM float64) Visit {
	return Visit{Day: day(date), OffsetM: &offsetM, PlusMinusM: 0.05}
}

func fixed(date string, lon, lat float64) Visit {
	return Visit{Day: day(date), Position: &orb.Point{lon, lat}, PlusMinusM: 3}
}

func TestRetreatRefuses(t *testing.T) {
	nan, steep := math.NaN(), 400.0
	a, b := taped("2023-03-01", 12.4), taped("2024-03-01", 11.9)
	at, up := fixed("2023-03-01", 146.26, -20.08), fixed("2024-03-01", 146.26003, -20.07997)
	north := 0.0
	for _, c := range []struct {
		name   string
		record HeadRecord
		path   string
	}{
		{"no-visits", HeadRecord{}, "visits"},
		{"one-visit", HeadRecord{Visits: []Visit{a}}, "visits"},
		{"nothing-measured", HeadRecord{Visits: []Visit{a, {Day: day("2024-03-01")}}}, "visits[1]"},
		{"both-measured", HeadRecord{Visits: []Visit{a, {Day: day("2024-03-01"), OffsetM: b.OffsetM, Position: at.Position}}}, "visits[1]"},
		{"mixed", HeadRecord{Visits: []Visit{a, up}}, "visits[1]"},
		{"offset-below-nought", HeadRecord{Visits: []Visit{a, taped("2024-03-01", -1)}}, "visits[1].offsetM"},
		{"offset-not-a-number", HeadRecord{Visits: []Visit{taped("2023-03-01", nan), b}}, "visits[0].offsetM"},
		{"offset-in-millimetres", HeadRecord{Visits: []Visit{taped("2023-03-01", 12400), b}}, "visits[0].offsetM"},
		{"accuracy", HeadRecord{Visits: []Visit{a, {Day: b.Day, OffsetM: b.OffsetM, PlusMinusM: nan}}}, "visits[1].accuracyM"},
		{"off-the-earth", HeadRecord{Visits: []Visit{at, fixed("2024-03-01", 146, 146)}}, "visits[1].position"},
		{"another-head", HeadRecord{Visits: []Visit{at, fixed("2024-03-01", 146.3, -20.08)}}, "visits[1].position"},
		{"two-on-one-day", HeadRecord{Visits: []Visit{b, a, taped("2024-03-01", 11)}}, "visits[2].date"},
		{"bearing-beyond-the-circle", HeadRecord{Visits: []Visit{at, up}, BearingDeg: &steep}, "bearingDeg"},
		{"bearing-of-offsets", HeadRecord{Visits: []Visit{a, b}, BearingDeg: &north}, "visits"},
		{"bearing-and-thalweg", HeadRecord{Visits: []Visit{at, up}, BearingDeg: &north, Thalweg: []orb.Point{*at.Position, *up.Position}}, "bearingDeg"},
		{"thalweg-too-short", HeadRecord{Visits: []Visit{at, up}, Thalweg: []orb.Point{{146.2599, -20.0801}, {146.26001, -20.07999}}}, "thalweg"},
		{"thalweg-of-one-place", HeadRecord{Visits: []Visit{at, up}, Thalweg: []orb.Point{{146.26, -20.08}, {146.26, -20.08}}}, "thalweg"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := c.record.Retreat()
			problemAt(t, err, c.path)
		})
	}
}

func TestRetreatDirections(t *testing.T) {
	start := orb.Point{146.26, -20.08}
	moved := geodesy.Destination(start, 90, 5)
	visits := []Visit{{Day: day("2023-03-01"), Position: &start, PlusMinusM: -1}, {Day: day("2024-03-01"), Position: &moved, PlusMinusM: 1}}
	bearing := func(deg float64) HeadRecord { return HeadRecord{Visits: visits, BearingDeg: &deg} }
	line := []orb.Point{geodesy.Destination(start, 270, 50), geodesy.Destination(start, 90, 50)}
	for _, c := range []struct {
		name   string
		record HeadRecord
		want   float64
	}{
		{"along-the-bearing", bearing(90), 5},
		{"against-it", bearing(270), -5},
		{"square-to-it", bearing(0), 0},
		{"aslant", bearing(30), 2.5},
		{"along-the-thalweg", HeadRecord{Visits: visits, Thalweg: line}, 5},
		{"down-the-thalweg", HeadRecord{Visits: visits, Thalweg: []orb.Point{line[1], line[0]}}, -5},
		{"nobody-said", HeadRecord{Visits: visits}, 5},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := c.record.Retreat()
			if err != nil || math.Abs(r.Overall.RetreatM-c.want) > 1e-6 {
				t.Errorf("Retreat() = %+v, %v; want %v m", r.Overall, err, c.want)
			}
			if r.Overall.MoreThanNoise != CannotTell || r.Overall.PlusMinusM != -1 || r.Overall.LeastProvableM != nil {
				t.Errorf("a fix of unknown accuracy: %+v, want that nobody can tell", r.Overall)
			}
		})
	}
	first, second := 4.0, 4.5
	below := HeadRecord{StakeDownstream: true, Visits: []Visit{{Day: day("2023-03-01"), OffsetM: &first, PlusMinusM: 0.05}, {Day: day("2024-03-01"), OffsetM: &second, PlusMinusM: 0.05}}}
	if r, err := below.Retreat(); err != nil || r.Overall.RetreatM != 0.5 || r.Overall.MoreThanNoise != Yes {
		t.Errorf("stake below the head: %+v, %v; want 0.5 m, more than noise", r.Overall, err)
	}
}

// TestRetreatLaws: the steps add up to the whole, the order of the list does not matter,
// and a head that moves evenly has its rate for a trend, without scatter.
func TestRetreatLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 12).Draw(t, "visits")
		rate := rapid.Float64Range(-3, 10).Draw(t, "rate")
		days := rapid.SliceOfNDistinct(rapid.IntRange(0, 5000), n, n, rapid.ID[int]).Draw(t, "days")
		even := rapid.Bool().Draw(t, "even")
		var h HeadRecord
		for _, d := range days {
			offset := 250 - rate*(day("2001-01-01")+Day(slices.Min(days))).yearsTo(day("2001-01-01")+Day(d))
			if !even {
				offset = rapid.Float64Range(0, 400).Draw(t, "offset")
			}
			h.Visits = append(h.Visits, Visit{Day: day("2001-01-01") + Day(d), OffsetM: &offset, PlusMinusM: 0.05})
		}
		r, err := h.Retreat()
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for i, s := range r.Steps {
			sum += s.RetreatM
			if s.To <= s.From || i > 0 && s.From != r.Steps[i-1].To {
				t.Fatalf("steps are not in order: %+v", r.Steps)
			}
		}
		if math.Abs(sum-r.Overall.RetreatM) > 1e-9 {
			t.Fatalf("steps add to %v, the whole is %v", sum, r.Overall.RetreatM)
		}
		if (r.Trend != nil) != (n > 2) {
			t.Fatalf("%d visits give the trend %v", n, r.Trend)
		}
		if even && n > 2 && (math.Abs(r.Trend.RateMPerYear-rate) > 1e-6 || r.Trend.ScatterMPerYear > 1e-6) {
			t.Fatalf("an even %v m a year has the trend %+v", rate, r.Trend)
		}
		h.Visits = append(h.Visits[1:], h.Visits[0])
		if again, err := h.Retreat(); err != nil || !reflect.DeepEqual(again.Overall, r.Overall) {
			t.Fatalf("in another order: %+v, %v, want %+v", again.Overall, err, r.Overall)
		}
	})
}

func TestTrendWithoutAccuracies(t *testing.T) {
	// By hand: through (0, 0), (1, 1), (2, 1), (3, 2) the slope is 0.6 and its standard error
	// √(0.2/2/5) = 0.1414; t with 2 degrees of freedom is 4.303, so that 0.608 is the limit.
	// Visits are 4 years apart and metres in fours, since 4 years are whole days.
	var visits []placed
	for i := range 4 {
		visits = append(visits, placed{Visit{Day: Day(4 * 365.25 * float64(i)), PlusMinusM: -1}, i})
	}
	trend := trendOf(visits, []float64{0, 4, 4, 8})
	if math.Abs(trend.RateMPerYear-0.6) > 1e-4 || math.Abs(trend.ScatterMPerYear-0.1414) > 1e-4 || trend.PlusMinusMPerYear != -1 || trend.MoreThanNoise != No {
		t.Errorf("trend = %+v, want 0.6 with a scatter of 0.1414, which does not prove it", trend)
	}
	if trend = trendOf(visits, []float64{0, 4, 8.2, 12}); trend.MoreThanNoise != Yes {
		t.Errorf("trend = %+v, want a straight walk to be more than its scatter", trend)
	}
}

func TestRetreatCautions(t *testing.T) {
	has := func(h HeadRecord, about string) int {
		r, err := h.Retreat()
		if err != nil {
			t.Fatal(err)
		}
		count := 0
		for _, c := range h.Cautions(r) {
			if c.About == about {
				count++
			}
		}
		return count
	}
	north := 0.0
	for _, c := range []struct {
		name, about string
		record      HeadRecord
		want        int
	}{
		{"no-direction", "retreatM", HeadRecord{Visits: []Visit{fixed("2023-03-01", 146.26, -20.08), fixed("2024-03-02", 146.26, -20.08)}}, 2},
		{"direction", "retreatM", HeadRecord{BearingDeg: &north, Visits: []Visit{fixed("2023-03-01", 146.26, -20.08), fixed("2024-03-02", 146.26, -20.08)}}, 1},
		{"down-the-gully", "retreatM", HeadRecord{Visits: []Visit{taped("2023-03-01", 4), taped("2024-03-02", 6)}}, 1},
		{"up-the-gully", "retreatM", HeadRecord{Visits: []Visit{taped("2023-03-01", 6), taped("2024-03-02", 4)}}, 0},
		{"too-fast", "steps", HeadRecord{Visits: []Visit{taped("2023-03-01", 40), taped("2024-03-02", 4)}}, 1},
		{"fast", "steps", HeadRecord{Visits: []Visit{taped("2023-03-01", 24), taped("2024-03-02", 4)}}, 0},
		{"half-a-year", "rateMPerYear", HeadRecord{Visits: []Visit{taped("2023-03-01", 24), taped("2023-09-02", 24)}}, 1},
		{"a-year", "rateMPerYear", HeadRecord{Visits: []Visit{taped("2023-03-01", 24), taped("2024-03-02", 24)}}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := has(c.record, c.about); got != c.want {
				t.Errorf("%d cautions about %s, want %d", got, c.about, c.want)
			}
		})
	}
}

// ExampleHeadRecord is the retreat that Mekuria et al. 2024 (SOIL 10:637) published for an
// untreated head: 6.71 m in 26 months.
func ExampleHeadRecord() {
	r, _ := HeadRecord{StakeDownstream: true, Visits: []Visit{taped("2015-06-15", 0), taped("2017-08-15", 6.71)}}.Retreat()
	fmt.Printf("%.2f ± %.2f m, %.1f m a year, more than noise: %s\n", r.Overall.RetreatM, r.Overall.PlusMinusM, r.Overall.RateMPerYear, r.Overall.MoreThanNoise)
	// Output: 6.71 ± 0.07 m, 3.1 m a year, more than noise: yes
}

func TestGrowthRefuses(t *testing.T) {
	ring := orb.Ring{{146.26, -20.08}, {146.2601, -20.08}, {146.2601, -20.0799}, {146.26, -20.0799}, {146.26, -20.08}}
	good := Outline{Day: day("2022-03-01"), Ring: ring, AccuracyM: -1}
	change := func(f func(*Outline)) []Outline {
		o := Outline{Day: day("2024-03-01"), Ring: append(orb.Ring(nil), ring...), AccuracyM: 1}
		f(&o)
		return []Outline{good, o}
	}
	for _, c := range []struct {
		name     string
		outlines []Outline
		path     string
	}{
		{"one", []Outline{good}, "outlines"},
		{"one-day", change(func(o *Outline) { o.Day = good.Day }), "outlines[1].date"},
		{"open", change(func(o *Outline) { o.Ring = o.Ring[:4] }), "outlines[1].ring"},
		{"empty", change(func(o *Outline) { o.Ring = nil }), "outlines[1].ring"},
		{"crosses", change(func(o *Outline) { o.Ring[1], o.Ring[2] = o.Ring[2], o.Ring[1] }), "outlines[1].ring"},
		{"off-the-earth", change(func(o *Outline) { o.Ring[1][1] = 91 }), "outlines[1].ring[1]"},
		{"accuracy", change(func(o *Outline) { o.AccuracyM = math.Inf(1) }), "outlines[1].accuracyM"},
		{"another-head", change(func(o *Outline) {
			for i := range o.Ring {
				o.Ring[i][0]++
			}
		}), "outlines[1].ring"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, _, err := GrowthOf(c.outlines, nil)
			problemAt(t, err, c.path)
		})
	}
	overall, steps, err := GrowthOf(change(func(o *Outline) {}), nil)
	if err != nil || len(steps) != 1 || overall.GrowthM2 != 0 || overall.PlusMinusM2 != -1 || overall.MoreThanNoise != CannotTell {
		t.Errorf("an outline of unknown accuracy: %+v, %v", overall, err)
	}
}

// TestGrowthOfASquare takes a square of 10 m and one of 11 m, laid off on the ellipsoid: 21
// square metres (derived).
func TestGrowthOfASquare(t *testing.T) {
	frame := geodesy.Frame{Origin: orb.Point{146.26, -20.08}}
	square := func(side float64) orb.Ring {
		return orb.Ring{frame.Position(0, 0), frame.Position(side, 0), frame.Position(side, side), frame.Position(0, side), frame.Position(0, 0)}
	}
	overall, _, err := GrowthOf([]Outline{{day("2023-01-01"), square(10), 0.1}, {day("2025-01-01"), square(11), 0.1}}, nil)
	if err != nil || math.Abs(overall.GrowthM2-21) > 1e-4 || math.Abs(overall.RateM2PerYear-21.0/2) > 1e-4 || overall.MoreThanNoise != Yes {
		t.Errorf("GrowthOf() = %+v, %v; want 21 m2 over two years", overall, err)
	}
}

func TestDays(t *testing.T) {
	for _, c := range []struct {
		text string
		want Day
	}{{"1970-01-01", 0}, {"1969-12-31", -1}, {"2000-02-29", 11016}, {"2024-11-30", 20057}, {"1900-01-01", -25567}} {
		d, err := ParseDay(c.text)
		if err != nil || d != c.want || d.String() != c.text {
			t.Errorf("ParseDay(%q) = %d (%v), %v; want %d", c.text, int(d), d, err, int(c.want))
		}
	}
	for _, bad := range []string{"", "2023-02-29", "30-11-2024", "2024-1-3", "2024-11-30T10:00:00Z", "1899-12-31", "2200-01-01", "0024-11-30", "2024-11-30 "} {
		if d, err := ParseDay(bad); err == nil {
			t.Errorf("ParseDay(%q) = %v, want a problem", bad, d)
		}
	}
}

// An exact anniversary is a whole number of years, whatever leap days lie between.
func TestYears(t *testing.T) {
	for _, c := range []struct {
		from, to string
		want     float64
	}{
		{"2024-05-03", "2025-05-03", 1},
		{"2023-05-03", "2024-05-03", 1}, // with a leap day
		{"2021-05-03", "2025-05-03", 4},
		{"2024-02-29", "2028-02-29", 4},
		{"2024-02-29", "2025-03-01", 1},
		{"2024-05-03", "2025-05-02", 364.0 / 365},
		{"2024-05-03", "2024-05-04", 1.0 / 365},
		{"2023-11-01", "2025-05-01", 1 + 181.0/365},
		{"2023-12-31", "2024-01-01", 1.0 / 366},
	} {
		if got := day(c.from).yearsTo(day(c.to)); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("years from %s to %s: %v, want %v", c.from, c.to, got, c.want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		from := day("1990-01-01") + Day(rapid.IntRange(0, 20_000).Draw(t, "from"))
		later := from + Day(rapid.IntRange(1, 20_000).Draw(t, "days"))
		years, next := from.yearsTo(later), from.yearsTo(later+1)
		if !(next > years) || math.Abs(years-float64(later-from)/365.2425) > 0.01 {
			t.Fatalf("years from %v to %v: %v, and %v a day later", from, later, years, next)
		}
	})
}

// What a head lost in the dry is not what it loses in a wet season: a few days of one at
// either end once gave 0.4 m of retreat the rate of 36 m a season.
func TestDrySeasonIsNoWetSeason(t *testing.T) {
	wet := &Season{11, 4}
	for _, c := range []struct {
		name, from, to string
		perSeason      float64 // 0: none is given
	}{
		{"the-dry-between", "2024-04-29", "2024-11-02", 0},
		{"the-dry-exactly", "2024-05-01", "2024-10-31", 0},
		{"a-month-of-the-wet", "2024-05-01", "2024-12-01", 0},
		{"most-of-a-wet", "2024-05-01", "2025-04-01", 0.4 / (151.0 / 181)},
		{"a-whole-wet", "2024-05-01", "2025-05-01", 0.4},
	} {
		t.Run(c.name, func(t *testing.T) {
			before, after := 5.0, 4.6
			h := HeadRecord{Season: wet, Visits: []Visit{{Day: day(c.from), OffsetM: &before, PlusMinusM: 0.05}, {Day: day(c.to), OffsetM: &after, PlusMinusM: 0.05}}}
			r, err := h.Retreat()
			if err != nil {
				t.Fatal(err)
			}
			if got := r.Overall.RetreatMPerSeason; (got == nil) != (c.perSeason == 0) || got != nil && math.Abs(*got-c.perSeason) > 1e-9 {
				t.Errorf("%v m a season over %v seasons, want %v", got, *r.Overall.Seasons, c.perSeason)
			}
			told := slices.ContainsFunc(h.Cautions(r), func(c model.Caution) bool { return c.About == "retreatMPerSeason" })
			if told != (c.perSeason == 0) {
				t.Errorf("cautions %v; want one about the season only where none lies between", h.Cautions(r))
			}
		})
	}
}

func TestSeasons(t *testing.T) {
	wet, dry, whole := Season{11, 4}, Season{5, 10}, Season{1, 12}
	for _, c := range []struct {
		name     string
		season   Season
		from, to string
		want     float64
	}{
		{"one-wet", wet, "2023-05-03", "2024-05-20", 1},
		{"three-wets", wet, "2021-06-01", "2024-06-01", 3},
		{"within-the-dry", wet, "2023-05-03", "2023-10-20", 0},
		{"half-a-wet", wet, "2023-11-01", "2024-01-31", 91.0 / 181}, // a leap day counts for nothing
		{"rest-of-a-wet", wet, "2024-02-01", "2024-06-01", 89.0 / 181},
		{"dry-of-a-year", dry, "2023-01-01", "2023-12-31", 1},
		{"all-year-round", whole, "2023-01-01", "2025-01-01", 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := c.season.Between(day(c.from), day(c.to)); math.Abs(got-c.want) > 1e-12 {
				t.Errorf("%v from %s to %s: %v, want %v", c.season, c.from, c.to, got, c.want)
			}
		})
	}
	for date, want := range map[string]bool{"2024-10-31": true, "2024-09-01": true, "2024-08-31": false, "2024-11-01": false} {
		if got := dry.AtItsEnd(day(date)); got != want {
			t.Errorf("%s at the end of the dry: %t, want %t", date, got, want)
		}
	}
	for _, bad := range []Season{{0, 4}, {11, 13}, {-1, 1}} {
		if bad.Check() == nil {
			t.Errorf("%v passes for a season", bad)
		}
	}
	problemAt(t, Season{11, 13}.Check(), "lastMonth")
}

func FuzzRetreat(f *testing.F) {
	f.Add("2023-03-01", "2023-10-30", 12.4, 11.85, 0.05, true, 0.0)
	f.Add("2024-02-29", "2023-10-30", 146.26, -20.08, 3.0, false, 45.0)
	f.Add("x", "", 1e300, -1.0, -1.0, true, 720.0)
	f.Fuzz(func(t *testing.T, from, to string, a, b, accuracy float64, taped bool, bearing float64) {
		d1, err1 := ParseDay(from)
		d2, err2 := ParseDay(to)
		if err1 != nil || err2 != nil {
			return
		}
		h := HeadRecord{Season: &Season{11, 4}, Visits: []Visit{{Day: d1, OffsetM: &a, PlusMinusM: accuracy}, {Day: d2, OffsetM: &b, PlusMinusM: accuracy}}}
		if !taped {
			h.BearingDeg = &bearing
			h.Visits = []Visit{{Day: d1, Position: &orb.Point{a, b}, PlusMinusM: accuracy}, {Day: d2, Position: &orb.Point{a + 1e-5, b}, PlusMinusM: accuracy}}
		}
		r, err := h.Retreat()
		if err != nil {
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path == "" || p.Reason == "" {
				t.Fatalf("Retreat(%+v) = %v, want a problem that names its place", h, err)
			}
			return
		}
		if o := r.Overall; math.IsNaN(o.RetreatM+o.RateMPerYear+o.PlusMinusM) || o.Seasons != nil && math.IsNaN(*o.Seasons) || math.IsInf(o.RateMPerYear, 0) || o.Years <= 0 {
			t.Fatalf("Retreat(%+v) = %+v", h, o)
		}
		h.Cautions(r)
	})
}

// TestAYearIsOneSeason: from any day to its anniversary one season passes, leap year or not.
func TestAYearIsOneSeason(t *testing.T) {
	for _, season := range []Season{{11, 4}, {1, 2}, {2, 2}, {6, 9}, {12, 2}} {
		for from := day("2022-12-01"); from < day("2028-03-01"); from++ {
			year, month, dayOfMonth := calendar.Date(int(from))
			to := Day(calendar.Number(year+1, month, dayOfMonth))
			if got := season.Between(from, to); math.Abs(got-1) > 1e-12 {
				t.Fatalf("%v from %v to %v: %v seasons, want 1", season, from, to, got)
			}
		}
	}
}
