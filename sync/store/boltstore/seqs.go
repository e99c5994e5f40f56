package boltstore

import (
	"encoding/binary"
	"slices"
)

// seqSet is the deviceSeqs of one device that are here: all up to high, and the runs that
// stand beyond gaps.
type seqSet struct {
	high uint64
	runs []seqRun // rising, neither touching one another nor high
}

type seqRun struct{ first, last uint64 }

// runLimit is how many gaps a device may have before it must fill some: the whole set is
// written with each of its frames.
const runLimit = 1000

// find is the place among runs of the first that ends at seq or later.
func (s *seqSet) find(seq uint64) int {
	i, _ := slices.BinarySearchFunc(s.runs, seq, func(r seqRun, seq uint64) int {
		if r.last < seq {
			return -1
		}
		return 1
	})
	return i
}

func (s *seqSet) has(seq uint64) bool {
	if seq <= s.high {
		return true
	}
	i := s.find(seq)
	return i < len(s.runs) && s.runs[i].first <= seq
}

// full tells whether seq would make one gap too many.
func (s *seqSet) full(seq uint64) bool {
	return len(s.runs) >= runLimit && seq > s.high+1 && !s.has(seq-1) && !s.has(seq+1)
}

// add puts in a seq that is not there.
func (s *seqSet) add(seq uint64) {
	i := s.find(seq)
	before, after := i > 0 && s.runs[i-1].last+1 == seq, i < len(s.runs) && s.runs[i].first == seq+1
	switch {
	case before && after:
		s.runs[i-1].last = s.runs[i].last
		s.runs = slices.Delete(s.runs, i, i+1)
	case before:
		s.runs[i-1].last = seq
	case after:
		s.runs[i].first = seq
	default:
		s.runs = slices.Insert(s.runs, i, seqRun{seq, seq})
	}
	if s.runs[0].first == s.high+1 {
		s.high = s.runs[0].last
		s.runs = slices.Delete(s.runs, 0, 1)
	}
}

func (s *seqSet) append(dst []byte) []byte {
	dst = binary.BigEndian.AppendUint64(dst, s.high)
	for _, r := range s.runs {
		dst = binary.BigEndian.AppendUint64(binary.BigEndian.AppendUint64(dst, r.first), r.last)
	}
	return dst
}

func unsealSeqs(key, sealed []byte) (*seqSet, error) {
	v, err := unseal(key, sealed)
	if err != nil {
		return nil, err
	}
	if len(v) < 8 || len(v)%16 != 8 {
		return nil, damaged("the row of device %q is cut short", key)
	}
	s := &seqSet{high: beU64(v)}
	for v = v[8:]; len(v) > 0; v = v[16:] {
		s.runs = append(s.runs, seqRun{beU64(v), beU64(v[8:])})
	}
	return s, nil
}
