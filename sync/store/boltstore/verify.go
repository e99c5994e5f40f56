package boltstore

import (
	"bytes"
	"context"
	"errors"

	"go.etcd.io/bbolt"

	"headcut/sync/register"
)

// Report is what Verify went through.
type Report struct {
	Properties, Devices, Entries, Features, Places uint64
}

// Verify checks the whole store against its entries: the pages of the file, the checksum
// and hash of each record, numbers without gaps, the chain, every index, and that each
// feature's state is what its entries fold to. The error is [store.ErrDamaged] and says
// what was found first. The file is read as a snapshot copy would be, while writing goes on:
// what is committed meanwhile is left for the next time.
//
// It reads the pages from front to back first, which also brings them into memory; the
// records are then reached through the tree.
func (s *Store) Verify(ctx context.Context) (Report, error) {
	if err := s.checkFile(ctx); err != nil {
		return Report{}, err
	}
	var report Report
	err := s.view(func(tx *bbolt.Tx) error {
		v := &verifier{ctx: ctx, tx: tx, features: make(map[string]*register.State), newest: make(map[string]uint64)}
		err := v.all()
		report = v.report
		return err
	})
	return report, err
}

// checkFile checks the pages. The read transaction that is open meanwhile keeps the
// committer from using the pages of this moment again.
func (s *Store) checkFile(ctx context.Context) error {
	for {
		err := s.view(func(tx *bbolt.Tx) error { return checkPages(ctx, s.path, uint64(tx.ID())) })
		if !errors.Is(err, errMovedOn) {
			return err
		}
	}
}

type verifier struct {
	ctx    context.Context
	tx     *bbolt.Tx
	report Report

	property property // the one whose entries are being read
	name     string
	features map[string]*register.State // of that property, folded so far; nil: to be gathered
	newest   map[string]uint64          // number of the newest entry of each
	seqs     map[string]*seqRun         // by device
}

// seqRun counts what deviceSeqs of a device are there.
type seqRun struct {
	number uint32
	high   uint64 // as the store has it
	within uint64 // how many are at most high
	next   bool   // high+1 is there
}

func (v *verifier) all() error {
	if _, err := readEpochs(v.tx); err != nil {
		return err
	}
	numbers := make(map[uint32]bool)
	err := v.tx.Bucket(propsBucket).ForEach(func(name, sealed []byte) error {
		p, err := unsealProperty(name, sealed)
		if err != nil {
			return err
		}
		if numbers[p.number] {
			return damaged("two properties have the number %d", p.number)
		}
		numbers[p.number] = true
		v.report.Properties++
		return v.one(string(name), p)
	})
	if err != nil {
		return err
	}
	return v.counts()
}

// one verifies one property.
func (v *verifier) one(name string, p property) error {
	v.name, v.property = name, p
	clear(v.features)
	clear(v.newest)
	if err := v.readDevices(); err != nil {
		return err
	}
	if err := v.readEntries(); err != nil {
		return err
	}
	for device, run := range v.seqs {
		if run.within != run.high || run.next {
			return damaged("device %s of %s is said to have all up to %d, which it has not, or it has more", device, name, run.high)
		}
	}
	return v.compareFeatures()
}

func (v *verifier) readDevices() error {
	v.seqs = make(map[string]*seqRun)
	prefix := u32(v.property.number)
	c := v.tx.Bucket(devicesBucket).Cursor()
	for key, sealed := c.Seek(prefix); bytes.HasPrefix(key, prefix); key, sealed = c.Next() {
		d, err := unsealDevice(key, sealed)
		if err != nil {
			return err
		}
		v.report.Devices++
		v.seqs[string(key[4:])] = &seqRun{number: d.number, high: d.high}
	}
	return nil
}

// readEntries goes through the entries in order, which also folds them.
func (v *verifier) readEntries() error {
	prefix := u32(v.property.number)
	var n uint64
	var chain register.Hash
	c := v.tx.Bucket(entriesBucket).Cursor()
	for key, sealed := c.Seek(prefix); bytes.HasPrefix(key, prefix); key, sealed = c.Next() {
		n++
		if n%pageEntries == 0 && v.ctx.Err() != nil {
			return v.ctx.Err()
		}
		if len(key) != 12 || beU64(key[4:]) != n {
			return damaged("entry %d of %s is missing", n, v.name)
		}
		r, err := unsealRecord(key, sealed)
		if err != nil {
			return err
		}
		if chain = register.Chain(chain, r.hash); chain != r.chain {
			return damaged("the chain of %s is broken at %d", v.name, n)
		}
		if err := v.entry(n, r); err != nil {
			return err
		}
	}
	if n != v.property.n || chain != v.property.chain {
		return damaged("%s has %d entries and is said to have %d, or ends in another chain", v.name, n, v.property.n)
	}
	v.report.Entries += n
	return nil
}

