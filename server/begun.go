package server

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"headcut/model"
	"headcut/sync/register"
)

// MaxBegun is how many properties one device may have begun that the office has not
// accepted or merged yet: more than an officer drives onto between two days in the office,
// and few enough that a stolen phone fills no list.
const MaxBegun = 20

// begin makes the property that a device began with no signal, and gives the device the right
// to it. Until the office accepts it, only that device and the office see it. The phone asks
// again whenever the server does not name the property, as after a restore from an older
// backup.
func (s *Server) begin(ctx context.Context, device, property, name string) error {
	if !register.ValidID(property) || property == officeProperty {
		return &model.Problem{Path: "property", Reason: "is not the id of a property", Fix: "use up to 64 small letters, digits and dashes"}
	}
	name, err := propertyName(name)
	if err != nil {
		return err
	}
	o := s.office
	o.mu.Lock()
	defer o.mu.Unlock()
	of := o.find(deviceRecord, "device", device)
	if slices.Contains(o.reach(o.records[of]), property) {
		return nil
	}
	if _, taken := withheldFrom(o.records[of])[property]; taken {
		return &model.Problem{Path: "property", Reason: "the right to this property was taken from this phone", Fix: "ask the office why; what is recorded stays on the phone"}
	}
	if record, known := o.records[property]; known {
		if text(record, "kind") != propertyRecord || text(record, "begunBy") != device {
			return &model.Problem{Path: "property", Reason: "this property was begun by another device", Fix: "ask the office to give this phone the right to it; what is recorded stays on the phone"}
		}
	} else {
		if o.waiting(device) >= MaxBegun {
			return &model.Problem{Path: "property", Reason: fmt.Sprintf("%d properties begun by this phone wait for the office", MaxBegun),
				Fix: "ask the office to accept them; what is recorded stays on the phone"}
		}
		if err := o.write(ctx, property, cmp.Or(text(o.records[of], "author"), "office"), map[string]any{"kind": propertyRecord, "name": name, "begunBy": device}); err != nil {
			return err
		}
	}
	if of == "" { // a file of a phone that was never enrolled here
		return nil
	}
	return o.give(ctx, of, []string{property})
}

func notAccepted(p Property) error {
	return &model.Problem{Path: "property", Reason: quote(p.Name) + " was begun by a phone and is not accepted yet", Fix: "accept it first: headcut properties --accept"}
}

// waiting is how many properties that a device began wait to be accepted.
func (o *office) waiting(device string) int {
	n := 0
	for _, id := range o.all(propertyRecord) {
		if text(o.records[id], "begunBy") == device && o.property(id).Begun {
			n++
		}
	}
	return n
}

// pickProperty finds a property, also one that was merged, by its name or row.
func (o *office) pickProperty(which string) (string, error) {
	if found := o.named(strings.TrimSpace(which)); len(found) == 1 && strings.EqualFold(found[0].Name, strings.TrimSpace(which)) {
		return found[0].ID, nil
	}
	return o.pick(propertyRecord, which, "property", func(id string) []string { return []string{text(o.records[id], "name"), id} })
}

// nameFree tells that no other accepted property has a name.
func (o *office) nameFree(name, but string) error {
	for i, id := range o.all(propertyRecord) {
		if p := o.property(id); id != but && p.Into == "" && !p.Begun && strings.EqualFold(p.Name, name) {
			return &model.Problem{Path: "name", Reason: fmt.Sprintf("row %d is called %s already", i+1, quote(p.Name)), Fix: "give another name with --name, or merge the two with --merge and --into"}
		}
	}
	return nil
}

// Accept makes a property that a phone began one of the office's, under its own name or
// another. One that was merged is taken out of the other again. Done twice it changes nothing.
func (s *Server) Accept(ctx context.Context, which, name string) (Property, error) {
	return s.changeProperty(ctx, which, func(o *office, id string) (map[string]any, error) {
		p := o.property(id)
		if name == "" {
			name = p.Name
		}
		var err error
		if name, err = propertyName(name); err != nil {
			return nil, err
		}
		if !p.Begun && p.Into == "" && p.Name == name {
			return nil, nil
		}
		return map[string]any{"name": name, "mergedInto": nil, "acceptedOn": s.now().UTC().Format(time.RFC3339)}, o.nameFree(name, id)
	})
}

// Rename gives a property another name. What its entries and files say is not changed.
func (s *Server) Rename(ctx context.Context, which, name string) (Property, error) {
	return s.changeProperty(ctx, which, func(o *office, id string) (map[string]any, error) {
		name, err := propertyName(name)
		if err != nil {
			return nil, err
		}
		return map[string]any{"name": name}, o.nameFree(name, id)
	})
}

// Merge puts the features of a property into another. Its entries stay where and as they
// were written, so nothing can be lost by it and Accept takes it back; what phones still send
// to it follows. Who had a right to either has it to both. Done twice it changes nothing.
func (s *Server) Merge(ctx context.Context, which, into string) (Property, error) {
	var target string
	p, err := s.changeProperty(ctx, which, func(o *office, id string) (map[string]any, error) {
		var err error
		if target, err = o.pickProperty(into); err != nil {
			return nil, err
		}
		target = o.root(target)
		switch {
		case text(o.records[id], "mergedInto") == target:
			return nil, nil
		case target == id:
			return nil, &model.Problem{Path: "into", Reason: "a property cannot be merged into itself", Fix: "give another with --into"}
		case o.property(target).Begun:
			return nil, &model.Problem{Path: "into", Reason: quote(o.property(target).Name) + " is not accepted yet", Fix: "accept it first"}
		}
		for _, link := range o.all(linkRecord) {
			if text(o.records[link], "property") == id && s.opens(o.records[link]) {
				return nil, &model.Problem{Path: "property", Reason: "a landholder's link to " + quote(o.property(id).Name) + " is open, and would show all of the other property", Fix: "withdraw it first: headcut links --revoke"}
			}
		}
		return map[string]any{"mergedInto": target}, nil
	})
	if err != nil {
		return Property{}, err
	}
	s.recheckProperty(target)
	s.office.mu.Lock()
	defer s.office.mu.Unlock()
	return s.office.property(s.office.root(p.ID)), nil
}

// changeProperty writes what change gives, if anything, and has the devices that follow the
// property learn of it at once.
func (s *Server) changeProperty(ctx context.Context, which string, change func(o *office, id string) (map[string]any, error)) (Property, error) {
	o := s.office
	o.mu.Lock()
	id, err := o.pickProperty(which)
	var fields map[string]any
	if err == nil {
		fields, err = change(o, id)
	}
	if err == nil && len(fields) > 0 {
		err = o.write(ctx, id, "office", fields)
	}
	p := o.property(id)
	o.mu.Unlock()
	if err != nil {
		return Property{}, err
	}
	s.recheckProperty(id)
	return p, nil
}

// recheckProperty has every device that may reach a property come back and learn of it.
func (s *Server) recheckProperty(id string) {
	o := s.office
	o.mu.Lock()
	var devices []string
	for _, of := range o.all(deviceRecord) {
		if slices.Contains(o.reach(o.records[of]), id) {
			devices = append(devices, text(o.records[of], "device"))
		}
	}
	o.mu.Unlock()
	for _, device := range devices {
		s.exchange.Recheck(device)
	}
}
