package model

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
)

// TestWhatIsNotKnownIsLeftOut: a plus-minus that could not be worked out is in no JSON.
func TestWhatIsNotKnownIsLeftOut(t *testing.T) {
	for v, has := range map[float64]bool{0: true, 0.4: true, -1: false, math.Inf(1): false, math.Inf(-1): false, math.NaN(): false} {
		text, err := json.Marshal(Figure{Name: "lengthM", PlusMinus: Known(v)})
		if err != nil || strings.Contains(string(text), "plusMinus") != has {
			t.Errorf("%v: %s, %v; want a plusMinus: %t", v, text, err, has)
		}
	}
}
