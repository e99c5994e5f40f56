package store

import (
	"errors"
	"strings"
	"testing"
	"time"

	"headcut/sync/register"
)

// TestPositions: one entry further is the next number and the chain's next hash, in the same epoch.
func TestPositions(t *testing.T) {
	entry := register.HashOf([]byte("an entry"))
	at := Position{Epoch: "e", N: 7, Hash: register.Hash{1}}
	if next, want := at.After(entry), (Position{Epoch: "e", N: 8, Hash: register.Chain(register.Hash{1}, entry)}); next != want {
		t.Errorf("after %+v comes %+v, want %+v", at, next, want)
	}
}

// TestErrorsAreKnown by what callers branch on.
func TestErrorsAreKnown(t *testing.T) {
	fork := &Fork{}
	if !errors.Is(fork, ErrForked) || errors.Is(fork, ErrFull) || fork.Error() != ErrForked.Error() {
		t.Errorf("a fork is %v", fork)
	}
	backup := &IsBackup{At: time.Date(2026, 5, 13, 19, 5, 0, 0, time.FixedZone("", 10*3600))}
	if !errors.Is(backup, ErrReadOnly) || errors.Is(backup, ErrStopped) || backup.Error() != backup.Problem().Error() || !strings.HasPrefix(backup.Error(), "this is a backup of 13 May 2026, 09:05 UTC: ") {
		t.Errorf("a backup is %v", backup)
	}
}