// entry checks an entry's index rows and folds it.
func (v *verifier) entry(n uint64, r record) error {
	numbered, err := r.numbered(n)
	if err != nil {
		return err
	}
	e := &numbered.Entry
	if e.Property != v.name {
		return damaged("entry %d of %s is of %s", n, v.name, e.Property)
	}
	if r.capped != register.Capped(e.Stamp, r.arrived) {
		return damaged("entry %d of %s does not count from its stamp", n, v.name)
	}
	if r.prev != v.newest[e.Feature] {
		return damaged("the list of entries of feature %s is broken at %d", e.Feature, n)
	}
	at, id := numberKey(v.property.number, n), idKey(e.ID)
	if got, err := unsealSized(id, v.tx.Bucket(idsBucket).Get(id), 12); err != nil || !bytes.Equal(got, at) {
		return damaged("the index of ids does not lead to entry %d of %s", n, v.name)
	}
	run := v.seqs[e.Device]
	if run == nil {
		return damaged("device %s of %s is missing", e.Device, v.name)
	}
	seq := seqKey(v.property.number, run.number, e.DeviceSeq)
	if got, err := unsealSized(seq, v.tx.Bucket(seqsBucket).Get(seq), 8); err != nil || beU64(got) != n {
		return damaged("the index of devices does not lead to entry %d of %s", n, v.name)
	}
	run.add(e.DeviceSeq)
	v.fold(numbered)
	return nil
}

func (r *seqRun) add(seq uint64) {
	if seq <= r.high {
		r.within++
	}
	r.next = r.next || seq == r.high+1
}

// fold folds the entry as the store would; a feature with an overtaken entry is gathered
// when it is compared.
func (v *verifier) fold(n register.Numbered) {
	name := n.Entry.Feature
	v.newest[name] = n.N
	s, known := v.features[name]
	if !known {
		s = register.NewState(name)
	}
	if s != nil {
		if !s.Apply(n) {
			s = nil
		}
	}
	v.features[name] = s
}

// compareFeatures compares the folded features, and their places, with what is stored.
func (v *verifier) compareFeatures() error {
	prefix := u32(v.property.number)
	b := &batch{entries: v.tx.Bucket(entriesBucket)}
	c := v.tx.Bucket(featuresBucket).Cursor()
	var rows tally
	for key, sealed := c.Seek(prefix); bytes.HasPrefix(key, prefix); key, sealed = c.Next() {
		value, err := unseal(key, sealed)
		if err != nil {
			return err
		}
		rows.swap(nil, sealed)
		name := string(key[4:])
		s, known := v.features[name]
		if !known || len(value) < 8 || beU64(value) != v.newest[name] {
			return damaged("feature %s of %s has no entries, or its list of them begins elsewhere", name, v.name)
		}
		if s == nil {
			all, err := b.entriesOf(&feature{in: &v.property, name: name, newest: v.newest[name]})
			if err != nil {
				return err
			}
			s = register.Gather(name, all)
		}
		if !bytes.Equal(s.Encode(), value[8:]) {
			return damaged("feature %s of %s is not what its entries fold to", name, v.name)
		}
		if bound, ok := boundOf(s.Value("geometry")); ok {
			v.report.Places++
			if v.tx.Bucket(cellsBucket).Get(cellKey(v.property.number, bound, name)) == nil {
				return damaged("the index of places lacks feature %s of %s", name, v.name)
			}
		}
	}
	if rows.count != uint64(len(v.features)) || rows != v.property.features {
		return damaged("%s has %d features and should have %d, or others", v.name, rows.count, len(v.features))
	}
	v.report.Features += rows.count
	return nil
}

// counts checks that the indexes hold nothing besides what the entries led to.
func (v *verifier) counts() error {
	for _, index := range []struct {
		bucket []byte
		want   uint64
	}{{entriesBucket, v.report.Entries}, {idsBucket, v.report.Entries}, {seqsBucket, v.report.Entries},
		{devicesBucket, v.report.Devices}, {featuresBucket, v.report.Features}, {cellsBucket, v.report.Places}} {
		var n uint64
		c := v.tx.Bucket(index.bucket).Cursor()
		for key, _ := c.First(); key != nil; key, _ = c.Next() {
			n++
		}
		if n != index.want {
			return damaged("the bucket %s has %d rows and should have %d", index.bucket, n, index.want)
		}
	}
	return nil
}
