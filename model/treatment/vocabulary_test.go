package treatment

import (
	"slices"
	"testing"

	"headcut/model"
)

// TestTreatmentsAreWorksOfTheRegister: what is recommended can be put on the map. Contour banks divide a long
// slope, whatever erodes on it: they are planned for the slope, and recommended for no one place.
func TestTreatmentsAreWorksOfTheRegister(t *testing.T) {
	named := map[string]bool{}
	for _, a := range Treatments {
		kind, material := a.Treatment.Work()
		named[kind] = true
		k, ok := model.KindNamed(kind)
		if a.Step != Advice && (!ok || !k.Work) || material != "" && !slices.Contains(model.DamMaterials, material) {
			t.Errorf("%s is no work of the register", a.Treatment)
		}
	}
	for _, k := range model.Kinds {
		if k.Work && !named[k.Name] && k.Name != "contour-bank" {
			t.Errorf("%s is never recommended", k.Name)
		}
	}
}
