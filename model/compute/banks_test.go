package compute

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"headcut/model"
)

// bankRun is a level run that closes, with these rows between its benchmarks.
func bankRun(t *testing.T, rows string) string {
	t.Helper()
	run, err := Run("level-run", []byte(`{"rows":[{"point":"BM","bs":1.5,"knownLevelM":100},`+rows+`,{"point":"BM","fs":1.5,"knownLevelM":100}]}`))
	if err != nil {
		t.Fatal(err)
	}
	return string(run)
}

func beside(answer, more string) string { return strings.TrimSuffix(answer, "}") + "," + more + "}" }

const wanted = `"outletAt":"first peg","reaches":[{"lengthM":40,"gradePct":0.3}]`

// TestBankOfALevelRun: rows booked in any order become pegs, a crest goes to its channel, and
// what is booked elsewhere stays out.
func TestBankOfALevelRun(t *testing.T) {
	const rows = `{"point":"top","is":1.3,"chainageM":40,"feature":"b"},{"point":"crest","is":0.7,"chainageM":40,"spot":"crest","feature":"b"},` +
		`{"point":"out","is":1.42,"chainageM":0,"spot":"peg","feature":"b"},{"point":"dam","is":2,"chainageM":20,"spot":"toe","feature":"b"},{"point":"post","is":1}`
	var out bankCheckOut
	run(t, "bank-check", beside(bankRun(t, rows), wanted), &out)
	if len(out.Lengths) != 1 || !closeTo(out.Lengths[0].GradePct, 0.3) || out.Lowest == nil || out.Lowest.Name != "top" || !closeTo(out.Lowest.HeightM.Value, 0.6) {
		t.Errorf("%+v", out)
	}
	for _, c := range []struct{ name, rows, path, says string }{
		{"no-chainage", `{"is":1.3}`, "rows", "no row"},
		{"crest-alone", rows + `,{"is":0.7,"chainageM":20,"spot":"crest","feature":"b"},{"is":0.7,"chainageM":10,"spot":"crest","feature":"b"}`, "rows", "at 10 m"},
		{"two-banks", rows + `,{"is":1.3,"chainageM":10,"feature":"c"}`, "rows", "several features (b, c)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			answer, err := Run("bank-check", []byte(beside(bankRun(t, c.rows), wanted)))
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path || !strings.Contains(p.Reason, c.says) || p.Fix == "" {
				t.Errorf("%s, %v; want it refused at %s: %s", answer, err, c.path, c.says)
			}
		})
	}
	var one bankCheckOut
	run(t, "bank-check", beside(bankRun(t, rows+`,{"is":1.3,"chainageM":10,"feature":"c"}`), wanted+`,"feature":"b"`), &one)
	if len(one.Lengths) != 1 || one.Verdict != out.Verdict {
		t.Errorf("rows of one feature alone: %+v", one)
	}
}

// TestBankIsAsSureAsItsRun: a peg far from the benchmark is less sure, and what is given holds.
func TestBankIsAsSureAsItsRun(t *testing.T) {
	const rows = `{"point":"out","is":1.42,"chainageM":0},{"fs":1.5,"bs":1.5},{"fs":1.5,"bs":1.5},{"point":"top","is":1.3,"chainageM":40}`
	for given, want := range map[string]float64{"": 0.0049, `,"levelPlusMinusM":0.001`: 0.001} {
		var out bankCheckOut
		run(t, "bank-check", beside(bankRun(t, rows), wanted+given), &out)
		if got := out.Lengths[0].GradePlusMinusPct * 40 / 100; got < 1.3*want || got > 1.5*want { // of two levels
			t.Errorf("with %q the fall is sure to %v m, want %v times the root of 2", given, got, want)
		}
	}
}

// TestLayoutPassesItsOwnCheck: pegs at the levels that a layout asks for are a bank on grade,
// whichever end they are counted from.
func TestLayoutPassesItsOwnCheck(t *testing.T) {
	for _, from := range []string{"outlet", "top"} {
		const design = `,"reaches":[{"lengthM":45,"gradePct":0.2},{"lengthM":30,"gradePct":0.4}],"landSlopePct":4,"manningN":0.04,"flowM3S":0.4,"bankRunPerRise":3,"topWidthM":3,"freeboardM":0.15,"settlementPct":10,"cover":"couch"}`
		in := `{"outlet":{"kind":"grassed area","levelM":50,"stable":true,"toGullyHead":false},"chainageFrom":"` + from + `"` + design
		var plan bankLayoutOut
		run(t, "bank-layout", in, &plan)
		var pegs []string
		for _, p := range plan.SetOut {
			pegs = append(pegs, fmt.Sprintf(`{"chainageM":%v,"levelM":%v,"crestLevelM":%v}`, p.ChainageM, p.LevelM, p.LevelM+plan.SettledHeightM.Value))
		}
		layout, err := Run("bank-layout", []byte(in))
		if err != nil {
			t.Fatal(err)
		}
		var check bankCheckOut
		run(t, "bank-check", beside(string(layout), `"pegs":[`+strings.Join(pegs, ",")+`]`), &check)
		if check.Verdict != "OK" || !closeTo(check.WorstFirst[0].OffM, 0) || len(check.Pools) != 0 || check.Lowest.Flow == nil {
			t.Errorf("from the %s: %+v", from, check)
		}
	}
}

func closeTo(a, b float64) bool { return math.Abs(a-b) < 1e-9 }
