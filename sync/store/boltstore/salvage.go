package boltstore

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"iter"
	"os"
	"slices"
	"sync/atomic"
	"time"

	"headcut/sync/register"
)

// Salvaged is what was taken out of a damaged register.
type Salvaged struct {
	Entries    uint64
	Properties []SalvagedProperty // by id; others may be lost whole unless Damage is nil
	Damage     error              // why the file is not the whole register that it was, nil when it is
}

// SalvagedProperty is what is left of one property.
type SalvagedProperty struct {
	ID      string
	Entries uint64
	Last    uint64      // the highest number that is known; unless Damage is nil there may have been more
	Lost    []NumberRun // of entries that are nowhere in the file; those after the last one that is known are not among them
	Refused []string    // why entries that can be read cannot be taken
}

// NumberRun are the numbers of entries from First to Last.
type NumberRun struct{ First, Last uint64 }

// Sound tells whether nothing was lost. Of a damaged file that cannot be told, even when
// everything in it could be read.
func (s Salvaged) Sound() bool {
	return s.Damage == nil && !slices.ContainsFunc(s.Properties, func(p SalvagedProperty) bool { return len(p.Lost)+len(p.Refused) > 0 })
}

// Salvage makes a new store file at to of all entries that can be found in a damaged one, whose
// tree may lead nowhere any more. It follows no tree: it reads every page, those too that are
// free, and takes each record that gives its checksum and its entry's SHA-256. So an entry whose
// page is broken is often found where an earlier commit left it. The damaged file is not changed.
//
// The entries keep their bytes and times and get new numbers, in a register of a new epoch:
// devices see that it is another one, and offer again all that it lacks. Where each entry lies is
// noted in a file beside the new one, 50 bytes or so each time that it is found, so that the
// memory taken hardly grows with the register.
func Salvage(ctx context.Context, damagedPath, to string) (out Salvaged, err error) {
	f, err := openRegular(damagedPath)
	if err != nil {
		return out, err
	}
	defer f.Close()
	damage := damageOf(ctx, damagedPath)
	if err := ctx.Err(); err != nil {
		return out, err
	}
	err = putInPlace(to, func(aside *os.File) (err error) {
		notes, err := openNotes(aside.Name() + ".found")
		if err != nil {
			return err
		}
		defer func() { err = errors.Join(err, notes.close()) }()
		if err := notes.findRecords(ctx, f); err != nil {
			return err
		}
		empty := aside.Name() + ".empty"
		defer os.Remove(empty)
		if err := create(empty); err != nil {
			return err
		}
		if err := os.Rename(empty, aside.Name()); err != nil {
			return err
		}
		if out, err = notes.appendTo(ctx, f, aside.Name()); err != nil {
			return err
		}
		return flushed(aside.Name())
	})
	out.Damage = damage
	return out, err
}

// damageOf tells why a file is not a whole register, nil when it is.
func damageOf(ctx context.Context, path string) error {
	if info, err := os.Stat(path); err == nil && info.Mode().IsRegular() && info.Size() == 0 {
		return damaged("%s is empty", path)
	}
	return verifyFile(ctx, path, Options{ReadOnly: true})
}

