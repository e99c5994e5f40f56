package server

import (
	"cmp"
	"encoding/json"
	"strconv"
	"strings"
	"time"
	"unicode"
)

// The records of the office. Each is a feature of the office's register, whose fields have the
// names below and besides the name of its kind. Their kinds are not kinds of features: nothing
// here is on a map. A field that is not what it should be reads as absent, and one that is not
// known here is left as it is.

func (*propertyRecord) kind() string { return "property" }
func (*deviceRecord) kind() string   { return "device" }
func (*codeRecord) kind() string     { return "code" }
func (*linkRecord) kind() string     { return "link" }
func (*addressRecord) kind() string  { return "address" }
func (*intakeRecord) kind() string   { return "intake" }

// access is what devices and links have in common.
type access struct {
	RevokedOn  moment `json:"revokedOn,omitzero"`
	KeptShutOn moment `json:"keptShutOn,omitzero"` // when a restore left it shut, until the office confirms it
	SeenOn     moment `json:"seenOn,omitzero"`     // to the day: see sights
}

func (a *access) rights() *access { return a }

// propertyRecord is a property. One that a phone began is not accepted until AcceptedOn. The entries of one
// that was merged stay as they were written, and its features are shown as those of MergedInto.
type propertyRecord struct {
	filed
	Name       string `json:"name,omitzero"`
	BegunBy    string `json:"begunBy,omitzero"` // device
	AcceptedOn moment `json:"acceptedOn,omitzero"`
	MergedInto string `json:"mergedInto,omitzero"` // id
}

func (p *propertyRecord) names() []string { return []string{p.Name} }
func (p *propertyRecord) keys() []key {
	return []key{{byName, spelt(p.Name)}, {byBeginner, p.BegunBy}, {byTarget, p.MergedInto}}
}

// deviceRecord is a device that was enrolled.
type deviceRecord struct {
	filed
	access
	Device        string            `json:"device,omitzero"` // its id in entries
	Author        string            `json:"author,omitzero"` // who carries it
	Label         string            `json:"label,omitzero"`  // the office's word for it
	RunsOn        string            `json:"runsOn,omitzero"` // what its browser said
	TokenHash     string            `json:"tokenHash,omitzero"`
	Properties    []string          `json:"properties,omitzero"`    // ids of those that it was given
	Withheld      map[string]moment `json:"withheld,omitzero"`      // of those that were taken from it, and when
	FormerAuthors []string          `json:"formerAuthors,omitzero"` // of the former ids that it proved to have been
	FormerIDs     []string          `json:"formerIDs,omitzero"`     // those ids: what they recorded is its own
	FollowedBy    string            `json:"followedBy,omitzero"`    // the device that it became when it was enrolled again, which ended it; none where the office ended it
	ClonedOn      moment            `json:"clonedOn,omitzero"`      // when it was first refused because other entries have its numbers
}

func (d *deviceRecord) names() []string { return []string{d.Author, d.Label} }
func (d *deviceRecord) keys() []key {
	all := []key{{byToken, d.TokenHash}, {byDevice, d.Device}, {byName, spelt(d.Device)}, {byName, spelt(d.Author)}, {byName, spelt(d.Label)}, {byFollower, d.FollowedBy}}
	for _, property := range d.Properties {
		all = append(all, key{byProperty, property})
	}
	return all
}

// apart is what a phone is, and when it was last seen.
func (d *deviceRecord) apart() string {
	seen := "never seen"
	if !d.SeenOn.IsZero() {
		seen = "last seen " + DayWords(d.SeenOn.Time)
	}
	return " (" + cmp.Or(d.Label, d.RunsOn, d.Device) + ", " + seen + ")"
}

