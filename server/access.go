package server

import (
	"cmp"
	"context"
	"slices"
	"strconv"
	"strings"
	"time"

	"headcut/model"
	"headcut/sync/exchange"
)

// DeviceRow is an enrolled device as the office's list shows it.
type DeviceRow struct {
	Row        int       `json:"row"` // stays the same for ever
	Device     string    `json:"device"`
	Author     string    `json:"author"`
	Label      string    `json:"label,omitempty"` // the office's word for it, or else what its browser said it runs on
	Properties []string  `json:"properties"`
	Enrolled   time.Time `json:"enrolled"`
	Seen       time.Time `json:"seen,omitzero"` // last connected; to the day, from before this run of the server
	Revoked    time.Time `json:"revoked,omitzero"`
	// FollowedBy is the row of the device as which this phone was enrolled again, which ended this
	// one; 0 where the office ended it, or nobody did.
	FollowedBy int       `json:"followedBy,omitempty"`
	Shut       time.Time `json:"shut,omitzero"`   // since a restore, until the office confirms it
	Cloned     time.Time `json:"cloned,omitzero"` // since when it cannot send, because other entries have its numbers
	Room       *RoomUsed `json:"room,omitempty"`  // of what it sent; none while no server has counted
	// PhotosNotHere is how many photos that features name and that are not here it may have; 0
	// where nobody looked.
	PhotosNotHere int `json:"photosNotHere,omitempty"`
	// AlsoCalled are the rows of other devices that go by the number which the office has written for this row.
	AlsoCalled []int `json:"alsoCalled,omitempty"`
}

// Devices lists every device that was ever enrolled.
func (s *Server) Devices() []DeviceRow {
	return reading(s, func(o *office) []DeviceRow { return model.Each(o.devices.rows, o.deviceRow) })
}

func (o *office) deviceRow(d *deviceRecord) DeviceRow {
	row := DeviceRow{Row: d.row, Device: d.Device, Author: d.Author, Label: cmp.Or(d.Label, d.RunsOn), Properties: []string{},
		Enrolled: d.made, Seen: o.sights.of(d.id, d.SeenOn.Time), Revoked: d.RevokedOn.Time, Shut: d.KeptShutOn.Time, Cloned: d.ClonedOn.Time}
	if next := o.devices.one(byDevice, d.FollowedBy); next != nil {
		row.FollowedBy = next.row
	}
	reach := o.reach(d)
	within := setOf(reach)
	named := map[string]bool{}
	for _, property := range reach {
		if root := o.root(property); root != property && within[root] {
			continue
		}
		if name := o.property(property).Name; !named[name] {
			named[name] = true
			row.Properties = append(row.Properties, name)
		}
	}
	return row
}

// cloned writes down, once, that a device was refused because other entries have its numbers, so
// that the office sees which phone to enrol again.
func (s *Server) cloned(ctx context.Context, device string) {
	o := s.office
	o.writing.Lock()
	defer o.writing.Unlock()
	d := o.devices.one(byDevice, device)
	if d == nil || !d.ClonedOn.IsZero() {
		return
	}
	s.log.Warn("other entries have the numbers of this device: enrol it again, by 'headcut enrol --again'", "device", device)
	if err := o.write(ctx, officeAuthor, changed(d, func(d *deviceRecord) { d.ClonedOn = second(o.now()) })); err != nil {
		s.log.Warn("that a device is to be enrolled again could not be written down", "error", err)
	}
}

func setOf[T comparable](all []T) map[T]bool {
	set := make(map[T]bool, len(all))
	for _, one := range all {
		set[one] = true
	}
	return set
}

// admitted finds the device of a token; a Problem when that allows nothing. The caller reads the
// office.
func (o *office) admitted(token string) (*deviceRecord, error) {
	d := o.devices.one(byToken, digest(token))
	switch {
	case token == "" || d == nil:
		return nil, &model.Problem{Path: "token", Reason: "this device is not enrolled here", Fix: "enrol it with a one-time code; its entries are kept"}
	case d.FollowedBy != "" && o.present(d).RevokedOn.IsZero():
		return nil, &model.Problem{Path: "token", Reason: "this phone was enrolled again, and is known by a new number", Fix: "type the code again on this phone: what it recorded goes along; if another phone was enrolled with it, ask the office for a new code"}
	case !d.RevokedOn.IsZero():
		return nil, &model.Problem{Path: "token", Reason: "this device's rights were taken away", Fix: "ask the office why"}
	case !d.KeptShutOn.IsZero():
		return nil, shutProblem(d.KeptShutOn.Time)
	}
	return d, nil
}

