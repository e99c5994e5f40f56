package boltstore

import (
	"fmt"
	"time"

	"go.etcd.io/bbolt"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
)

// batch is the entries of one transaction. Rows that many entries touch are held here and
// written once, by flush.
type batch struct {
	entries, ids, props, devices, features *bbolt.Bucket
	idAt, featureAt                        *bbolt.Cursor // to look up with: a bucket's Get makes one each time

	key, row []byte // memory to make keys and rows in; what is put is a copy

	now       time.Time
	work      int // done so far, counted in common entries
	rewritten int // bytes of features that were read to be written again
	gathered  int // features gathered again
	property  map[string]*property
	device    map[string]*seqSet // by key
	feature   map[string]*feature
}

type property struct {
	number   uint32
	n        uint64
	chain    register.Hash
	features rowDigest
}

// rowDigest tells whether rows have gone missing: how many there are, and the exclusive or of
// their checksums.
type rowDigest struct {
	count uint64
	sum   uint32
}

// swap takes a row's former sealed value out, nil when it is new, and puts the present one in.
func (t *rowDigest) swap(former, present []byte) {
	if former == nil {
		t.count++
	} else {
		t.sum ^= beU32(former)
	}
	t.sum ^= beU32(present)
}

func newBatch(tx *bbolt.Tx, now time.Time) *batch {
	b := &batch{
		entries: tx.Bucket(entriesBucket), ids: tx.Bucket(idsBucket),
		props: tx.Bucket(propsBucket), devices: tx.Bucket(devicesBucket),
		features: tx.Bucket(featuresBucket),
		key:      make([]byte, 0, 4+register.IDBytes), row: make([]byte, 0, 4<<10),
		now: now.Truncate(time.Millisecond), property: map[string]*property{}, device: map[string]*seqSet{}, feature: map[string]*feature{},
	}
	// The keys of entries rise. Those of ids rise in runs, one a device, and a run goes on
	// in the page that a split began; so do those of new features, whose rows grow. The
	// others come in no order.
	b.idAt, b.featureAt = b.ids.Cursor(), b.features.Cursor()
	b.entries.FillPercent, b.ids.FillPercent, b.features.FillPercent = 0.95, 0.85, 0.75
	return b
}

// add checks one entry against the register, and puts it in unless it is known or refused.
func (b *batch) add(j *job, it *item) (store.Receipt, error) {
	e := &it.entry
	receipt := store.Receipt{ID: e.ID, Refused: it.refused}
	if it.refused != "" {
		return receipt, nil
	}
	p, err := b.openProperty(j.property)
	if err != nil {
		return receipt, err
	}
	d, err := b.openDevice(p, e.Device)
	if err != nil {
		return receipt, err
	}
	id := idKey(e.ID)
	if err := b.known(id, d, e, it.hash, &receipt); err != nil {
		return receipt, err
	}
	if !receipt.Known && receipt.Refused == "" {
		if err := b.put(j, p, d, it, id, &receipt); err != nil {
			return receipt, err
		}
	}
	receipt.HighSeq = d.high
	return receipt, nil
}

// known settles what has been here before: the same entry, or another under its id or
// its number on the device.
func (b *batch) known(id []byte, d *seqSet, e *register.Entry, hash register.Hash, receipt *store.Receipt) error {
	if sealed := found(b.idAt, id); sealed != nil {
		at, err := unsealSized(id, sealed, 12)
		if err != nil {
			return err
		}
		r, err := unsealRecord(at, b.entries.Get(at))
		if err != nil {
			return err
		}
		if r.hash != hash {
			receipt.Refused = (&model.Problem{Path: "id", Reason: "another entry of this id is here, with other content",
				Fix: "it stays on the phone: save it to a file and give that to the office"}).Words()
			return nil
		}
		receipt.N, receipt.Known = beU64(at[4:]), true
		receipt.ClockOffS = clockOffS(e.Stamp, r.arrived)
		return nil
	}
	if !d.has(e.DeviceSeq) {
		return nil
	}
	// Two devices go by one name, unless lookForHidden finds this very entry.
	receipt.Cloned = true
	receipt.Refused = (&model.Problem{Path: "deviceSeq",
		Reason: fmt.Sprintf("entry %d of device %s is already here under another id: two devices go by this name", e.DeviceSeq, e.Device),
		Fix:    "enrol again, and send the entries that were not sent yet under the new device id"}).Words()
	return nil
}

