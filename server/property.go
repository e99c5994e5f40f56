package server

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/google/uuid"

	"headcut/model"
	"headcut/sync/wire"
)

// Property is a holding whose land is treated.
type Property struct {
	ID    string `json:"id"`
	Name  string `json:"name"`
	Begun bool   `json:"begun,omitempty"` // by a phone with no signal, and not accepted by the office yet
	Into  string `json:"into,omitempty"`  // id of the property that it was merged into, if any
}

// A property that phones began has in its record, besides its name, begunBy, the device, and
// acceptedOn once the office has accepted it. One that was merged has mergedInto: its entries
// stay as they were written, and its features are shown as that property's. The caller of
// these holds o.mu.

func (o *office) property(id string) Property {
	record := o.records[id]
	into := text(record, "mergedInto")
	return Property{ID: id, Name: text(record, "name"), Into: into,
		Begun: into == "" && text(record, "begunBy") != "" && text(record, "acceptedOn") == ""}
}

func (o *office) isProperty(id string) bool { return text(o.records[id], "kind") == propertyRecord }

// root is the property that shows what is recorded under id: itself, unless it was merged.
func (o *office) root(id string) string {
	for range len(o.records) { // no merge leads back: see Merge
		into := text(o.records[id], "mergedInto")
		if into == "" {
			break
		}
		id = into
	}
	return id
}

// parts are the ids under which a property's features are kept: its own first, then those
// that were merged into it.
func (o *office) parts(id string) []string {
	root := o.root(id)
	ids := []string{root}
	for _, other := range o.all(propertyRecord) {
		if other != root && o.root(other) == root {
			ids = append(ids, other)
		}
	}
	return ids
}

// reach is every property that the device of a record may read and write: what it was given,
// with a merged property the one it is part of and the other way, but nothing that was taken
// from it, whatever is merged later.
func (o *office) reach(record map[string]json.RawMessage) []string {
	var ids []string
	withheld := withheldFrom(record)
	for _, id := range texts(record, "properties") {
		for _, part := range o.parts(id) {
			if _, taken := withheld[part]; !taken && !slices.Contains(ids, part) && o.isProperty(part) {
				ids = append(ids, part)
			}
		}
	}
	return ids
}

// told is what a device hears of the properties that it may read and write.
func (o *office) told(ids []string) []wire.Property {
	all := make([]wire.Property, len(ids))
	for i, id := range ids {
		all[i] = wire.Property(o.property(id))
		if all[i].Into == "" {
			continue
		}
		if all[i].Into = o.root(id); !slices.Contains(ids, all[i].Into) {
			all[i].Into = "" // that one was taken from the device
		}
	}
	return all
}

// Properties lists the properties by name, without those that were merged into another.
func (s *Server) Properties() []Property {
	s.office.mu.Lock()
	defer s.office.mu.Unlock()
	var all []Property
	for _, id := range s.office.all(propertyRecord) {
		if p := s.office.property(id); p.Into == "" {
			all = append(all, p)
		}
	}
	slices.SortFunc(all, func(a, b Property) int {
		return strings.Compare(a.Name+"\x00"+a.ID, b.Name+"\x00"+b.ID)
	})
	return all
}

// Property finds a property by its name, whatever its case; a Problem that lists the names
// there are when it has none. One that was merged is found as the one it is part of now, and
// one that waits to be accepted only when no other has the name.
func (s *Server) Property(name string) (Property, error) {
	name = strings.TrimSpace(name)
	s.office.mu.Lock()
	found := s.office.named(name)
	s.office.mu.Unlock()
	if len(found) == 1 {
		return found[0], nil
	}
	if len(found) > 1 {
		return Property{}, &model.Problem{Path: "property", Reason: fmt.Sprintf("%d properties that phones began are called %s", len(found), quote(name)),
			Fix: "accept one and merge the others into it, by their rows in 'headcut properties'"}
	}
	var names []string
	for _, p := range s.Properties() {
		names = append(names, p.Name)
	}
	fix := "make it by enrolling a device or taking a file in for it"
	if len(names) > 0 {
		fix = "the properties here are: " + strings.Join(names, ", ")
	}
	return Property{}, &model.Problem{Path: "property", Reason: "there is no property called " + quote(name), Fix: fix}
}

