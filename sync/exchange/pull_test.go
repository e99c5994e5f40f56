package exchange

import (
	"encoding/json"
	"testing"

	"headcut/sync/register"
	"headcut/sync/wire"
)

// TestRunFillsAFrame: as many entries go into a frame as have its bytes, one at least.
func TestRunFillsAFrame(t *testing.T) {
	const most = wire.MaxBytes
	for _, c := range []struct {
		bytes []int
		want  int
	}{
		{nil, 0}, {[]int{1}, 1}, {[]int{most}, 1}, {[]int{most + 1}, 1}, {[]int{most + 1, 1}, 1},
		{[]int{most, 1}, 1}, {[]int{most - 1, 1}, 2}, {[]int{most - 1, 1, 1}, 2}, {[]int{1, most}, 1},
		{[]int{most / 2, most / 2, 1}, 2}, {[]int{most / 3, most / 3, most / 3}, 3},
	} {
		entries := make([]register.Numbered, len(c.bytes))
		for i, n := range c.bytes {
			entries[i].Raw = make(json.RawMessage, n)
		}
		if got := run(entries); got != c.want {
			t.Errorf("of entries of %v bytes %d go into a frame of %d, want %d", c.bytes, got, most, c.want)
		}
	}
}
