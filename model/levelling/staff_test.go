package levelling

import (
	"errors"
	"math"
	"strings"
	"testing"

	"headcut/model"
	"pgregory.net/rapid"
)

func TestSetOutRefuses(t *testing.T) {
	tests := []struct {
		name                string
		sight, target, long float64
		path, reason        string
	}{
		{"target-above-the-line", 8.581, 8.6, 5, "targetLevelM", "0.019 m above the line of sight"},
		{"target-too-far-below", 8.581, 3, 5, "targetLevelM", "5.581 m below the line of sight"},
		{"sight-not-a-number", math.NaN(), 3, 5, "instrumentLevelM", "no level on earth"},
		{"target-infinite", 8, math.Inf(-1), 5, "targetLevelM", "no level on earth"},
		{"target-in-millimetres", 8, 8000000, 5, "targetLevelM", "no level on earth"},
		{"staff-in-millimetres", 8, 7, 5000, "staffLengthM", "not the length of a staff"},
		{"staff-of-nothing", 8, 7, 0, "staffLengthM", "not the length of a staff"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := SetOut(test.sight, test.target, test.long)
			p, ok := errors.AsType[*model.Problem](err)
			if !ok || p.Path != test.path || !strings.Contains(p.Reason, test.reason) {
				t.Errorf("SetOut(%v, %v, %v): %v, want a problem at %s that holds %q", test.sight, test.target, test.long, err, test.path, test.reason)
			}
		})
	}
}

func TestStandSaysWhichWay(t *testing.T) {
	set, err := SetOut(51.842, 50.407, StaffLengthM)
	if err != nil || set.ReadingM != 1.435 {
		t.Fatalf("SetOut: %v, %v, want 1.435", set.ReadingM, err)
	}
	tests := []struct {
		read, level, off float64
		move             string
	}{
		{1.435, 50.407, 0, "stay"},
		{1.620, 50.222, -0.185, "0.185 m higher"}, // a greater reading is lower ground
		{1.4349, 50.4071, 0.0001, "stay"},
		{0, 51.842, 1.435, "1.435 m lower"},
	}
	for _, test := range tests {
		now, err := set.At(test.read)
		if err != nil || now.LevelM != test.level || now.OffM != test.off || !strings.Contains(now.Move, test.move) {
			t.Errorf("reading %v: %+v, %v, want level %v off %v %q", test.read, now, err, test.level, test.off, test.move)
		}
	}
	for _, read := range []float64{-0.1, 5.0001, 1.43501, math.NaN()} {
		if _, err := set.At(read); err == nil {
			t.Errorf("reading %v was taken", read)
		}
	}
}

// Reading what was asked for puts the staff on the level, and the level found from any
// reading is the line of sight less it.
func TestSetOutAndItsInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sight := rapid.IntRange(-1e8, 1e8).Draw(t, "sight")
		reading := rapid.IntRange(0, 50_000).Draw(t, "reading")
		read := rapid.IntRange(0, 50_000).Draw(t, "read")
		set, err := SetOut(float64(sight)/perMetre, float64(sight-reading)/perMetre, StaffLengthM)
		if err != nil || set.ReadingM != float64(reading)/perMetre {
			t.Fatalf("reading %v, %v, want %v", set.ReadingM, err, float64(reading)/perMetre)
		}
		at, err := set.At(set.ReadingM)
		if err != nil || at.OffM != 0 || at.LevelM != float64(sight-reading)/perMetre {
			t.Fatalf("at the asked reading: %+v, %v", at, err)
		}
		now, err := set.At(float64(read) / perMetre)
		if err != nil || now.LevelM != float64(sight-read)/perMetre || now.OffM != float64(reading-read)/perMetre {
			t.Fatalf("at %v: %+v, %v", read, now, err)
		}
	})
}