// named gives the properties of a name: of the accepted ones if any has it, else of those
// that were merged, else of those that wait.
func (o *office) named(name string) []Property {
	var accepted, waiting, merged []Property
	for _, id := range o.all(propertyRecord) {
		p := o.property(id)
		switch {
		case !strings.EqualFold(p.Name, name):
		case p.Into != "":
			if root := o.property(o.root(id)); !slices.Contains(merged, root) {
				merged = append(merged, root)
			}
		case p.Begun:
			waiting = append(waiting, p)
		default:
			accepted = append(accepted, p)
		}
	}
	for _, found := range [][]Property{accepted, waiting, merged} {
		if len(found) > 0 {
			return found
		}
	}
	return nil
}

// PropertyOrNew finds a property by its name or makes it; made tells which.
func (s *Server) PropertyOrNew(ctx context.Context, name string) (p Property, made bool, err error) {
	if name, err = propertyName(name); err != nil {
		return Property{}, false, err
	}
	s.office.mu.Lock()
	known := len(s.office.named(name)) > 0
	s.office.mu.Unlock()
	if known {
		p, err := s.Property(name)
		return p, false, err
	}
	s.office.mu.Lock()
	defer s.office.mu.Unlock()
	p = Property{ID: uuid.NewString(), Name: name}
	err = s.office.write(ctx, p.ID, "office", map[string]any{"kind": propertyRecord, "name": name})
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
}

// PropertyRows lists every property, also those that were merged into another.
func (s *Server) PropertyRows(ctx context.Context) ([]PropertyRow, error) {
	o := s.office
	o.mu.Lock()
	var rows []PropertyRow
	for i, id := range o.all(propertyRecord) {
		row := PropertyRow{Property: o.property(id), Row: i + 1, Since: o.made[id]}
		if device := text(o.records[id], "begunBy"); device != "" {
			row.By = text(o.records[o.find(deviceRecord, "device", device)], "author")
		}
		for _, device := range o.all(deviceRecord) {
			if text(o.records[device], "revokedOn") == "" && slices.Contains(o.reach(o.records[device]), id) {
				row.Devices = append(row.Devices, text(o.records[device], "author"))
			}
		}
		rows = append(rows, row)
	}
	o.mu.Unlock()
	for i := range rows {
		for _, other := range rows {
			if rows[i].Begun && !other.Begun && other.Into == "" && strings.EqualFold(rows[i].Name, other.Name) {
				rows[i].SameAs = other.Row
			}
		}
		n, err := s.store.Newest(ctx, rows[i].ID)
		if err != nil {
			return nil, err
		}
		rows[i].Entries = n
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	for _, part := range rows {
		if part.Into == "" {
			continue
		}
		root := o.root(part.ID)
		for i := range rows {
			if rows[i].ID == root {
				rows[i].Parts += part.Entries
			}
		}
	}
	return rows, nil
}

// pick finds a record of a kind by its row or by a name that only one has; called tells the
// names a record goes by. The caller holds o.mu.
func (o *office) pick(kind, which, what string, called func(id string) []string) (string, error) {
	which = strings.TrimSpace(which)
	ids := o.all(kind)
	var found []string
	var rows []string
	for i, id := range ids {
		if slices.ContainsFunc(called(id), func(name string) bool { return name != "" && strings.EqualFold(name, which) }) {
			found, rows = append(found, id), append(rows, strconv.Itoa(i+1))
		}
	}
	row, err := strconv.Atoi(which)
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) > 1:
		return "", &model.Problem{Path: what, Reason: fmt.Sprintf("%d rows go by %s", len(found), quote(which)), Fix: "give the row: " + strings.Join(rows, ", ")}
	case err == nil && row >= 1 && row <= len(ids):
		return ids[row-1], nil
	}
	return "", &model.Problem{Path: what, Reason: "there is no " + what + " " + quote(which), Fix: "give a name or a row of its list"}
}

func quote(s string) string { return `"` + s + `"` }

// NameAgain gives a property whose record was lost a name by which the office finds it, and tells
// whether it had one.
func (s *Server) NameAgain(ctx context.Context, id string) (p Property, had bool, err error) {
	s.office.mu.Lock()
	defer s.office.mu.Unlock()
	if s.office.isProperty(id) {
		return s.office.property(id), true, nil
	}
	name := ""
	for i := 1; name == "" || s.office.nameFree(name, id) != nil; i++ {
		name = fmt.Sprintf("Salvaged %d", i)
	}
	err = s.office.write(ctx, id, "salvage", map[string]any{"kind": propertyRecord, "name": name})
	return s.office.property(id), false, err
}
