package server

import (
	"cmp"
	"context"
	"fmt"
	"net/url"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"headcut/model"
	"headcut/sync/register"
)

// Who and what has access, as the office asks for it through Admin.

// Invite asks for a one-time code.
type Invite struct {
	Properties []string `json:"properties"`
	Author     string   `json:"author"`
	// Again is a device, by id, row, label or who carries it, that is to be enrolled again: for the
	// same author, and the properties it has besides those that are named here.
	Again string `json:"again,omitempty"`
	New   bool   `json:"new,omitempty"` // a property may be made whose name is like that of another
}

// Invitation answers an Invite.
type Invitation struct {
	Code       string     `json:"code"`
	Until      time.Time  `json:"until"`
	Author     string     `json:"author"`
	Properties []Property `json:"properties"`
	Made       []Property `json:"made,omitempty"`    // those of them that are new
	Again      int        `json:"again,omitempty"`   // row of the device that it enrols again, and ends
	Address    string     `json:"address,omitempty"` // to open on the phone; none while the server does not know its own
	Desk       string     `json:"desk,omitempty"`    // the same, to open on a computer
}

func (s *Server) adminInvite(ctx context.Context, req Invite) (Invitation, error) {
	var has []Property
	author, again, row, enough := "", "", 0, false
	if req.Again != "" {
		d, accepted, hasAny, err := s.toEnrolAgain(req.Again)
		if err != nil {
			return Invitation{}, err
		}
		author, again, row, has, enough = d.Author, d.Device, d.row, accepted, hasAny
	}
	author = cmp.Or(oneLine(req.Author), author)
	if n := utf8.RuneCountInString(author); n == 0 || n > register.AuthorRunes { // what the phone records carries it
		return Invitation{}, &model.Problem{Path: "author", Reason: fmt.Sprintf("has %d letters and may have 1 to %d", n, register.AuthorRunes), Fix: "name who carries the phone, by --author"}
	}
	if req.Author != "" {
		if err := notOfPeople("author", author); err != nil {
			return Invitation{}, err
		}
	}
	var all, made []Property
	if !enough || len(req.Properties) > 0 {
		var err error
		if all, made, err = s.propertiesOrNew(ctx, req.Properties, req.New); err != nil {
			return Invitation{}, err
		}
	}
	all = union(has, all)
	code, until, err := s.invite(ctx, author, again, all)
	return Invitation{code, until, author, all, made, row, s.EnrolAddress(code), s.EnrolDeskAddress(code)}, err
}

// propertiesOrNew finds properties by their names, and makes those that are not there: unless the office is
// sure, none whose name is like that of another.
func (s *Server) propertiesOrNew(ctx context.Context, names []string, sure bool) (all, made []Property, err error) {
	if !sure {
		if err := s.refuseSlips(names...); err != nil {
			return nil, nil, err
		}
	}
	if len(names) == 0 {
		return nil, nil, &model.Problem{Path: "property", Reason: "no property is named", Fix: "give one or more with --property"}
	}
	for _, name := range names {
		p, isNew, err := s.PropertyOrNew(ctx, name)
		if err != nil {
			return nil, nil, err
		}
		if isNew {
			made = append(made, p)
		}
		if !slices.Contains(all, p) {
			all = append(all, p)
		}
	}
	return all, made, nil
}

// Widening gives an enrolled device more properties.
type Widening struct {
	Device     string   `json:"device"` // id, row or who carries it
	Properties []string `json:"properties"`
	New        bool     `json:"new,omitempty"` // as of an Invite
}

// Widened answers a Widening.
type Widened struct {
	Device DeviceRow  `json:"device"`
	Made   []Property `json:"made,omitempty"`
}

func (s *Server) adminWiden(ctx context.Context, req Widening) (Widened, error) {
	s.office.mu.RLock()
	_, err := s.office.pickDevice(req.Device) // before a property is made
	s.office.mu.RUnlock()
	if err != nil {
		return Widened{}, err
	}
	all, made, err := s.propertiesOrNew(ctx, req.Properties, req.New)
	if err != nil {
		return Widened{}, err
	}
	row, err := s.Widen(ctx, req.Device, all...)
	return Widened{row, made}, err
}

// Revocation names a device or a link to take rights from.
type Revocation struct {
	Device string `json:"device,omitempty"` // id, row, label or who carries it
	// Properties, by name or row, are what the device loses; none: all it has.
	Properties []string `json:"properties,omitempty"`
	Link       string   `json:"link,omitempty"` // the secret, or the row, whom it is for or its property
}

