package wire

import (
	"encoding/json"
	"reflect"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
)

// Version is the newest version of the protocol that this package speaks.
const Version = 2

// Limits that both ends keep to.
const (
	MaxEntries   = 256                // entries of one device that may be unacknowledged
	MaxBytes     = 1 << 20            // their bytes
	FrameEntries = 100                // entries a frame is best filled with
	FrameBytes   = MaxBytes + 128<<10 // the longest frame, decompressed
	MaxIDs       = 1000               // ids in one missing
	MaxPhotos    = 500                // photos in one wanted
	CompressOver = 1 << 10            // bytes of a frame above which compression pays
)

// Frame is one of the frames below.
type Frame interface{ frame() string }

// Hello opens a conversation.
type Hello struct {
	Version int    `json:"version"`
	Token   string `json:"token"`
	Device  string `json:"device"`
	ClockMS int64  `json:"clockMS"`
}

// Push sends entries to be appended.
type Push struct {
	Push     uint64            `json:"push"`
	Property string            `json:"property"`
	Entries  []json.RawMessage `json:"-"`
}

// Pull asks for the entries after a position.
type Pull struct {
	Property string         `json:"property"`
	At       store.Position `json:"at,omitzero"`
	Entries  int            `json:"entries,omitempty"`
}

// Begin asks for a property that the device has begun with no signal. Since version 2.
type Begin struct {
	Property string `json:"property"`
	Name     string `json:"name"`
}

// Missing asks which entries the register lacks.
type Missing struct {
	Property string        `json:"property"`
	IDs      []register.ID `json:"ids"`
}

// Welcome answers a hello.
type Welcome struct {
	Version    int         `json:"version"`
	Device     string      `json:"device"`
	ClockMS    int64       `json:"clockMS"`
	Properties []string    `json:"properties"`
	Epoch      register.ID `json:"epoch,omitempty"`
	Limits     Limits      `json:"limits"`
	PingMS     int64       `json:"pingMS"`
	About      []Property  `json:"about,omitempty"`
}

// Property is what a device is told of a property.
type Property struct {
	ID    string `json:"id"`
	Name  string `json:"name"`
	Begun bool   `json:"begun,omitempty"` // by a device, and not accepted by the office yet
	Into  string `json:"into,omitempty"`  // the property that it was merged into
}

// Begun answers a begin: the property as the office has it.
type Begun struct {
	Property Property `json:"property"`
}

// Limits is what a device may have unacknowledged.
type Limits struct {
	Entries int `json:"entries"`
	Bytes   int `json:"bytes"`
}

// Receipts answers a push, entry by entry.
type Receipts struct {
	Push     uint64          `json:"push"`
	Property string          `json:"property"`
	Receipts []store.Receipt `json:"receipts"`
}

// Page is a run of numbered entries: First, First+1 and so on.
type Page struct {
	Property  string            `json:"property"`
	First     uint64            `json:"first,omitempty"`
	ArrivedMS []int64           `json:"arrivedMS,omitempty"`
	At        store.Position    `json:"at"`
	Last      uint64            `json:"last,omitempty"`
	More      bool              `json:"more,omitempty"`
	Entries   []json.RawMessage `json:"-"`
}

// Forked answers a pull whose position is not of this register.
type Forked struct {
	Property string           `json:"property"`
	Epochs   []Epoch          `json:"epochs"`
	Marks    []store.Position `json:"marks"`
}

// Epoch is a stretch of the store's life, for one property.
type Epoch struct {
	ID     register.ID `json:"id"`
	Branch uint64      `json:"branch"` // up to here the epoch before holds the same entries
}

// Lacks answers a missing.
type Lacks struct {
	Property string        `json:"property"`
	IDs      []register.ID `json:"ids"`
}

// Hint tells that a property has grown. It may skip numbers.
type Hint struct {
	Property string `json:"property"`
	N        uint64 `json:"n"`
}

// Wanted asks for photos that the server does not have. A device that has them sends them again.
type Wanted struct {
	Photos []register.Hash `json:"photos"`
}

// Later asks the device to go and come back.
type Later struct {
	AfterMS  int64 `json:"afterMS"`
	WithinMS int64 `json:"withinMS"`
}

// Problem tells the device what could not be taken and what to do.
type Problem struct {
	Push     uint64        `json:"push,omitempty"`
	Property string        `json:"property,omitempty"`
	Closing  bool          `json:"closing,omitempty"`
	Problem  model.Problem `json:"problem"`
}

// Unknown is a frame of a type this package does not know. It is to be passed over.
type Unknown struct {
	Type string `json:"-"`
}

func (*Hello) frame() string     { return "hello" }
func (*Push) frame() string      { return "push" }
func (*Pull) frame() string      { return "pull" }
func (*Begin) frame() string     { return "begin" }
func (*Begun) frame() string     { return "begun" }
func (*Missing) frame() string   { return "missing" }
func (*Welcome) frame() string   { return "welcome" }
func (*Receipts) frame() string  { return "receipts" }
func (*Page) frame() string      { return "page" }
func (*Forked) frame() string    { return "forked" }
func (*Lacks) frame() string     { return "lacks" }
func (*Hint) frame() string      { return "hint" }
func (*Wanted) frame() string    { return "wanted" }
func (*Later) frame() string     { return "later" }
func (*Problem) frame() string   { return "problem" }
func (u *Unknown) frame() string { return u.Type }

// frames are the frames of known types, none of them made.
var frames = [...]Frame{(*Hello)(nil), (*Push)(nil), (*Pull)(nil), (*Begin)(nil), (*Begun)(nil), (*Missing)(nil), (*Welcome)(nil), (*Receipts)(nil),
	(*Page)(nil), (*Forked)(nil), (*Lacks)(nil), (*Hint)(nil), (*Wanted)(nil), (*Later)(nil), (*Problem)(nil)}

// blank makes an empty frame of a type, nil when the type is not known.
func blank(kind string) Frame {
	for _, f := range frames {
		if f.frame() == kind {
			return reflect.New(reflect.TypeOf(f).Elem()).Interface().(Frame)
		}
	}
	return nil
}
