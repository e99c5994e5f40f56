// Package store says what a store of registers and photos promises. Implementations live
// in its sub-packages and all pass the suite in storetest.
package store

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"iter"
	"time"

	"headcut/model"
	"headcut/sync/register"
)

// Register holds the registers of many properties.
type Register interface {
	// Append checks raw entries, gives each new one the next number of its property,
	// folds it into its feature, and makes all of it durable before it returns. Receipts stand in the order of raw. A refused entry never holds back
	// the others. An error means that nothing is promised: the caller must not
	// acknowledge, and may send the same entries again.
	//
	// may, when given, is asked of each entry as it was read from the very bytes that would be
	// stored, so that who may write what is decided on what is kept; its Problem refuses the entry.
	Append(ctx context.Context, property string, raw []json.RawMessage, may ...May) ([]Receipt, error)

	// EntriesAfter returns up to limit entries after at in the order of their numbers,
	// and the position after the last of them. It may return fewer than there are, but
	// none only at the end. The zero Position is the beginning. A *Fork, which is an
	// ErrForked, when at is not a position of this register as it now is.
	EntriesAfter(ctx context.Context, property string, at Position, limit int) ([]register.Numbered, Position, error)

	// RawAfter is EntriesAfter for passing entries on: it leaves Numbered.Entry empty,
	// because reading it costs more than all the rest.
	RawAfter(ctx context.Context, property string, at Position, limit int) ([]register.Numbered, Position, error)

	// Newest is the number of a property's last entry, 0 while it has none.
	Newest(ctx context.Context, property string) (uint64, error)

	// End is the position after a property's last entry, the beginning while it has none.
	End(ctx context.Context, property string) (Position, error)

	// Missing returns those of ids that the register lacks, in their order. With may, an entry that it
	// refuses is lacking too: an id is a claim, and somebody else may have written under it.
	Missing(ctx context.Context, property string, ids []register.ID, may ...May) ([]register.ID, error)

	// Features yields the folded features of a property by id, struck ones included. The
	// sequence may be run more than once, holds no transaction open between its elements, and
	// ends after yielding an error.
	Features(ctx context.Context, property string) iter.Seq2[register.Folded, error]

	// FeaturesOf is Features of these kinds alone, at a fraction of the cost.
	FeaturesOf(ctx context.Context, property string, kinds ...string) iter.Seq2[register.Folded, error]

	// FeaturesBut is Features without those whose id is one that without is true for, which
	// are not even read. without must not come back to the store.
	FeaturesBut(ctx context.Context, property string, without func(id string) bool) iter.Seq2[register.Folded, error]

	// FeaturesNamed yields the features of these ids in their order; those that are not
	// there are passed over. Like Features it holds no transaction open.
	FeaturesNamed(ctx context.Context, property string, ids []string) iter.Seq2[register.Folded, error]

	// EntriesOf returns all entries of a feature by number, none when it is not there.
	EntriesOf(ctx context.Context, property, feature string) ([]register.Numbered, error)

	// Epochs lists the stretches of the store's life, oldest first; the last is the
	// present one. A device whose position forked finds the last common number in it.
	Epochs(ctx context.Context) ([]Epoch, error)

	// Watch tells the newest number of a property after it has grown. It is a hint: it
	// may skip numbers, and never holds back a writer. The channel is closed once ctx has ended.
	Watch(ctx context.Context, property string) (<-chan uint64, error)

	// Snapshot writes a consistent copy of the whole store while writing goes on.
	Snapshot(ctx context.Context, w io.Writer) error

	Close() error
}

// May tells whether an entry may be appended by who brings it, nil when it may.
type May func(*register.Entry) *model.Problem

// Position is a place in one property's register: the store's epoch, the number of the
// last entry read, and the chain hash up to it. H(n) = SHA-256(H(n-1) || hash of entry n),
// with H(0) all zero.
type Position struct {
	Epoch register.ID   `json:"epoch"`
	N     uint64        `json:"n"`
	Hash  register.Hash `json:"hash"`
}

// After is the position one entry further.
func (p Position) After(entry register.Hash) Position {
	return Position{Epoch: p.Epoch, N: p.N + 1, Hash: register.Chain(p.Hash, entry)}
}

// Epoch is a stretch of a store's life: it begins when the store is made or restored.
// Up to and including number Branch of a property, the epoch before it holds the same entries.
type Epoch struct {
	ID     register.ID       `json:"id"`
	Branch map[string]uint64 `json:"branch"` // by property; absent: 0
}

// Fork tells a reader whose position is not of this register how to find back.
type Fork struct {
	// Epochs is the life of the store, the present epoch last.
	Epochs []Epoch `json:"epochs"`
	// Marks are positions of the register as it now is, highest first, ending with the
	// beginning. The first whose Hash the reader's own chain has at that N is where it
	// goes on reading; entries of its own after that it offers again. After a declared
	// restore the first mark is the branch point.
	Marks []Position `json:"marks"`
}

