package boltstore

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"io/fs"
	"os"
	"slices"

	"go.etcd.io/bbolt"

	"headcut/sync/register"
)

// Report is what Verify went through.
type Report struct {
	Properties, Devices, Entries, Features uint64
	Of                                     map[string]Counts // by property
}

// Counts are what one property holds.
type Counts struct{ Entries, Features uint64 }

// Verify checks the whole store against its entries: the pages of the file, the checksum
// and hash of each record, numbers without gaps, the chain, every index, and that each
// feature's state is what its entries fold to. The error is [store.ErrDamaged] and says
// what was found first. The file is read as a snapshot copy would be, while writing goes on:
// what is committed meanwhile is left for the next time.
//
// It reads the pages from front to back first, which also brings them into memory; the
// records are then reached through the tree. It keeps nothing of a feature once that has
// been compared, so that its own memory does not grow with the register. told, unless it is
// nil, hears how many entries have been read.
func (s *Store) Verify(ctx context.Context, told func(entries uint64)) (Report, error) {
	if err := s.checkFile(ctx); err != nil {
		return Report{}, err
	}
	var report Report
	err := s.view(func(tx *bbolt.Tx) error {
		v := &verifier{ctx: ctx, tx: tx, told: told, report: Report{Of: map[string]Counts{}}}
		err := v.all()
		report = v.report
		return err
	})
	return report, err
}

// eachRecord goes through a property's entries in order and checks their bytes.
func eachRecord(ctx context.Context, tx *bbolt.Tx, name string, p property, f func(n uint64, r record) error) error {
	prefix := u32(p.number)
	var n uint64
	var chain register.Hash
	c := tx.Bucket(entriesBucket).Cursor()
	for key, sealed := c.Seek(prefix); bytes.HasPrefix(key, prefix); key, sealed = c.Next() {
		n++
		if err := ctx.Err(); err != nil {
			return err
		}
		if len(key) != 12 || beU64(key[4:]) != n {
			return damaged("entry %d of %s is missing", n, name)
		}
		r, err := unsealRecord(key, sealed)
		if err != nil {
			return err
		}
		if chain = register.Chain(chain, r.hash); chain != r.chain {
			return damaged("the chain of %s is broken at %d", name, n)
		}
		if err := f(n, r); err != nil {
			return err
		}
	}
	if n != p.n || chain != p.chain {
		return damaged("%s has %d entries and is said to have %d, or ends in another chain", name, n, p.n)
	}
	return nil
}

// checkFile checks the pages. The read transaction that is open meanwhile keeps the
// committer from using the pages of this moment again.
func (s *Store) checkFile(ctx context.Context) error {
	for {
		if err := cmp.Or(ctx.Err(), s.inPlace()); err != nil {
			return err
		}
		err := s.view(func(tx *bbolt.Tx) error { return checkPages(ctx, s.path, uint64(tx.ID())) })
		if !errors.Is(err, errMovedOn) {
			return err
		}
	}
}

// inPlace stops the store when its file is gone or another stands in its place: what it
// takes from then on would be lost when it is closed, and a file there says nothing of its
// pages. A path that cannot be looked at for another reason proves nothing.
func (s *Store) inPlace() error {
	now, err := os.Stat(s.path)
	if err == nil && os.SameFile(now, s.file) || err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	err = damaged("%s was moved or replaced while it was open: stop the server and put the right file back before it is started again", s.path)
	s.stop(err)
	return err
}

type verifier struct {
	ctx    context.Context
	tx     *bbolt.Tx
	report Report

	told func(entries uint64)

	property property // the one whose entries are being read
	name     string
	devices  map[string]*seqSet // of that property, from the entries read
}

func (v *verifier) all() error {
	if _, err := readEpochs(v.tx); err != nil {
		return err
	}
	numbers := make(map[uint32]bool)
	err := eachProperty(v.tx, func(name string, p property) error {
		if numbers[p.number] {
			return damaged("two properties have the number %d", p.number)
		}
		numbers[p.number] = true
		v.report.Properties++
		return v.one(name, p)
	})
	if err != nil {
		return err
	}
	return v.counts()
}

