package device

import (
	"context"
	"errors"
	"time"

	"headcut/sync/wire"
)

// Sync connects once, sends all that is unsent, fetches all that is new, then sends the
// photos. After an error everything is as it was or further on, and Sync may be called
// again.
func (d *Device) Sync(ctx context.Context) error {
	d.talking.Lock()
	defer d.talking.Unlock()
	t, err := d.connect(ctx)
	if err != nil {
		return err
	}
	defer t.hangUp()
	if err := d.converge(t); err != nil {
		return errors.Join(ctx.Err(), err)
	}
	if err := d.photosWanted(t); err != nil {
		return err
	}
	return d.sendPhotos(ctx)
}

// converge brings every property to the same state here and there. What one property has
// to complain of does not hold back the others.
func (d *Device) converge(t *talk) error {
	reached, complaints, err := d.begin(t)
	if err != nil {
		return err
	}
	for _, property := range reached {
		err := d.convergeOn(t, property)
		if complaint, ok := errors.AsType[refusal](err); ok && !complaint.Closing {
			complaints = append(complaints, err)
			continue
		}
		if err != nil {
			return errors.Join(append(complaints, err)...)
		}
	}
	return errors.Join(complaints...)
}

func (d *Device) convergeOn(t *talk, property string) error {
	if err := d.push(t, property); err != nil {
		return err
	}
	delete(t.hinted, property) // the pull sees all that was hinted at so far
	return d.pullThroughForks(t, property)
}

// Live stays connected until ctx ends: what is captured goes out at once, and what others
// capture comes in. After a cut it connects again, at a random moment. It returns early
// only when trying again cannot help: the device must be enrolled, or enrolled again.
func (d *Device) Live(ctx context.Context) error {
	again := reconnect{chance: d.o.Chance}
	for {
		began := time.Now()
		later, err := d.liveOnce(ctx)
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if errors.Is(err, ErrNotEnrolled) || errors.Is(err, ErrEnrolAnew) {
			return err
		}
		again.ended(err, time.Since(began))
		wait := again.next(later)
		d.o.Logger.Debug("not connected", "because", err, "again in", wait)
		if err := d.o.Sleep(ctx, wait); err != nil {
			return err
		}
	}
}

func (d *Device) liveOnce(ctx context.Context) (*wire.Later, error) {
	d.talking.Lock()
	defer d.talking.Unlock()
	t, err := d.connect(ctx)
	if err != nil {
		return nil, err
	}
	defer t.hangUp()
	for {
		if err := d.converge(t); err != nil {
			return t.later, err
		}
		if err := d.photosWanted(t); err != nil {
			return t.later, err
		}
		if err := d.sendPhotos(ctx); err != nil {
			d.o.Logger.Warn("photos wait", "because", err)
		}
		for len(t.hinted)+len(t.wanted) == 0 {
			select {
			case frame, ok := <-t.frames:
				if !ok {
					return t.later, t.ended
				}
				if err := t.note(frame); err != nil {
					return t.later, err
				}
				continue
			case <-d.captured:
			case <-ctx.Done():
				return nil, ctx.Err()
			}
			break
		}
	}
}