// codeRecord is a one-time code.
type codeRecord struct {
	filed
	CodeHash   string   `json:"codeHash,omitzero"`
	Author     string   `json:"author,omitzero"`
	Properties []string `json:"properties,omitzero"`
	Until      moment   `json:"until,omitzero"`
	UsedOn     moment   `json:"usedOn,omitzero"`
	UsedBy     string   `json:"usedBy,omitzero"`    // device
	UsedToken  string   `json:"usedToken,omitzero"` // hashed
	Again      string   `json:"again,omitzero"`     // the device that it enrols again, which ends then
	EndedOn    moment   `json:"endedOn,omitzero"`   // because that device was enrolled again by another code, or lost its rights
}

func (c *codeRecord) keys() []key { return []key{{bySecret, c.CodeHash}, {byDevice, c.Again}} }

// open reports whether a code can be redeemed still.
func (c *codeRecord) open(at time.Time) bool {
	return c.UsedOn.IsZero() && c.EndedOn.IsZero() && !at.After(c.Until.Time)
}

// linkRecord is a landholder's link.
type linkRecord struct {
	filed
	access
	LinkHash string `json:"linkHash,omitzero"`
	Property string `json:"property,omitzero"` // id
	For      string `json:"for,omitzero"`
	Until    moment `json:"until,omitzero"`
}

func (l *linkRecord) names() []string { return []string{l.For} }
func (l *linkRecord) keys() []key {
	return []key{{bySecret, l.LinkHash}, {byProperty, l.Property}, {byName, spelt(l.For)}}
}

// addressRecord is an address under which phones were served. A phone keeps what it records by
// scheme, host and port: under another address the same phone has nothing, and what it had not
// sent stays out of sight. So a server remembers its addresses.
type addressRecord struct {
	filed
	URL   string `json:"url,omitzero"`
	Since moment `json:"since,omitzero"`
}

func (a *addressRecord) keys() []key { return []key{{byURL, a.URL}} }

// intakeRecord is a file that was taken in. Its entries are known by their numbers and by their
// devices, which begin with intake.DevicePrefix or are copies.
type intakeRecord struct {
	filed
	Number   int           `json:"number,omitzero"`
	Property string        `json:"property,omitzero"` // id
	Name     string        `json:"name,omitzero"`     // of the property at that time
	File     string        `json:"file,omitzero"`
	Author   string        `json:"author,omitzero"`
	At       moment        `json:"at,omitzero"`
	New      int           `json:"new"`
	Edited   int           `json:"edited"`
	Ranges   []numberRange `json:"ranges,omitzero"`
	Undone   bool          `json:"undone,omitzero"`
	Kept     int           `json:"kept,omitzero"` // by its undoing

	Digest     string `json:"digest,omitzero"`     // of the file: see intakeRun; none in older records
	Unfinished bool   `json:"unfinished,omitzero"` // from before its first entry until after its last
}

func (i *intakeRecord) keys() []key { return []key{{byNumber, strconv.Itoa(i.Number)}} }

// spelt is what a name has in common with all that differ from it in case alone, as
// strings.EqualFold compares, or in what nobody sees.
func spelt(name string) string {
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Cf, r) {
			return -1
		}
		least := r
		for other := unicode.SimpleFold(r); other != r; other = unicode.SimpleFold(other) {
			least = min(least, other)
		}
		return least
	}, name)
}

// moment is a time as records keep it. What is not a time reads as none.
type moment struct{ time.Time }

// second is a time as most records keep it.
func second(at time.Time) moment { return moment{at.UTC().Truncate(time.Second)} }

func (m moment) MarshalJSON() ([]byte, error) {
	if m.IsZero() {
		return []byte(`""`), nil
	}
	return json.Marshal(m.UTC().Format(time.RFC3339Nano))
}

func (m *moment) UnmarshalJSON(raw []byte) error {
	var text string
	m.Time = time.Time{}
	if json.Unmarshal(raw, &text) == nil {
		if at, err := time.Parse(time.RFC3339, text); err == nil && 0 <= at.UTC().Year() && at.UTC().Year() <= 9999 { // which can be written again
			m.Time = at
		}
	}
	return nil
}
