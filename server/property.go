package server

import (
	"context"
	"sort"
	"strings"

	"github.com/google/uuid"

	"headcut/model"
)

// Property is a holding whose land is treated.
type Property struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

// Properties lists the properties by name.
func (s *Server) Properties() []Property {
	s.office.mu.Lock()
	defer s.office.mu.Unlock()
	var all []Property
	for id, record := range s.office.records {
		if text(record, "kind") == propertyRecord {
			all = append(all, Property{ID: id, Name: text(record, "name")})
		}
	}
	sort.Slice(all, func(i, j int) bool {
		return all[i].Name < all[j].Name || all[i].Name == all[j].Name && all[i].ID < all[j].ID
	})
	return all
}

// Property finds a property by its name, whatever its case; a Problem that lists the
// names there are when it has none.
func (s *Server) Property(name string) (Property, error) {
	all := s.Properties()
	names := make([]string, len(all))
	for i, p := range all {
		if strings.EqualFold(p.Name, strings.TrimSpace(name)) {
			return p, nil
		}
		names[i] = p.Name
	}
	fix := "make it by enrolling a device or taking a file in for it"
	if len(names) > 0 {
		fix = "the properties here are: " + strings.Join(names, ", ")
	}
	return Property{}, &model.Problem{Path: "property", Reason: "there is no property called " + quote(name), Fix: fix}
}

// PropertyOrNew finds a property by its name or makes it; made tells which.
func (s *Server) PropertyOrNew(ctx context.Context, name string) (p Property, made bool, err error) {
	name = strings.Join(strings.Fields(name), " ")
	if name == "" || len(name) > 200 {
		return Property{}, false, &model.Problem{Path: "property", Reason: "a property needs a name of at most 200 letters", Fix: "give it with --property"}
	}
	if p, err := s.Property(name); err == nil {
		return p, false, nil
	}
	s.office.mu.Lock()
	defer s.office.mu.Unlock()
	p = Property{ID: uuid.NewString(), Name: name}
	err = s.office.write(ctx, p.ID, "office", map[string]any{"kind": propertyRecord, "name": name})
	return p, err == nil, err
}

func quote(s string) string { return `"` + s + `"` }