// one verifies one property.
func (v *verifier) one(name string, p property) error {
	v.name, v.property = name, p
	v.devices = make(map[string]*seqSet)
	if err := eachRecord(v.ctx, v.tx, name, p, v.entry); err != nil {
		return err
	}
	v.report.Entries += p.n
	v.report.Of[name] = Counts{Entries: p.n}
	if err := v.compareDevices(); err != nil {
		return err
	}
	return v.compareFeatures()
}

// compareDevices compares what deviceSeqs are here with what the store says of each device.
func (v *verifier) compareDevices() error {
	for device, seqs := range v.devices {
		key := textKey(v.property.number, device)
		stored, err := unsealSeqs(key, v.tx.Bucket(devicesBucket).Get(key))
		if err != nil {
			return err
		}
		if stored.high != seqs.high || !slices.Equal(stored.runs, seqs.runs) {
			return damaged("device %s of %s is said to have all entries up to %d, and has up to %d, or others beyond gaps", device, v.name, stored.high, seqs.high)
		}
	}
	v.report.Devices += uint64(len(v.devices))
	return nil
}

// entry checks an entry's index rows.
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
	at, id := numberKey(v.property.number, n), idKey(e.ID)
	if got, err := unsealSized(id, v.tx.Bucket(idsBucket).Get(id), 12); err != nil || !bytes.Equal(got, at) {
		return damaged("the index of ids does not lead to entry %d of %s", n, v.name)
	}
	seqs := v.devices[e.Device]
	if seqs == nil {
		seqs = new(seqSet)
		v.devices[e.Device] = seqs
	}
	if seqs.has(e.DeviceSeq) {
		return damaged("two entries of %s are entry %d of device %s", v.name, e.DeviceSeq, e.Device)
	}
	seqs.add(e.DeviceSeq)
	if v.told != nil && n%pageEntries == 0 {
		v.told(v.report.Entries + n)
	}
	return nil
}

// compareFeatures gathers each feature from its list of entries, newest first, and compares
// it and its place with what is stored. A list falls and holds its own feature's entries
// alone, so that when all lists together hold as many entries as there are, each entry is in
// its own list once.
func (v *verifier) compareFeatures() error {
	prefix := u32(v.property.number)
	b := &batch{entries: v.tx.Bucket(entriesBucket)}
	c := v.tx.Bucket(featuresBucket).Cursor()
	var rows rowDigest
	var listed uint64
	for key, sealed := c.Seek(prefix); bytes.HasPrefix(key, prefix); key, sealed = c.Next() {
		if err := v.ctx.Err(); err != nil {
			return err
		}
		value, err := unseal(key, sealed)
		if err != nil {
			return err
		}
		rows.swap(nil, sealed)
		name := string(key[4:])
		if len(value) < 8 || beU64(value) == 0 {
			return damaged("feature %s of %s has no entries", name, v.name)
		}
		all, err := b.entriesOf(&feature{in: &v.property, name: name, newest: beU64(value)})
		if err != nil {
			return err
		}
		listed += uint64(len(all))
		s := register.Gather(name, all)
		if !bytes.Equal(s.Encode(), value[8:]) {
			return damaged("feature %s of %s is not what its entries fold to", name, v.name)
		}
	}
	if listed != v.property.n {
		return damaged("the lists of entries of %s hold %d of its %d entries", v.name, listed, v.property.n)
	}
	if rows != v.property.features {
		return damaged("%s has %d features and should have another number, or others", v.name, rows.count)
	}
	v.report.Features += rows.count
	v.report.Of[v.name] = Counts{v.report.Of[v.name].Entries, rows.count}
	return nil
}

// counts checks that the indexes hold nothing besides what the entries led to.
func (v *verifier) counts() error {
	for _, index := range []struct {
		bucket []byte
		want   uint64
	}{{entriesBucket, v.report.Entries}, {idsBucket, v.report.Entries},
		{devicesBucket, v.report.Devices}, {featuresBucket, v.report.Features}} {
		if n := uint64(v.tx.Bucket(index.bucket).Stats().KeyN); n != index.want {
			return damaged("the bucket %s has %d rows and should have %d", index.bucket, n, index.want)
		}
	}
	return nil
}
