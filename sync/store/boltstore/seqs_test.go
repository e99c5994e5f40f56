package boltstore

import (
	"testing"

	"pgregory.net/rapid"
)

// TestSeqSet compares the set with a plain map of numbers.
func TestSeqSet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var s seqSet
		plain := make(map[uint64]bool)
		for _, seq := range rapid.SliceOfN(rapid.Uint64Range(1, 30), 0, 40).Draw(t, "seqs") {
			if got := s.has(seq); got != plain[seq] {
				t.Fatalf("has(%d) = %v in %+v", seq, got, s)
			}
			if !plain[seq] {
				s.add(seq)
				plain[seq] = true
			}
			high := uint64(0)
			for plain[high+1] {
				high++
			}
			if s.high != high {
				t.Fatalf("high = %d in %+v, want %d", s.high, s, high)
			}
			read, err := unsealSeqs([]byte("k"), seal([]byte("k"), s.append(nil)))
			if err != nil {
				t.Fatal(err)
			}
			for n := range uint64(33) {
				if got := read.has(n); got != (plain[n] || n == 0) {
					t.Fatalf("has(%d) = %v in %+v after reading it back", n, got, read)
				}
			}
		}
	})
}

func TestSeqSetLimit(t *testing.T) {
	var s seqSet
	for i := range uint64(runLimit) {
		if s.full(3 + 2*i) {
			t.Fatalf("full after %d gaps, want %d", i, runLimit)
		}
		s.add(3 + 2*i)
	}
	if !s.full(3+2*runLimit) || s.full(1) || s.full(4) || s.full(2*runLimit+2) {
		t.Error("with all gaps taken, a new gap must be full, and filling one must not")
	}
}
