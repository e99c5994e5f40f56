package figures

import (
	"testing"

	"headcut/model"
)

func TestPegWords(t *testing.T) {
	for _, c := range []struct {
		name string
		n    int
		want string
	}{{"", 2, "peg 2"}, {"7", 2, "peg 7"}, {"Peg 2", 2, "Peg 2"}, {"left end", 1, "left end"}} {
		if got := pegWords(c.name, c.n); got != c.want {
			t.Errorf("pegWords(%q, %d) = %q, want %q", c.name, c.n, got, c.want)
		}
	}
}

func TestOffLevel(t *testing.T) {
	for _, c := range []struct {
		offM float64
		want string
	}{{-0.044, "0.044 m below it"}, {0.05, "0.050 m above it"}} {
		if got := offLevel(c.offM); got != c.want {
			t.Errorf("offLevel(%v) = %q, want %q", c.offM, got, c.want)
		}
	}
}

// A tolerance of nought is none: the usual one of a rip line, 0.05 m, then holds.
func TestContourTolerance(t *testing.T) {
	pegs := feature("level-run", "r1", nil, "rows", book(0, staff{"rip", model.PegSpot, 0, 100}, staff{"rip", model.PegSpot, 20, 100.06}))
	for toleranceM, verdict := range map[float64]model.Verdict{0: model.OK, 0.01: model.Fails, 0.04: model.OK} {
		rip := feature("rip-line", "rip", nil, "toleranceM", toleranceM)
		if got := survey(pegs, rip).Of(rip).Checks[0]; got.Verdict != verdict {
			t.Errorf("pegs 0.03 m off within %v m: %+v, want %s", toleranceM, got, verdict)
		}
	}
}

// Two levels of a closed run are a bed, beside which levels of a run that is not closed count for
// nothing; one is none.
func TestBedOfClosedRuns(t *testing.T) {
	open := feature("level-run", "r2", nil, "rows", book(0.3, staff{"t", model.BedSpot, 10, 100.2}, staff{"t", model.BedSpot, 20, 100.4}))
	closed := []staff{{"t", model.BedSpot, 0, 100}, {"t", model.BedSpot, 30, 100.9}}
	for n, want := range map[int]struct {
		levels int
		proven bool
	}{2: {2, true}, 1: {3, false}} {
		all := survey(gully(), feature("level-run", "r1", nil, "rows", book(0, closed[:n]...)), open).LongSections()
		if len(all) != 1 || len(all[0].Bed) != want.levels || all[0].Proven != want.proven {
			t.Errorf("of %d closed levels: %+v, want %+v", n, all, want)
		}
	}
}
