package server

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"unicode"

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
	o.writing.Lock()
	defer o.writing.Unlock()
	d := o.devices.one(byDevice, device)
	if o.reaches(d, property) {
		return nil
	}
	if d != nil {
		if _, taken := d.Withheld[property]; taken {
			return &model.Problem{Path: "property", Reason: "the right to this property was taken from this phone", Fix: "ask the office why; what is recorded stays on the phone"}
		}
	}
	var changes []change
	author := officeAuthor
	if p := o.properties.of(property); p != nil || o.saw[property] != nil {
		switch {
		case p != nil && d != nil && p.BegunBy == handedInBegun && o.property(property).Begun: // a file that no phone had sealed came first
			changes = append(changes, changed(p, func(p *propertyRecord) { p.BegunBy = device }))
		case p == nil || p.BegunBy != device:
			return &model.Problem{Path: "property", Reason: "this property was begun by another device", Fix: "ask the office to give this phone the right to it; what is recorded stays on the phone"}
		}
	} else {
		if o.waiting(device) >= MaxBegun {
			return &model.Problem{Path: "property", Reason: fmt.Sprintf("%d properties begun by this phone wait for the office", MaxBegun),
				Fix: "ask the office to accept them; what is recorded stays on the phone"}
		}
		if numberAlone(name) { // the office writes rows so; refused, its entries would never leave the phone
			name = "Property " + name
		}
		changes = append(changes, made(&propertyRecord{filed: filed{id: property}, Name: name, BegunBy: device}))
		if d != nil {
			author = cmp.Or(d.Author, author)
		}
	}
	if d != nil { // nil: handed in, and of no device yet
		changes = append(changes, changed(d, func(d *deviceRecord) { o.give(d, []string{property}) }))
	}
	return o.write(ctx, author, changes...)
}

// handedInBegun stands for the device of a property that a file says was begun on a phone, when that
// phone's seal does not say so too. It is no device's id, so that no device's count grows by it.
const handedInBegun = "handed in"

func notAccepted(p Property) error {
	return &model.Problem{Path: "property", Reason: quote(p.Name) + " was begun by a phone and is not accepted yet", Fix: "accept it first: headcut properties --accept"}
}

// waiting is how many properties that a device began wait to be accepted.
func (o *office) waiting(device string) int {
	n := 0
	for _, p := range o.properties.many(byBeginner, device) {
		if p.property().Begun {
			n++
		}
	}
	return n
}

// pickProperty finds a property, also one that was merged, by its name, row or id.
func (o *office) pickProperty(which string) (*propertyRecord, error) {
	which = strings.TrimSpace(which)
	if p := o.properties.at(rowNumber(which)); p != nil {
		return p, nil
	}
	if found := o.named(which); len(found) == 1 && strings.EqualFold(found[0].Name, which) {
		return o.properties.of(found[0].ID), nil
	}
	called := slices.Clone(o.properties.many(byName, spelt(which)))
	if p := o.properties.of(strings.ToLower(which)); p != nil {
		called = append(called, p)
	}
	return pick(&o.properties, which, called)
}

// rowLike refuses a name that would read as a row of a list.
func rowLike(path string) *model.Problem {
	return &model.Problem{Path: path, Reason: "is made of digits alone, which is how rows of lists are given", Fix: "add a word to it"}
}

// oneLine is a name without doubled spaces and without what breaks a line or steers a screen.
func oneLine(name string) string {
	return strings.Join(strings.FieldsFunc(strings.ToValidUTF8(name, ""), func(r rune) bool { return unicode.IsSpace(r) || unicode.IsControl(r) }), " ")
}

// notOfPeople refuses a name of a phone, or of who carries it, that would read as something else where a
// command names a phone.
func notOfPeople(path, name string) error {
	switch {
	case numberAlone(name):
		return rowLike(path)
	case spelt(name) == spelt(everybody):
		return &model.Problem{Path: path, Reason: "is the word by which commands mean every phone", Fix: "add a word to it"}
	}
	return nil
}

