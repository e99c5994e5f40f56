package pace

import (
	"testing"
	"time"
)

func TestDeadline(t *testing.T) {
	rule := Rule{Silence: 10 * time.Second, Grace: 20 * time.Second, BytesPerS: 100}
	began := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		name  string
		after time.Duration
		bytes int64
		want  time.Duration // since it began
	}{
		{"nothing yet", 0, 0, 10 * time.Second},
		{"a byte every 9 s", 18 * time.Second, 2, 20*time.Second + 20*time.Millisecond},
		{"as slow as may be", 100 * time.Second, 10_000, 110 * time.Second},
		{"fast", time.Second, 1 << 20, 11 * time.Second},
		{"too slow for long", 30 * time.Second, 500, 25 * time.Second},
	} {
		if got := rule.Deadline(began.Add(c.after), began, c.bytes).Sub(began); got != c.want {
			t.Errorf("%s: got a deadline after %v, want %v", c.name, got, c.want)
		}
	}
}
