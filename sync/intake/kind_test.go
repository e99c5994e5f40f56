package intake

import "testing"

// Files written before a label changed are still read as what they hold.
func TestOldLabelsAreTheirKinds(t *testing.T) {
	for label, want := range map[string]string{"Sown ground": "revegetation", "Exclosure": "exclosure", "Battered bank": "batter", "battered banks": "batter"} {
		if got := kindOf(label); got != want {
			t.Errorf("%q is read as %q, want %s", label, got, want)
		}
	}
}
