package server

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"headcut/model"
	"headcut/sync/wire"
)

// Property is a holding whose land is treated, as devices and the office hear of it.
type Property = wire.Property

func (p *propertyRecord) property() Property {
	return Property{ID: p.id, Name: p.Name, Into: p.MergedInto, Begun: p.MergedInto == "" && p.BegunBy != "" && p.AcceptedOn.IsZero()}
}

// property is a property by its id, without a name when there is none. The caller of this and of
// those below reads the office.
func (o *office) property(id string) Property {
	if p := o.properties.of(id); p != nil {
		return p.property()
	}
	return Property{ID: id}
}

// root is the property that shows what is recorded under id: itself, unless it was merged.
func (o *office) root(id string) string {
	for range len(o.properties.rows) { // no merge leads back: see Merge
		p := o.properties.of(id)
		if p == nil || p.MergedInto == "" {
			break
		}
		id = p.MergedInto
	}
	return id
}

// parts are the ids under which a property's features are kept: its own first, then those
// that were merged into it, in the order in which they were made.
func (o *office) parts(id string) []string {
	root := o.root(id)
	ids := []string{root}
	merged := o.mergedInto(root, nil)
	slices.SortFunc(merged, func(a, b *propertyRecord) int { return a.row - b.row })
	for _, p := range merged {
		ids = append(ids, p.id)
	}
	return ids
}

func (o *office) mergedInto(id string, all []*propertyRecord) []*propertyRecord {
	for _, p := range o.properties.many(byTarget, id) {
		all = o.mergedInto(p.id, append(all, p))
	}
	return all
}

// reach is every property that a device may read and write: what it was given,
// with a merged property the one it is part of and the other way, but nothing that was taken
// from it, whatever is merged later.
func (o *office) reach(d *deviceRecord) []string {
	if d == nil {
		return nil
	}
	var ids []string
	within := map[string]bool{}
	for _, id := range d.Properties {
		for _, part := range o.parts(id) {
			if _, taken := d.Withheld[part]; !taken && !within[part] && o.properties.of(part) != nil {
				within[part] = true
				ids = append(ids, part)
			}
		}
	}
	return ids
}

// reaches reports whether a device may read and write a property.
func (o *office) reaches(d *deviceRecord, property string) bool {
	if d == nil || o.properties.of(property) == nil {
		return false
	}
	if _, taken := d.Withheld[property]; taken {
		return false
	}
	return slices.ContainsFunc(o.parts(property), func(part string) bool { return slices.Contains(d.Properties, part) })
}

// reachedBy are the devices that may read and write a property, as far as they have any rights.
func (o *office) reachedBy(property string) []*deviceRecord {
	var all []*deviceRecord
	for _, part := range o.parts(property) {
		all = append(all, o.devices.many(byProperty, part)...)
	}
	slices.SortFunc(all, func(a, b *deviceRecord) int { return a.row - b.row })
	return slices.DeleteFunc(slices.Compact(all), func(d *deviceRecord) bool { return !o.reaches(d, property) })
}

// propertiesNamed is what a device hears of the properties that it may read and write.
func (o *office) propertiesNamed(ids []string) []Property {
	all := make([]Property, len(ids))
	within := setOf(ids)
	for i, id := range ids {
		all[i] = o.property(id)
		if all[i].Into == "" {
			continue
		}
		if all[i].Into = o.root(id); !within[all[i].Into] {
			all[i].Into = "" // that one was taken from the device
		}
	}
	return all
}

// Properties lists the properties by name, without those that were merged into another.
func (s *Server) Properties() []Property {
	s.office.mu.RLock()
	defer s.office.mu.RUnlock()
	var all []Property
	for _, p := range s.office.properties.rows {
		if p.MergedInto == "" {
			all = append(all, p.property())
		}
	}
	slices.SortFunc(all, func(a, b Property) int {
		return strings.Compare(a.Name+"\x00"+a.ID, b.Name+"\x00"+b.ID)
	})
	return all
}

// namesListed is how many names of properties a Problem lists.
const namesListed = 50

// Property finds a property by its name, whatever its case; a Problem that lists the names
// there are when it has none. One that was merged is found as the one it is part of now, and
// one that waits to be accepted only when no other has the name.
func (s *Server) Property(name string) (Property, error) {
	name = strings.TrimSpace(name)
	found := reading(s, func(o *office) []Property { return o.named(name) })
	if len(found) == 1 {
		return found[0], nil
	}
	if len(found) > 1 {
		return Property{}, &model.Problem{Path: "property", Reason: fmt.Sprintf("%d properties that phones began are called %s", len(found), quote(name)),
			Fix: "accept one and merge the others into it, by their rows in 'headcut properties'"}
	}
	fix := "make it by enrolling a device or taking a file in for it"
	all := s.Properties()
	names := make([]string, len(all))
	for i, p := range all {
		names[i] = p.Name
	}
	if near := didYouMean(name, names); len(all) > namesListed {
		fix = near + fmt.Sprintf("'headcut properties' lists the %d there are", len(all))
	} else if len(all) > 0 {
		fix = near + "The properties here are: " + strings.Join(names, ", ")
	}
	return Property{}, &model.Problem{Path: "property", Reason: "there is no property called " + quote(name), Fix: fix}
}

