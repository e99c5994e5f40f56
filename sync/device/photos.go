package device

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"go.etcd.io/bbolt"

	"headcut/model"
	"headcut/sync/photo"
	"headcut/sync/register"
)

// Photo keeps a photo and adds it to those of a feature. The photo is on the disk before
// the entry that names it, and goes to the server after it.
func (d *Device) Photo(property, feature string, from io.Reader) (register.Hash, error) {
	sha, size, err := d.keepPhoto(from)
	if err != nil {
		return sha, err
	}
	names, err := d.photosOf(property, feature)
	if err != nil {
		return sha, err
	}
	if !slices.Contains(names, sha.String()) {
		names = append(names, sha.String())
	}
	raw, err := json.Marshal(names)
	if err != nil {
		return sha, err
	}
	set := map[string]json.RawMessage{"photos": raw}
	return sha, d.write(register.Entry{Property: property, Feature: feature, Set: model.FieldValuesOf(set)}, func(tx *bbolt.Tx) error {
		return tx.Bucket(photosBucket).Put(sha[:], append(bigEndian(uint64(size)), 'w'))
	})
}

func (d *Device) photosOf(property, feature string) ([]string, error) {
	f, err := d.Feature(property, feature)
	if err != nil {
		return nil, err
	}
	var names []string
	if raw, ok := f.Fields["photos"]; ok {
		err = json.Unmarshal(raw, &names)
	}
	return names, err
}

// keepPhoto writes a photo under its hash: to a file of its own, flushed, renamed, and
// the folder flushed.
func (d *Device) keepPhoto(from io.Reader) (sha register.Hash, size int64, err error) {
	folder := filepath.Join(d.dir, "photos")
	f, err := os.CreateTemp(folder, "coming-*")
	if err != nil {
		return sha, 0, err
	}
	defer func() {
		if err != nil {
			_ = os.Remove(f.Name()) // only tidiness: no entry names it
		}
	}()
	sum := sha256.New()
	size, err = io.Copy(io.MultiWriter(f, sum), io.LimitReader(from, photo.MaxBytes+1))
	err = errors.Join(err, f.Sync(), f.Close())
	switch {
	case err != nil:
		return sha, 0, err
	case size == 0 || size > photo.MaxBytes:
		return sha, 0, &model.Problem{Path: "photos", Reason: fmt.Sprintf("a photo has 1 to %d bytes", photo.MaxBytes), Fix: "take it at a lower quality"}
	}
	copy(sha[:], sum.Sum(nil))
	if err := os.Rename(f.Name(), d.photoFile(sha)); err != nil {
		return sha, 0, err
	}
	held, err := os.Open(folder)
	if err != nil {
		return sha, 0, err
	}
	return sha, size, errors.Join(held.Sync(), held.Close())
}

func (d *Device) photoFile(sha register.Hash) string {
	return filepath.Join(d.dir, "photos", sha.String())
}

// photosAgain makes the photos that the server had wait again: it may have lost them. Those that
// it still has cost a question each.
func photosAgain(tx *bbolt.Tx) error {
	return photosWait(tx, func(register.Hash) bool { return true })
}

// photosWanted makes those photos wait again that the server asked for.
func (d *Device) photosWanted(t *talk) error {
	wanted := map[register.Hash]bool{}
	for _, sha := range t.wanted {
		wanted[sha] = true
	}
	if t.wanted = nil; len(wanted) == 0 {
		return nil
	}
	return d.db.Update(func(tx *bbolt.Tx) error {
		return photosWait(tx, func(sha register.Hash) bool { return wanted[sha] })
	})
}

func photosWait(tx *bbolt.Tx, which func(register.Hash) bool) error {
	photos := tx.Bucket(photosBucket)
	again := map[register.Hash][]byte{}
	if err := photos.ForEach(func(k, v []byte) error {
		if len(v) == 9 && v[8] == 's' && which(register.Hash(k)) {
			again[register.Hash(k)] = append(bytes.Clone(v[:8]), 'w')
		}
		return nil
	}); err != nil {
		return err
	}
	for sha, v := range again {
		if err := photos.Put(sha[:], v); err != nil {
			return err
		}
	}
	return nil
}

// sendPhotos sends the photos without a receipt. One that cannot be sent does not hold
// back the others.
func (d *Device) sendPhotos(ctx context.Context) error {
	type waiting struct {
		sha  register.Hash
		size int64
	}
	var all []waiting
	err := d.db.View(func(tx *bbolt.Tx) error {
		return tx.Bucket(photosBucket).ForEach(func(k, v []byte) error {
			if len(v) == 9 && v[8] == 'w' {
				all = append(all, waiting{register.Hash(k), int64(binary.BigEndian.Uint64(v))})
			}
			return nil
		})
	})
	if err != nil || len(all) == 0 {
		return err
	}
	me := d.who()
	client := photo.Client{Base: me.Server, Token: me.Token, HTTP: d.o.HTTP}
	var failed []error
	for _, w := range all {
		if err := d.sendPhoto(ctx, &client, w.sha, w.size); err != nil {
			failed = append(failed, fmt.Errorf("photo %s: %w", w.sha, err))
		}
		if ctx.Err() != nil {
			break
		}
	}
	return errors.Join(failed...)
}

func (d *Device) sendPhoto(ctx context.Context, client *photo.Client, sha register.Hash, size int64) error {
	f, err := os.Open(d.photoFile(sha))
	if err != nil {
		return err
	}
	defer f.Close() // it was only read
	if err := client.Send(ctx, sha, f, size); err != nil {
		return err
	}
	return d.db.Update(func(tx *bbolt.Tx) error {
		return tx.Bucket(photosBucket).Put(sha[:], append(bigEndian(uint64(size)), 's'))
	})
}