// admitToSync finds what a device's token allows; a Problem when it allows nothing.
func (s *Server) admitToSync(ctx context.Context, token string) (exchange.Grant, error) {
	o := s.office
	o.mu.RLock()
	d, err := o.admitted(token)
	if err != nil {
		o.mu.RUnlock()
		return exchange.Grant{}, err
	}
	reach := o.reach(d)
	grant := exchange.Grant{Device: d.Device, Authors: authorsOf(d), Properties: reach, About: o.propertiesNamed(reach)}
	id, seen := d.id, d.SeenOn.Time
	o.mu.RUnlock()
	s.sighted(ctx, id, seen)
	return grant, nil
}

// admitToPhotos lets every enrolled device send photos; what it may read, photoRights says.
func (s *Server) admitToPhotos(ctx context.Context, token string) (device string, err error) {
	grant, err := s.admitToSync(ctx, token)
	return grant.Device, err
}

// pickDevice finds a device by its row, its label or the name of who carries it when only one goes by it,
// or else its id: of those that have rights or, when none has, of the others. A phone chooses its id, so that
// an id that equals somebody's name finds nothing while the name does.
func (o *office) pickDevice(which string) (*deviceRecord, error) {
	name := spelt(strings.TrimSpace(which))
	all := o.devices.many(byName, name)
	if named := slices.DeleteFunc(slices.Clone(all), func(d *deviceRecord) bool { return spelt(d.Author) != name && spelt(d.Label) != name }); len(named) > 0 {
		all = named
	}
	called := slices.DeleteFunc(slices.Clone(all), func(d *deviceRecord) bool { return !d.RevokedOn.IsZero() && spelt(d.Device) != name })
	if len(called) == 0 {
		called = slices.Clone(all)
	}
	return pick(&o.devices, which, called)
}

// changeDevice writes what do changes of a device, given by id, row or name, and gives its row. A
// conversation that it has open learns of it at once.
func (s *Server) changeDevice(ctx context.Context, which string, do func(o *office, d *deviceRecord) ([]change, error)) (DeviceRow, error) {
	o := s.office
	o.writing.Lock()
	d, err := o.pickDevice(which)
	var row DeviceRow
	if err == nil {
		var changes []change
		if changes, err = do(o, d); err == nil {
			err = o.write(ctx, officeAuthor, changes...)
		}
		row = o.deviceRow(d)
		row.AlsoCalled = alsoCalled(&o.devices, which)
	}
	o.writing.Unlock()
	if err != nil {
		return DeviceRow{}, err
	}
	s.recheck(row.Device)
	return row, nil
}

// Widen gives an enrolled device more properties. It learns of them at its next connection,
// and at once when it is connected.
func (s *Server) Widen(ctx context.Context, which string, properties ...Property) (DeviceRow, error) {
	return s.changeDevice(ctx, which, func(o *office, d *deviceRecord) ([]change, error) {
		if !d.RevokedOn.IsZero() {
			return nil, &model.Problem{Path: "device", Reason: "the rights of this device were taken away", Fix: "enrol it again with a new code"}
		}
		var ids []string
		for _, p := range properties {
			if p.Begun {
				return nil, notAccepted(p)
			}
			ids = append(ids, p.ID)
		}
		return []change{changed(d, func(d *deviceRecord) { o.give(d, ids) })}, nil
	})
}

// Label gives a device a name that sets it apart from others of the same person; "" removes it.
func (s *Server) Label(ctx context.Context, which, label string) (DeviceRow, error) {
	label = oneLine(label)
	if len(label) > 100 {
		return DeviceRow{}, &model.Problem{Path: "label", Reason: "is longer than 100 letters"}
	}
	if err := notOfPeople("label", label); err != nil {
		return DeviceRow{}, err
	}
	return s.changeDevice(ctx, which, func(_ *office, d *deviceRecord) ([]change, error) {
		return []change{changed(d, func(d *deviceRecord) { d.Label = label })}, nil
	})
}

// give adds properties to those of a device.
func (o *office) give(d *deviceRecord, properties []string) {
	d.Properties, d.Withheld = union(d.Properties, properties), o.without(d.Withheld, properties)
}

// union is a and those of b that are not in it, each once.
func union[T comparable](a, b []T) []T {
	all := slices.Clone(a)
	has := setOf(a)
	for _, s := range b {
		if !has[s] {
			has[s] = true
			all = append(all, s)
		}
	}
	return all
}

// rowsOf are the rows of devices in the office's list, as a command takes them.
func (s *Server) rowsOf(devices []string) string {
	var rows []string
	for _, row := range s.Devices() {
		if slices.Contains(devices, row.Device) {
			rows = append(rows, strconv.Itoa(row.Row))
		}
	}
	return strings.Join(rows, " and ")
}
