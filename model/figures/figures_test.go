package figures

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
)

// feature makes a feature by hand; fields are name, value, name, value.
func feature(kind, id string, g orb.Geometry, fields ...any) model.Feature {
	f := model.Feature{ID: id, Kind: kind, Geometry: g, Fields: map[string]json.RawMessage{}}
	for i := 0; i < len(fields); i += 2 {
		raw, err := json.Marshal(fields[i+1])
		if err != nil {
			panic(err)
		}
		f.Fields[fields[i].(string)] = raw
	}
	return f
}

// staff is a levelled spot: which feature, which part, where along it, how high.
type staff struct {
	feature  string
	place    model.Spot
	chainage float64 // negative: not taped
	level    float64
}

// book writes levels down as an officer would: one set-up on a benchmark at 100 m, line of
// sight at 105, closing on the benchmark out by so many metres.
func book(outM float64, spots ...staff) []model.LevelRow {
	m := func(v float64) *float64 { v = math.Round(v*1e4) / 1e4; return &v }
	rows := []model.LevelRow{{Point: "BM", BS: m(3), KnownLevelM: m(100)}}
	for _, s := range spots {
		row := model.LevelRow{IS: m(103 - s.level), Feature: s.feature, Spot: s.place}
		if s.chainage >= 0 {
			row.ChainageM = m(s.chainage)
		}
		rows = append(rows, row)
	}
	return append(rows, model.LevelRow{Point: "BM", FS: m(3 - outM), KnownLevelM: m(100)})
}

// north is a position so many metres north, and east, of a place at 20° S.
func north(northM, eastM float64) orb.Point {
	return geodesy.Frame{Origin: orb.Point{148, -20}}.Position(eastM, northM)
}

func survey(features ...model.Feature) *PropertyFigures { return Survey(slices.Values(features)) }

func want(t *testing.T, s Sheet, name string, value, plusMinus, within float64, basis model.Basis) {
	t.Helper()
	f, ok := s.Figure(name)
	have := -1.0 // not known
	if f.PlusMinus != nil {
		have = *f.PlusMinus
	}
	if !ok || math.Abs(f.Value-value) > within || math.Abs(have-plusMinus) > within || f.Basis != basis || f.Rule == "" || f.Unit == "" {
		t.Errorf("%s = %+v, want %v ± %v, %s", name, f, value, plusMinus, basis)
	}
}

func none(t *testing.T, s Sheet, name string) {
	t.Helper()
	if f, ok := s.Figure(name); ok {
		t.Errorf("%s = %+v, want none", name, f)
	}
}

func check(t *testing.T, s Sheet, verdict model.Verdict, part string) {
	t.Helper()
	if len(s.Checks) != 1 || s.Checks[0].Verdict != verdict || !strings.Contains(s.Checks[0].Text, part) || s.Checks[0].Rule == "" {
		t.Errorf("checks = %+v, want one that %s and says %q", s.Checks, verdict, part)
	}
}

func warns(t *testing.T, s Sheet, about, part string) {
	t.Helper()
	if !slices.ContainsFunc(s.Cautions, func(c model.Caution) bool { return c.About == about && strings.Contains(c.Text, part) }) {
		t.Errorf("cautions = %+v, want one about %q that says %q", s.Cautions, about, part)
	}
}

func quiet(t *testing.T, s Sheet, about string) {
	t.Helper()
	if slices.ContainsFunc(s.Cautions, func(c model.Caution) bool { return c.About == about }) {
		t.Errorf("cautions = %+v, want none about %q", s.Cautions, about)
	}
}