// flushed brings a file that was written without flushing to the disk.
func flushed(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// What salvage holds at once.
const (
	mostLeaf     = 16 << 20 // bytes of a leaf: entries are shorter, and a broken page may claim any length
	mostRefused  = 100      // entries of a property that are told one by one
	appendAtOnce = 500      // entries,
	appendBytes  = 1 << 20  // about
)

// findRecords reads a file page by page, and notes where records lie.
func (r *foundNotes) findRecords(ctx context.Context, f *os.File) error {
	info, err := f.Stat()
	if err != nil {
		return err
	}
	size := int64(os.Getpagesize()) // which bbolt takes
	if meta, err := readMeta(f); err == nil {
		size = int64(meta.pageSize)
	}
	head := make([]byte, size)
	for at := int64(0); at < info.Size(); at += size {
		if err := ctx.Err(); err != nil {
			return err
		}
		n, err := f.ReadAt(head, at)
		if err != nil && err != io.EOF { // the disk cannot read it: the pages behind it are read
			continue
		}
		page := head[:n]
		if n < pageHeader || order.Uint16(page[8:]) != leafPage {
			continue
		}
		if more := int64(order.Uint32(page[12:])); more > 0 && more <= (info.Size()-at)/size && (more+1)*size <= mostLeaf {
			whole := make([]byte, (more+1)*size)
			if n, err := f.ReadAt(whole, at); err == nil || err == io.EOF {
				page = whole[:n]
			}
		}
		r.leaf(page, at)
		if err := r.note(false); err != nil {
			return err
		}
	}
	return r.note(true)
}

// leaf looks at each element of a leaf page by itself: one that is broken says nothing of others.
func (r *foundNotes) leaf(page []byte, at int64) {
	count := int(order.Uint16(page[10:]))
	for i := range count {
		from := pageHeader + i*elementSize
		if from+elementSize > len(page) {
			return
		}
		e := page[from:]
		pos, keySize, valueSize := uint64(order.Uint32(e[4:])), uint64(order.Uint32(e[8:])), uint64(order.Uint32(e[12:]))
		if pos+keySize+valueSize > uint64(len(e)) {
			continue
		}
		key, value := e[pos:pos+keySize], e[pos+keySize:pos+keySize+valueSize]
		if order.Uint32(e) == bucketLeaf {
			if len(value) >= bucketHeader+pageHeader && order.Uint64(value) == 0 { // a small bucket lies within
				r.leaf(value[bucketHeader:], at+int64(from)+int64(pos+keySize)+bucketHeader)
			}
			continue
		}
		if p, err := unsealProperty(key, value); err == nil && !isMark(key, value) {
			r.rows[p.number] = propertyRow{string(key), max(r.rows[p.number].newest, p.n)}
		}
		if _, err := unsealRecord(key, value); err == nil && keySize == recordKey {
			r.pending = append(r.pending, foundRecord{property: beU32(key), n: beU64(key[4:]), at: at + int64(from) + int64(pos), size: uint32(valueSize)})
		}
	}
}

// appendTo puts what was found into an empty store, in the order of its numbers, each entry as if
// it arrived when it did.
func (r *foundNotes) appendTo(ctx context.Context, f *os.File, path string) (out Salvaged, err error) {
	var now atomic.Int64
	s, err := open(path, Options{Now: func() time.Time { return time.UnixMilli(now.Load()).UTC() }, NoFlush: true})
	if err != nil {
		return out, err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	for number, records := range r.properties() {
		p, err := r.property(ctx, f, s, &now, records, r.rows[number].newest)
		if err != nil {
			return out, err
		}
		out.Properties, out.Entries = append(out.Properties, p), out.Entries+p.Entries
		delete(r.rows, number)
	}
	if r.err != nil {
		return out, r.err
	}
	for _, row := range r.rows { // properties of which nothing is left
		if row.newest > 0 {
			out.Properties = append(out.Properties, SalvagedProperty{ID: row.id, Last: row.newest, Lost: []NumberRun{{1, row.newest}}})
		}
	}
	slices.SortFunc(out.Properties, func(a, b SalvagedProperty) int { return cmp.Compare(a.ID, b.ID) })
	if _, err := s.Verify(ctx, nil); err != nil {
		return out, err
	}
	return out, nil
}

// property appends the entries of one property.
func (r *foundNotes) property(ctx context.Context, f *os.File, s *Store, now *atomic.Int64, records iter.Seq[foundRecord], newest uint64) (out SalvagedProperty, err error) {
	var batch []json.RawMessage
	bytesOfBatch, refused := 0, 0
	refuse := func(why string) {
		if refused++; refused <= mostRefused {
			out.Refused = append(out.Refused, why)
		}
	}
	flush := func() error {
		if len(batch) == 0 {
			return nil
		}
		receipts, err := s.Append(ctx, out.ID, batch)
		for _, receipt := range receipts {
			if receipt.Refused != "" {
				refuse(receipt.Refused)
			} else if !receipt.Known {
				out.Entries++
			}
		}
		batch, bytesOfBatch = batch[:0], 0
		return err
	}
	last, before := uint64(0), register.Hash{}
	for one := range records {
		if one.n > last+1 {
			out.Lost = append(out.Lost, NumberRun{last + 1, one.n - 1})
		}
		last = one.n
		bytes := make([]byte, recordKey+int(one.size))
		if _, err := f.ReadAt(bytes, one.at); err != nil {
			return out, err
		}
		record, err := unsealRecord(bytes[:recordKey], bytes[recordKey:])
		if err != nil { // it could be read just before
			return out, err
		}
		if record.hash == before { // where an earlier commit left it
			continue
		}
		before = record.hash
		entry, err := register.Decode(record.raw)
		if err != nil {
			refuse(fmt.Sprintf("entry %d: %v", one.n, err))
			continue
		}
		if arrived := record.arrived.UnixMilli(); arrived != now.Load() || entry.Property != out.ID || len(batch) == appendAtOnce || bytesOfBatch > appendBytes {
			if err := flush(); err != nil {
				return out, err
			}
			now.Store(arrived)
			out.ID = entry.Property
		}
		batch, bytesOfBatch = append(batch, record.raw), bytesOfBatch+len(record.raw)
	}
	if err := flush(); err != nil {
		return out, err
	}
	if refused > mostRefused {
		out.Refused = append(out.Refused, fmt.Sprintf("and %d more", refused-mostRefused))
	}
	out.Last = max(last, newest)
	if newest > last {
		out.Lost = append(out.Lost, NumberRun{last + 1, newest})
	}
	return out, nil
}