// nameFree is a Problem when another accepted property has the name.
func (o *office) nameFree(name, but string) error {
	for _, p := range o.properties.many(byName, spelt(name)) {
		if q := p.property(); q.ID != but && q.Into == "" && !q.Begun {
			return &model.Problem{Path: "name", Reason: fmt.Sprintf("row %d is called %s already", p.row, quote(p.Name)), Fix: "give another name with --name, or merge the two with --merge and --into"}
		}
	}
	return nil
}

// Accept makes a property that a phone began one of the office's, under its own name or
// another. One that was merged is taken out of the other again. Done twice it changes nothing.
func (s *Server) Accept(ctx context.Context, which, name string) (Property, error) {
	return s.changeProperty(ctx, which, func(o *office, record *propertyRecord) (func(*propertyRecord), error) {
		p := record.property()
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
		if name != p.Name && numberAlone(name) {
			return nil, rowLike("name")
		}
		return func(p *propertyRecord) { p.Name, p.MergedInto, p.AcceptedOn = name, "", second(s.now()) }, o.nameFree(name, p.ID)
	})
}

// Rename gives a property another name. What its entries and files say is not changed.
func (s *Server) Rename(ctx context.Context, which, name string) (Property, error) {
	return s.changeProperty(ctx, which, func(o *office, p *propertyRecord) (func(*propertyRecord), error) {
		name, err := propertyName(name)
		if err != nil {
			return nil, err
		}
		if numberAlone(name) {
			return nil, rowLike("name")
		}
		return func(p *propertyRecord) { p.Name = name }, o.nameFree(name, p.id)
	})
}

// Merge puts the features of a property into another. Its entries stay where and as they
// were written, so nothing can be lost by it and Accept takes it back; what phones still send
// to it follows. Who had a right to either has it to both. Done twice it changes nothing.
func (s *Server) Merge(ctx context.Context, which, into string) (Property, error) {
	var target string
	p, err := s.changeProperty(ctx, which, func(o *office, p *propertyRecord) (func(*propertyRecord), error) {
		other, err := o.pickProperty(into)
		if err != nil {
			return nil, err
		}
		target = o.root(other.id)
		switch {
		case p.MergedInto == target:
			return nil, nil
		case target == p.id:
			return nil, &model.Problem{Path: "into", Reason: "a property cannot be merged into itself", Fix: "give another with --into"}
		case o.property(target).Begun:
			return nil, &model.Problem{Path: "into", Reason: quote(o.property(target).Name) + " is not accepted yet", Fix: "accept it first"}
		}
		for _, link := range o.links.many(byProperty, p.id) {
			if link.state(s.now()) != linkEnded { // also one that the office may still confirm
				return nil, &model.Problem{Path: "property", Reason: "a landholder's link to " + quote(p.Name) + " is open, and would show all of the other property", Fix: "withdraw it first: headcut links --revoke"}
			}
		}
		return func(p *propertyRecord) { p.MergedInto = target }, nil
	})
	if err != nil {
		return Property{}, err
	}
	s.recheckProperty(target)
	return reading(s, func(o *office) Property { return o.property(o.root(p.ID)) }), nil
}

// changeProperty writes what change gives, if anything, and has the devices that follow the
// property learn of it at once.
func (s *Server) changeProperty(ctx context.Context, which string, change func(o *office, p *propertyRecord) (func(*propertyRecord), error)) (Property, error) {
	o := s.office
	o.writing.Lock()
	record, err := o.pickProperty(which)
	var do func(*propertyRecord)
	if err == nil {
		do, err = change(o, record)
	}
	if err == nil && do != nil {
		err = o.write(ctx, officeAuthor, changed(record, do))
	}
	var p Property
	if err == nil {
		p = record.property()
	}
	o.writing.Unlock()
	if err != nil {
		return Property{}, err
	}
	s.recheckProperty(p.ID)
	return p, nil
}

// recheckProperty has every device that may reach a property come back and learn of it.
func (s *Server) recheckProperty(id string) {
	for _, device := range reading(s, func(o *office) []string {
		return model.Each(o.reachedBy(id), func(d *deviceRecord) string { return d.Device })
	}) {
		s.recheck(device)
	}
}
