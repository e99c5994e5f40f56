package figures

import (
	"slices"
	"testing"

	"headcut/model"
	"headcut/model/works"
)

// Every work that is on the ground, or may be, says what to mind there; a record that is
// no work, and a work taken away, say nothing.
func TestWorksSayWhatToMind(t *testing.T) {
	texts := func(f model.Feature) (all []string) {
		for _, c := range survey().Of(f).Cautions {
			all = append(all, c.Text)
		}
		return all
	}
	for _, k := range model.Kinds {
		got := texts(feature(k.Name, "x", nil, "status", "built"))
		switch {
		case !k.Work:
			if len(got) != 0 {
				t.Errorf("%s is no work and warns %q", k.Name, got)
			}
			continue
		case k.Name == "check-dam":
			if len(got) != len(works.DamCautions) {
				t.Errorf("check-dam warns %q, want the %d cautions of dams", got, len(works.DamCautions))
			}
		case k.Name == "revegetation" || k.Name == "exclosure": // nothing is dug
			if !slices.Equal(got, []string{kindCautions[k.Name]}) {
				t.Errorf("%s warns %q, want its own caution alone", k.Name, got)
			}
		default:
			if !slices.Contains(got, groundCaution) || !slices.Contains(got, kindCautions[k.Name]) {
				t.Errorf("%s warns %q, want its own caution and that about digging", k.Name, got)
			}
		}
		if got := texts(feature(k.Name, "x", nil, "status", "removed")); len(got) != 0 {
			t.Errorf("a removed %s warns %q, want nothing", k.Name, got)
		}
	}
}
