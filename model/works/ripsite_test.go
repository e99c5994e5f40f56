package works

import (
	"errors"
	"math"
	"strings"
	"testing"

	"headcut/model"
)

func TestRipSites(t *testing.T) {
	tests := []struct {
		name string
		site RipSite
		path string // of the refusal, "" for none
		want string // in a caution or in the reason
	}{
		{"slope-not-known", RipSite{SlopePct: math.NaN()}, "", "was not given"},
		{"gentle", RipSite{SlopePct: 3, Subsoil: NotDispersive, Contour: ContourOK}, "", ""},
		{"just-under-15", RipSite{SlopePct: 14.9}, "", ""},
		{"fifteen", RipSite{SlopePct: 15}, "groundSlopePct", "slopes under 15 % (USDA NRCS Arizona"},
		{"fifteen-by-the-wider", RipSite{SlopePct: 15, Rule: "grazing land, under 30 %"}, "", "may roll"},
		{"just-under-30", RipSite{SlopePct: 29.9, Rule: "grazing land, under 30 %"}, "", "may roll"},
		{"thirty", RipSite{SlopePct: 30, Rule: "grazing land, under 30 %"}, "groundSlopePct", "slopes under 30 % (USDA NRCS conservation"},
		{"uphill", RipSite{SlopePct: -1}, "groundSlopePct", "no slope"},
		{"rule-unheard-of", RipSite{SlopePct: 3, Rule: "mine"}, "slopeRule", "no rule"},
		{"dispersive", RipSite{SlopePct: 3, Subsoil: Dispersive}, "overrideReason", "tunnels"},
		{"dispersive-with-a-reason", RipSite{SlopePct: 3, Subsoil: Dispersive, OverrideReason: "Tunnels are there already."}, "", "for this reason: Tunnels are there already."},
		{"not-tested", RipSite{SlopePct: 3, Subsoil: NotTested}, "", "was not tested"},
		{"between-banks", RipSite{SlopePct: 3, Contour: BetweenBanks}, "", "is not checked"},
		{"contour-not-levelled", RipSite{SlopePct: 3, Contour: ContourNotLevelled}, "", "level it before ripping"},
		{"contour-fails", RipSite{SlopePct: 3, Contour: ContourFails}, "", "move the pegs"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := test.site.Check()
			if p, ok := errors.AsType[*model.Problem](err); (test.path != "") != ok || ok && (p.Path != test.path || !strings.Contains(p.Reason, test.want)) {
				t.Fatalf("Check = %v, want a problem at %q with %q", err, test.path, test.want)
			}
			if test.path != "" {
				return
			}
			all := test.site.Cautions()
			if (len(all) > 0) != (test.want != "") || len(all) > 0 && !strings.Contains(all[0].Text, test.want) {
				t.Errorf("Cautions = %v, want %q", all, test.want)
			}
		})
	}
}

func TestBetweenBanksMayRipUnproven(t *testing.T) {
	for state, want := range map[RipContour][2]bool{
		ContourOK: {true, true}, BetweenBanks: {true, false}, ContourNotLevelled: {false, false}, ContourFails: {false, true}, "": {false, false},
	} {
		if may, proven, text := state.MayRip(); may != want[0] || proven != want[1] || text == "" {
			t.Errorf("%q may be ripped: %t, proven: %t, want %v", state, may, proven, want)
		}
	}
}

// TestWhatToDoOnTooSteepGround: the wider practice is named only where its own limit allows the slope.
func TestWhatToDoOnTooSteepGround(t *testing.T) {
	for slopePct, named := range map[float64]bool{15: true, 29.9: true, 30: false, 40: false} {
		_, err := RipSite{SlopePct: slopePct}.Check()
		if p, ok := errors.AsType[*model.Problem](err); !ok || strings.Contains(p.Fix, "grazing land, under 30 %") != named {
			t.Errorf("%v %%: %v, want the wider practice named: %t", slopePct, err, named)
		}
	}
}