// put gives the entry its number and writes it and its index rows.
func (b *batch) put(j *job, p *property, d *seqSet, it *item, id []byte, receipt *store.Receipt) error {
	e := &it.entry
	f, err := b.openFeature(p, e, len(it.raw))
	if err == errTooLarge {
		receipt.Refused = inWords(err)
		return nil
	}
	if err != nil {
		return err
	}
	if err := register.Check(*e, f.state.Kind()); err != nil {
		receipt.Refused = inWords(err)
		return nil
	}
	if d.full(e.DeviceSeq) {
		receipt.Refused = (&model.Problem{Path: "deviceSeq", Reason: fmt.Sprintf("device %s has left out %d runs of entries", e.Device, runLimit),
			Fix: "send the earliest of them first"}).Words()
		return nil
	}
	r := record{capped: register.Capped(e.Stamp, b.now), arrived: b.now, prev: f.newest, hash: it.hash, chain: register.Chain(p.chain, it.hash)}
	folded, err := b.fold(f, register.Numbered{N: p.n + 1, Capped: r.capped, Arrived: register.ArrivedAt(b.now), Hash: it.hash, Entry: *e, Raw: it.raw}, j.past)
	if err != nil {
		return err
	}
	if !folded {
		receipt.Refused = errTooLong.Words()
		return nil
	}
	p.n++
	p.chain = r.chain
	at := appendNumberKey(b.key[:0], p.number, p.n)
	if err := b.entries.Put(at, r.seal(at, it.room)); err != nil {
		return err
	}
	if err := b.ids.Put(id, seal(id, at)); err != nil {
		return err
	}
	d.add(e.DeviceSeq)
	receipt.N, receipt.ClockOffS = p.n, clockOffS(e.Stamp, b.now)
	return nil
}

func clockOffS(s register.Stamp, arrived time.Time) int64 {
	return int64(register.ClockOff(s, arrived) / time.Second)
}

func (b *batch) openProperty(name string) (*property, error) {
	if p, ok := b.property[name]; ok {
		return p, nil
	}
	p := new(property)
	if sealed := b.props.Get([]byte(name)); sealed != nil {
		found, err := unsealProperty([]byte(name), sealed)
		if err != nil {
			return nil, err
		}
		*p = found
	} else {
		number, err := b.props.NextSequence()
		if err != nil {
			return nil, err
		}
		p.number = uint32(number)
	}
	b.property[name] = p
	return p, nil
}

func unsealProperty(key, sealed []byte) (property, error) {
	v, err := unsealSized(key, sealed, 56)
	if err != nil {
		return property{}, err
	}
	p := property{number: beU32(v), n: beU64(v[4:]), features: rowDigest{beU64(v[44:]), beU32(v[52:])}}
	copy(p.chain[:], v[12:44])
	return p, nil
}

// eachProperty calls f for each property that has entries.
func eachProperty(tx *bbolt.Tx, f func(name string, p property) error) error {
	return tx.Bucket(propsBucket).ForEach(func(name, sealed []byte) error {
		p, err := unsealProperty(name, sealed)
		if err != nil {
			return err
		}
		return f(string(name), p)
	})
}

func (b *batch) openDevice(p *property, name string) (*seqSet, error) {
	b.key = appendTextKey(b.key[:0], p.number, name)
	if d, ok := b.device[string(b.key)]; ok {
		return d, nil
	}
	d := new(seqSet)
	if sealed := b.devices.Get(b.key); sealed != nil {
		var err error
		if d, err = unsealSeqs(b.key, sealed); err != nil {
			return nil, err
		}
	}
	b.device[string(b.key)] = d
	return d, nil
}

// flush writes the rows held back, properties last: they count the features. Rows of properties,
// devices and features that got no entry are left out.
func (b *batch) flush() error {
	for key, d := range b.device {
		if d.high == 0 && len(d.runs) == 0 {
			continue
		}
		if err := b.devices.Put([]byte(key), seal([]byte(key), d.append(nil))); err != nil {
			return err
		}
	}
	for _, f := range b.feature {
		if err := b.flushFeature(f); err != nil {
			return err
		}
	}
	for name, p := range b.property {
		if p.n == 0 {
			continue
		}
		key := []byte(name)
		if err := b.props.Put(key, seal(key, u32(p.number), u64(p.n), p.chain[:], u64(p.features.count), u32(p.features.sum))); err != nil {
			return err
		}
	}
	return nil
}