// named gives the properties of a name: of the accepted ones if any has it, else of those
// that wait, else of those that were merged.
func (o *office) named(name string) []Property {
	var accepted, waiting, merged []Property
	for _, record := range o.properties.many(byName, spelt(name)) {
		p := record.property()
		switch {
		case p.Into != "":
			if root := o.property(o.root(p.ID)); !slices.Contains(merged, root) {
				merged = append(merged, root)
			}
		case p.Begun:
			waiting = append(waiting, p)
		default:
			accepted = append(accepted, p)
		}
	}
	switch {
	case len(accepted) > 0:
		return accepted
	case len(waiting) > 0:
		return waiting
	}
	return merged
}

// PropertyOrNew finds a property by its name or makes it; isNew reports which.
func (s *Server) PropertyOrNew(ctx context.Context, name string) (p Property, isNew bool, err error) {
	if name, err = propertyName(name); err != nil {
		return Property{}, false, err
	}
	s.office.writing.Lock()
	if len(s.office.named(name)) > 0 {
		s.office.writing.Unlock()
		p, err := s.Property(name)
		return p, false, err
	}
	defer s.office.writing.Unlock()
	if numberAlone(name) {
		return Property{}, false, rowLike("property")
	}
	p = Property{ID: uuid.NewString(), Name: name}
	err = s.office.write(ctx, officeAuthor, made(&propertyRecord{filed: filed{id: p.ID}, Name: name}))
	return p, err == nil, err
}

// propertyName is a name without doubled spaces; a Problem when it is none.
func propertyName(name string) (string, error) {
	name = strings.Join(strings.Fields(strings.ToValidUTF8(name, "")), " ")
	if name == "" || len(name) > 200 || strings.ContainsFunc(name, func(r rune) bool { return r < ' ' || r == 0x7f }) {
		return "", &model.Problem{Path: "property", Reason: "a property needs a name of at most 200 letters", Fix: "give it with --property"}
	}
	return name, nil
}

// PropertyRow is a property as the office's list shows it.
type PropertyRow struct {
	Property
	Row     int       `json:"row"` // stays the same for ever
	Since   time.Time `json:"since"`
	By      string    `json:"by,omitempty"` // who began it, when a phone did
	Entries uint64    `json:"entries"`
	Parts   uint64    `json:"parts,omitempty"`   // entries of those that were merged into it, besides
	Devices []string  `json:"devices,omitempty"` // who may read and write it
	SameAs  int       `json:"sameAs,omitempty"`  // row of an accepted property of the same name
	Room    *RoomUsed `json:"room,omitempty"`    // of its entries and photos; none while no server has counted
	// PhotosNotHere is how many photos its features name that are not here, and PhotosWith who may
	// have them on the phone.
	PhotosNotHere int      `json:"photosNotHere,omitempty"`
	PhotosWith    []string `json:"photosWith,omitempty"`

	parts []string // that were merged into it
}

// PropertyRows lists every property, also those that were merged into another.
func (s *Server) PropertyRows(ctx context.Context) ([]PropertyRow, error) {
	rows := reading(s, func(o *office) []PropertyRow { return model.Each(o.properties.rows, o.propertyRow) })
	entries := map[string]uint64{}
	for i := range rows {
		row := &rows[i]
		n, err := s.store.Newest(ctx, row.ID)
		if err != nil {
			return nil, err
		}
		row.Entries, entries[row.ID] = n, n
		if s.room.counted.Load() {
			used, err := s.propertyRoom(ctx, row.ID)
			if err != nil {
				return nil, err
			}
			row.Room = &used
		}
	}
	for i, row := range rows {
		for _, part := range row.parts {
			rows[i].Parts += entries[part]
		}
	}
	return rows, nil
}

func (o *office) propertyRow(p *propertyRecord) PropertyRow {
	row := PropertyRow{Property: p.property(), Row: p.row, Since: p.made}
	if d := o.devices.one(byDevice, p.BegunBy); d != nil {
		row.By = d.Author
	}
	for _, d := range o.reachedBy(p.id) {
		switch {
		case !d.RevokedOn.IsZero():
		case !d.KeptShutOn.IsZero():
			row.Devices = append(row.Devices, d.Author+" (kept shut)")
		default:
			row.Devices = append(row.Devices, d.Author)
		}
	}
	for _, other := range o.properties.many(byName, spelt(p.Name)) {
		if is := other.property(); row.Begun && !is.Begun && is.Into == "" {
			row.SameAs = other.row
		}
	}
	if p.MergedInto == "" {
		row.parts = o.parts(p.id)[1:]
	}
	return row
}

// NameAgain gives a property whose record was lost a name by which the office finds it, and reports
// whether it had one.
func (s *Server) NameAgain(ctx context.Context, id string) (p Property, had bool, err error) {
	o := s.office
	o.writing.Lock()
	defer o.writing.Unlock()
	if o.properties.of(id) != nil {
		return o.property(id), true, nil
	}
	name := ""
	for i := 1; name == "" || o.nameFree(name, id) != nil; i++ {
		name = fmt.Sprintf("Salvaged %d", i)
	}
	err = o.write(ctx, "salvage", made(&propertyRecord{filed: filed{id: id}, Name: name}))
	return o.property(id), false, err
}

// propertyOf is the property of an id.
func (s *Server) propertyOf(id string) Property {
	return reading(s, func(o *office) Property { return o.property(id) })
}

// keeps reports whether a property is kept here.
func (s *Server) keeps(property string) bool {
	return reading(s, func(o *office) bool { return o.properties.of(property) != nil })
}

// allProperties are the ids of all that are kept, also of those that were merged.
func (s *Server) allProperties() []string {
	return reading(s, func(o *office) []string {
		return model.Each(o.properties.rows, func(p *propertyRecord) string { return p.id })
	})
}
