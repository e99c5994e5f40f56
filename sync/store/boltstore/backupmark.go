package boltstore

import (
	"bytes"
	"encoding/json"
	"errors"
	"time"

	"go.etcd.io/bbolt"

	"headcut/sync/store"
)

// backupKey, of the meta bucket, is there in a backup alone: the mark is in the register itself,
// so that a backup which was copied or renamed keeps it. Backups of earlier versions have none.
var backupKey = []byte("backup")

// backupMark is what a register says of itself when it is a backup.
type backupMark struct {
	At         time.Time `json:"at"`                   // when it was taken
	Unfinished bool      `json:"unfinished,omitempty"` // its photos were not all copied yet
}

// readMark gives the mark of a backup, nil when there is none.
func readMark(tx *bbolt.Tx) (*backupMark, error) {
	sealed := tx.Bucket(metaBucket).Get(backupKey)
	if sealed == nil {
		return nil, nil
	}
	text, err := unseal(backupKey, sealed)
	if err != nil {
		return nil, err
	}
	mark := new(backupMark)
	if err := json.Unmarshal(text, mark); err != nil {
		return nil, damaged("the mark of a backup cannot be read: %v", err)
	}
	return mark, nil
}

// isMark tells the mark of a backup from the record of a property, which may be as long.
func isMark(key, sealed []byte) bool {
	if !bytes.Equal(key, backupKey) {
		return false
	}
	text, err := unseal(key, sealed)
	return err == nil && json.Valid(text)
}

func putMark(tx *bbolt.Tx, mark *backupMark) error {
	text, err := json.Marshal(mark)
	if err != nil {
		return err
	}
	return tx.Bucket(metaBucket).Put(backupKey, seal(backupKey, text))
}

// MarkBackup marks the register as a backup taken at this time, unfinished until [FinishBackup].
// A copy of a backup keeps the time of the backup that it is a copy of.
func (s *Store) MarkBackup(at time.Time) error {
	return s.write(func(tx *bbolt.Tx) error {
		mark, err := readMark(tx)
		if err != nil {
			return err
		}
		if mark == nil {
			mark = &backupMark{At: at.UTC()}
		}
		mark.Unfinished = true
		return putMark(tx, mark)
	})
}

// FinishBackup is the last step of a backup: its photos have come too.
func FinishBackup(path string, photos *Photos) (err error) {
	s, err := open(path, Options{})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	if err := s.NotePhotos(photos); err != nil {
		return err
	}
	return s.write(func(tx *bbolt.Tx) error {
		mark, err := readMark(tx)
		if mark == nil || err != nil {
			return err
		}
		mark.Unfinished = false
		return putMark(tx, mark)
	})
}

// BackupAt is OfBackup of the register in a file, which it only reads.
func BackupAt(path string) (is *store.IsBackup, err error) {
	s, err := open(path, Options{ReadOnly: true})
	if err != nil {
		return nil, err
	}
	is, err = s.OfBackup()
	return is, errors.Join(err, s.Close())
}

// OfBackup tells whether the register is a backup, nil when it is not.
func (s *Store) OfBackup() (is *store.IsBackup, err error) {
	err = s.view(func(tx *bbolt.Tx) error {
		mark, err := readMark(tx)
		if mark != nil {
			is = &store.IsBackup{At: mark.At, Unfinished: mark.Unfinished}
		}
		return err
	})
	return is, err
}
