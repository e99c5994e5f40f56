package device

import (
	"context"
	"errors"
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
	var complaints []error
	for _, property := range t.welcome.Properties {
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
	return d.pullThroughForks(t, property)
}