// Error implements error.
func (f *Fork) Error() string { return ErrForked.Error() }

// Is makes a Fork an ErrForked.
func (f *Fork) Is(target error) bool { return target == ErrForked }

// Receipt answers one entry of an Append.
type Receipt struct {
	ID      register.ID `json:"id"`
	N       uint64      `json:"n,omitempty"`       // its number; 0 when refused
	Known   bool        `json:"known,omitempty"`   // it was here already and nothing changed
	Refused string      `json:"refused,omitempty"` // why it was not taken, and what to do
	Cloned  bool        `json:"cloned,omitempty"`  // refused because another entry has its device and DeviceSeq: two devices share an id, enrol again
	HighSeq uint64      `json:"highSeq"`           // the device's highest DeviceSeq with none missing below it

	// ClockOffS is how many seconds the entry's stamp is ahead of its arrival, negative
	// when behind, told from a day upwards. An entry far behind may only have waited on
	// the device for signal.
	ClockOffS int64 `json:"clockOffS,omitempty"`
}

// Sending is one device's sending of one photo. What has come of it is that device's alone, so
// that no device can spoil or hold up what another sends.
type Sending struct {
	Device string
	SHA    register.Hash // of the whole photo
}

// PhotoCheck tells whether what a whole photo holds may be kept, nil when it may; a Problem says why not.
type PhotoCheck func(photo io.ReaderAt, size int64) *model.Problem

// Photos holds photos by the SHA-256 of their bytes, each once, and by which devices sent them whole.
type Photos interface {
	// Offset is how many bytes of a photo a device has durably sent, from its start.
	Offset(ctx context.Context, s Sending) (int64, error)
	// WriteAt adds the part that begins at off, which must be Offset; size is the whole
	// photo's. When the last byte has come the hash is checked, and ErrPhotoDamaged
	// drops all parts; so does the Problem of a check. With the photo, it is made durable that the device
	// sent it. It returns the new offset.
	WriteAt(ctx context.Context, s Sending, off, size int64, r io.Reader, checks ...PhotoCheck) (int64, error)
	// Open reads a whole photo; fs.ErrNotExist until all of it has come.
	Open(ctx context.Context, sha register.Hash) (io.ReadSeekCloser, error)
	// Sent tells which devices have sent a photo whole, and its size; none when it is not known.
	Sent(ctx context.Context, sha register.Hash) (devices []string, size int64, err error)
	// Room is how many bytes of photos a device has sent, whole ones and parts.
	Room(ctx context.Context, device string) (int64, error)
	// Sweep removes the parts to which nothing was added for so long, but none that is being
	// written. The device that sent them begins again.
	Sweep(ctx context.Context, after time.Duration) (swept int, err error)
	// Adopt asks, for each photo that came before it was kept who sent it, who is taken to have
	// sent it; it does nothing when there is none. named is called only then.
	Adopt(ctx context.Context, named func(ctx context.Context) (map[register.Hash][]string, error)) error
}

// Anybody is taken to have sent a photo that came before it was kept who did, and that nothing
// named at that time.
const Anybody = "*"

// IsBackup refuses to write into a register that is a backup; it is an ErrReadOnly.
type IsBackup struct {
	At         time.Time
	Unfinished bool // it was cut short: photos may be missing in it
}

// Error implements error.
func (b *IsBackup) Error() string { return b.Problem().Error() }

// Is makes an IsBackup an ErrReadOnly.
func (b *IsBackup) Is(target error) bool { return target == ErrReadOnly }

// Problem is the refusal with the way out.
func (b *IsBackup) Problem() *model.Problem {
	return &model.Problem{Reason: "this is a backup of " + b.At.UTC().Format("2 January 2006, 15:04 UTC") + ": it is neither served nor written to",
		Fix: "restore it into a folder of its own: headcut restore --from BACKUP --data DIR"}
}

// Errors on which callers branch.
var (
	// ErrForked: the caller's position is not of this register, as after a restore.
	ErrForked = errors.New("the register has forked from this position")
	// ErrFull: the disk is full; reads go on, and the device keeps what it has.
	ErrFull = errors.New("the server's disk is full: nothing was taken, keep it and send it again later")
	// ErrReadOnly: the store was opened only to be read.
	ErrReadOnly = errors.New("the register can only be read: it is on a medium that cannot be written, or belongs to somebody else")
	// ErrStopped: a commit failed in a way that must not be tried again before the store
	// has been verified and opened again.
	ErrStopped = errors.New("the store has stopped after a failed commit: verify it and start again")
	// ErrDamaged: bytes on the disk are not what was written.
	ErrDamaged = errors.New("the register is damaged")
	// ErrClosed: the store was closed.
	ErrClosed = errors.New("the store is closed")
	// ErrPhotoDamaged: the bytes of a photo do not give its hash.
	ErrPhotoDamaged = errors.New("the photo's bytes do not match its hash: send it again")
)
