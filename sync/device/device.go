package device

import (
	"crypto/rand"
	"encoding/json"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"os"
	"path/filepath"
	"sync"
	"time"

	"github.com/gorilla/websocket"
	"go.etcd.io/bbolt"

	"headcut/sync/wire"
)

// Options steer a device; the zero value is what a device in the field uses.
type Options struct {
	Now    func() time.Time // the device's wall clock; nil: time.Now
	Random io.Reader        // for ids; nil: crypto/rand
	// Patience is how long the device waits for a connection, for the welcome and for the
	// network to take a frame; 0: ten seconds. How long silence may last, the server says.
	Patience time.Duration
	Logger   *slog.Logger // nil: slog.Default
	HTTP     *http.Client // for enrolment and photos; nil: one with deadlines
	Dialer   *websocket.Dialer
}

// Property is a holding this device may record on.
type Property struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

// self is who the device is.
type self struct {
	ID         string     `json:"id"` // made at install, never from hardware
	Server     string     `json:"server,omitempty"`
	Token      string     `json:"token,omitempty"`
	Author     string     `json:"author,omitempty"`
	Properties []Property `json:"properties,omitempty"`
	Cloned     bool       `json:"cloned,omitempty"` // another device writes under this id
}

// Device is one field device and its store.
type Device struct {
	o   Options
	dir string
	db  *bbolt.DB

	mu   sync.Mutex // held by captures and while applying; guards self
	self self

	talking sync.Mutex // one conversation at a time
	load    int        // entries a frame, fewer on a line that keeps breaking; guarded by talking
}

// Errors on which callers branch.
var (
	// ErrNotEnrolled: the device has no server yet.
	ErrNotEnrolled = errors.New("the device is not enrolled: enrol it with a code from the office")
	// ErrEnrolAnew: another device writes under this device's id, as after a phone was
	// copied from a backup. Enrol gives it an id of its own and keeps all that is unsent.
	ErrEnrolAnew = errors.New("another device has this device's id: enrol again, nothing on this device is lost")
)

// Open opens the device kept in dir, or installs a new one there. Only one process can
// have it open.
func Open(dir string, o Options) (*Device, error) {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Random == nil {
		o.Random = rand.Reader
	}
	if o.Patience == 0 {
		o.Patience = 10 * time.Second
	}
	if o.Logger == nil {
		o.Logger = slog.Default()
	}
	if o.HTTP == nil {
		o.HTTP = &http.Client{Timeout: time.Minute, Transport: http.DefaultTransport.(*http.Transport).Clone()}
	}
	if o.Dialer == nil {
		o.Dialer = &websocket.Dialer{HandshakeTimeout: o.Patience, Proxy: http.ProxyFromEnvironment}
	}
	dialer := *o.Dialer
	dialer.EnableCompression = true
	o.Dialer = &dialer
	if err := os.MkdirAll(filepath.Join(dir, "photos"), 0o700); err != nil {
		return nil, err
	}
	db, err := bbolt.Open(filepath.Join(dir, "device.db"), 0o600, &bbolt.Options{Timeout: 2 * time.Second, FreelistType: bbolt.FreelistMapType})
	if err != nil {
		return nil, err
	}
	d := &Device{o: o, dir: dir, db: db, load: wire.FrameEntries}
	if err := db.Update(d.install); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	return d, nil
}

// install reads who the device is, or makes it a new one.
func (d *Device) install(tx *bbolt.Tx) error {
	if raw := tx.Bucket(deviceBucket); raw != nil {
		return json.Unmarshal(raw.Get(selfKey), &d.self)
	}
	for _, name := range [][]byte{deviceBucket, photosBucket} {
		if _, err := tx.CreateBucket(name); err != nil {
			return err
		}
	}
	id, err := d.newID()
	if err != nil {
		return err
	}
	d.self.ID = string(id)
	return d.keepSelf(tx, d.self)
}

func (d *Device) keepSelf(tx *bbolt.Tx, s self) error {
	raw, err := json.Marshal(s)
	if err != nil {
		return err
	}
	return tx.Bucket(deviceBucket).Put(selfKey, raw)
}

// Close closes the device's store.
func (d *Device) Close() error { return d.db.Close() }

// ID is the device's id.
func (d *Device) ID() string { return d.who().ID }

// Properties lists where the device may record.
func (d *Device) Properties() []Property { return d.who().Properties }

func (d *Device) who() self {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.self
}
