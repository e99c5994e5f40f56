package demo

import (
	"context"
	"fmt"
	"time"

	"headcut/sync/device"
)

// Cast is what a play needs of a server that is running.
type Cast struct {
	Address string   // of the server
	Codes   []string // a one-time code for each of People
	Told    func(done, total int, day time.Time)
}

// Score is what a play sent.
type Score struct {
	Captures, Photos, Days int
}

// walker is one person with a device, and the clock of that device.
type walker struct {
	*device.Device
	clock    time.Time
	property string
}

// Play enrols a device for each person and goes through the scene day by day: captured
// with no signal, then synced in the evening when both are back.
func Play(ctx context.Context, c Cast) (Score, error) {
	var score Score
	walkers, err := enrol(ctx, c)
	if err != nil {
		return score, err
	}
	scene := Scene()
	known := &plannedIDs{ids: map[string]string{}}
	for i, capture := range scene {
		w := walkers[capture.By]
		w.clock = capture.At
		if capture.Adopts != nil {
			if err := known.plan(w, *capture.Adopts, scene[:i]); err != nil {
				return score, err
			}
		}
		if capture.Feature, capture.Set, err = known.of(capture); err != nil {
			return score, err
		}
		if err := w.Set(w.property, capture.Feature, capture.Set); err != nil {
			return score, fmt.Errorf("capturing %s: %w", capture.Feature, err)
		}
		if capture.Photo != nil {
			if err := w.Photo(w.property, capture.Feature, capture.Photo); err != nil {
				return score, fmt.Errorf("keeping the photo of %s: %w", capture.Feature, err)
			}
			score.Photos++
		}
		score.Captures++
		if i+1 < len(scene) && sameDay(scene[i+1].At, capture.At) {
			continue
		}
		score.Days++
		if c.Told != nil {
			c.Told(i+1, len(scene), capture.At)
		}
		if err := evening(ctx, walkers); err != nil {
			return score, fmt.Errorf("syncing the day of %s: %w", capture.At.Format(time.DateOnly), err)
		}
	}
	return score, nil
}

func enrol(ctx context.Context, c Cast) ([]*walker, error) {
	var walkers []*walker
	for i, name := range People {
		w := &walker{clock: time.Now()}
		d, err := device.Enrol(ctx, c.Address, c.Codes[i], name, func() time.Time { return w.clock })
		if err != nil {
			return nil, err
		}
		w.Device, w.property = d, d.Properties[0].ID
		walkers = append(walkers, w)
	}
	return walkers, nil
}

// evening syncs everybody, then again, so that each has what the others sent.
func evening(ctx context.Context, walkers []*walker) error {
	for range 2 {
		for _, w := range walkers {
			w.clock = time.Now()
			if err := w.Sync(ctx); err != nil {
				return err
			}
		}
	}
	return nil
}

func sameDay(a, b time.Time) bool { return a.Format(time.DateOnly) == b.Format(time.DateOnly) }
