package boltstore

import "go.etcd.io/bbolt"

// photosKey, of the meta bucket, is how many photos are known to have come for the register: when
// the photo folder is lost with its list, nothing there tells that they ever came.
var photosKey = []byte("photos")

// NotePhotos keeps in the register how many photos came, when they are more than it knows of. They
// are noted now and then, so that the number is the least that came.
func (s *Store) NotePhotos(p *Photos) error {
	came, err := p.came()
	if err != nil {
		return err
	}
	noted, err := s.photosNoted()
	if err != nil || came <= noted {
		return err
	}
	return s.write(func(tx *bbolt.Tx) error {
		return tx.Bucket(metaBucket).Put(photosKey, seal(photosKey, u64(came)))
	})
}

func (s *Store) photosNoted() (n uint64, err error) {
	err = s.view(func(tx *bbolt.Tx) error {
		sealed := tx.Bucket(metaBucket).Get(photosKey)
		if sealed == nil {
			return nil
		}
		v, err := unsealSized(photosKey, sealed, 8)
		if err == nil {
			n = beU64(v)
		}
		return err
	})
	return n, err
}

// came is how many photos the list has.
func (p *Photos) came() (uint64, error) {
	x, err := p.index()
	if err != nil {
		return 0, err
	}
	defer x.mu.Unlock()
	return uint64(len(x.by)), nil
}