func (s *Server) adminRevoke(ctx context.Context, req Revocation) (Revoked, error) {
	if len(req.Properties) > 0 {
		return s.Narrow(ctx, req.Device, req.Properties...)
	}
	return s.RevokeDevice(ctx, req.Device)
}

// Labelling names a device for the office.
type Labelling struct {
	Device string `json:"device"` // id, row, label or who carries it
	Label  string `json:"label"`
}

// ShareRequest asks for a landholder's link.
type ShareRequest struct {
	Property string `json:"property"`
	For      string `json:"for,omitempty"` // whom the link is for
	Days     int    `json:"days"`
}

// Shared answers a ShareRequest. The link is shown this once.
type Shared struct {
	Path    string    `json:"path"`              // below the server's address
	Address string    `json:"address,omitempty"` // of the server; none while it does not know its own
	Until   time.Time `json:"until"`
}

func (s *Server) adminShare(ctx context.Context, req ShareRequest) (Shared, error) {
	p, err := s.Property(req.Property)
	if err != nil {
		return Shared{}, err
	}
	until := s.now().AddDate(0, 0, req.Days)
	secret, err := s.Share(ctx, p, req.For, until)
	address := ""
	if known := s.addresses(); len(known) > 0 {
		address = known[0]
	}
	return Shared{"/map/" + secret, address, until}, err
}

func (s *Server) adminDevices(ctx context.Context, _ url.Values) ([]DeviceRow, error) {
	rows, err := s.DevicesAndPhotos(ctx)
	return s.withRoom(ctx, rows), err
}

func (s *Server) adminProperties(ctx context.Context, _ url.Values) ([]PropertyRow, error) {
	rows, err := s.PropertyRows(ctx)
	if err != nil {
		return nil, err
	}
	return rows, s.notePhotosNotHere(ctx, rows)
}

// PropertyChange accepts, renames or merges a property, which is its name or row.
type PropertyChange struct {
	Do    string `json:"do"` // "accept", "rename" or "merge"
	Which string `json:"which"`
	Name  string `json:"name,omitempty"`  // of accept and rename
	Into  string `json:"into,omitempty"`  // of merge: name or row
	LetIn bool   `json:"letIn,omitempty"` // of merge: phones of the part may read and write the whole
}

// PropertyChanged answers a PropertyChange.
type PropertyChanged struct {
	Property
	AlsoCalled []int `json:"alsoCalled,omitempty"` // rows of others that go by a number which was written for a row
	// TakenFrom are the phones from which the right to a property that was accepted is taken, maybe
	// with the one that it was part of.
	TakenFrom []string `json:"takenFrom,omitempty"`
}

// mayLetIn refuses a merge by which phones would get all of a property that the office gave them
// only a part of, or that they began, unless the office says so.
func (s *Server) mayLetIn(req PropertyChange) error {
	o := s.office
	o.mu.RLock()
	defer o.mu.RUnlock()
	part, unknown := o.pickProperty(req.Which)
	whole, none := o.pickProperty(req.Into)
	if req.LetIn || unknown != nil || none != nil {
		return nil // the merge itself says what is wrong
	}
	root := o.root(whole.id)
	var gain []string
	for _, d := range o.reachedBy(part.id) {
		if d.RevokedOn.IsZero() && !o.reaches(d, root) {
			gain = append(gain, fmt.Sprintf("%s (row %d)", d.Author, d.row))
		}
	}
	if len(gain) == 0 {
		return nil
	}
	return &model.Problem{Path: "into", Reason: "these phones would then read and write all of " + quote(o.property(root).Name) + ": " + strings.Join(gain, ", "),
		Fix: "if they are to, say so with --let-in; if not, take their right to " + quote(part.Name) + " first: headcut devices --revoke ROW --property " + quote(part.Name)}
}

func (s *Server) adminProperty(ctx context.Context, req PropertyChange) (PropertyChanged, error) {
	s.office.mu.RLock()
	changed := PropertyChanged{AlsoCalled: append(alsoCalled(&s.office.properties, req.Which), alsoCalled(&s.office.properties, req.Into)...)}
	s.office.mu.RUnlock()
	var err error
	switch req.Do {
	case "accept":
		changed.Property, err = s.Accept(ctx, req.Which, req.Name)
		changed.TakenFrom = reading(s, func(o *office) []string { return o.takenFrom(changed.Property.ID) })
	case "rename":
		changed.Property, err = s.Rename(ctx, req.Which, req.Name)
	case "merge":
		if err = s.mayLetIn(req); err == nil {
			changed.Property, err = s.Merge(ctx, req.Which, req.Into)
		}
	default:
		err = &model.Problem{Path: "do", Reason: quote(req.Do) + " cannot be done to a property"}
	}
	return changed, err
}
