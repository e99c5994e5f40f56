package works

import (
	"slices"
	"testing"

	"headcut/model"
)

// TestOneVocabulary: works are called the same in the register, in bills and in dams.
func TestOneVocabulary(t *testing.T) {
	var kinds []string
	for _, k := range model.Kinds {
		if k.Work {
			kinds = append(kinds, k.Name)
		}
	}
	if want := append(kinds, "fence", "track", "other"); !slices.Equal(Treatments, want) {
		t.Errorf("Treatments = %q, want the works of the register, then fence, track and other: %q", Treatments, want)
	}
	for _, k := range DamKinds {
		if !slices.Contains(model.DamMaterials, string(k)) {
			t.Errorf("the register knows no dam of %s", k)
		}
	}
}
