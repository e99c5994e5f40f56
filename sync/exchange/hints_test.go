package exchange

import (
	"maps"
	"testing"
)

// TestHintDuringAPullIsKept: an entry that comes after the store was read for a pull, and
// before the pull is over, is hinted at, also when an earlier hint is unanswered.
func TestHintDuringAPullIsKept(t *testing.T) {
	h := newHints()
	for _, step := range []struct {
		name string
		do   func()
		want map[string]uint64
	}{
		{"first growth", func() { h.grown("creek", 60); h.grown("creek", 61) }, map[string]uint64{"creek": 61}},
		{"growth while the hint is unanswered", func() { h.grown("creek", 62) }, map[string]uint64{}},
		{"growth during the pull", func() { h.pulling("creek"); h.grown("creek", 71); h.pulled("creek", 70) }, map[string]uint64{"creek": 71}},
		{"a pull that saw all", func() { h.pulling("creek"); h.grown("creek", 72); h.pulled("creek", 72) }, map[string]uint64{}},
		{"an old number after it", func() { h.grown("creek", 72) }, map[string]uint64{}},
		{"growth after it", func() { h.grown("creek", 73) }, map[string]uint64{"creek": 73}},
	} {
		step.do()
		if got := h.take(); !maps.Equal(got, step.want) {
			t.Errorf("%s: got hints %v, want %v", step.name, got, step.want)
		}
	}
}
