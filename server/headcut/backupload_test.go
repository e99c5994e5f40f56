package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
)

// TestBackupWhilePhotosArrive: backups of a folder that is served, while devices send entries and
// photos in parts, all succeed; each holds every photo that had come when it began, whole, and no
// part of one, and is restored from.
func TestBackupWhilePhotosArrive(t *testing.T) {
	ctx, dir := t.Context(), t.TempDir()
	data := filepath.Join(dir, "data")
	makeLarge(t, data, 20)
	d, err := openDataDir(context.Background(), data, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	defer d.close(context.Background())
	p, err := d.server.Property("Large")
	if err != nil {
		t.Fatal(err)
	}
	photos, err := boltstore.OpenPhotos(filepath.Join(data, photoFolder))
	if err != nil {
		t.Fatal(err)
	}
	var mu sync.Mutex
	var arrived []register.Hash
	var sending sync.WaitGroup
	sent, stop := make(chan struct{}, 12), make(chan struct{}) // so many photos come in a round that it has an end
	for device := range 3 {
		sending.Go(func() {
			for n := uint64(1); ; n++ {
				select {
				case <-stop:
					return
				default:
				}
				photo := bytes.Repeat(fmt.Appendf(nil, "photo %d of device %d ", n, device), 5000)
				sha := register.HashOf(photo)
				raw, err := register.Encode(register.Entry{Version: 1, ID: register.ID(idOf(7000+device, int(n))), Property: p.ID, Feature: idOf(3, 0), Device: fmt.Sprintf("sender-%d", device), DeviceSeq: n,
					Stamp: 1 << 40, SeenAt: "2026-06-01T09:00:00+10:00", Author: "Ben", Set: model.FieldValuesOf(map[string]json.RawMessage{"photos": json.RawMessage(`["` + sha.String() + `"]`)})})
				if err != nil {
					t.Error(err)
					return
				}
				if receipts, err := d.store.Append(ctx, p.ID, []json.RawMessage{raw}); err != nil || receipts[0].Refused != "" {
					t.Error(err, receipts)
					return
				}
				for at := 0; at < len(photo); at += 40_000 {
					part := photo[at:min(at+40_000, len(photo))]
					if _, err := photos.WriteAt(ctx, store.Sending{Device: fmt.Sprintf("sender-%d", device), SHA: sha}, int64(at), int64(len(photo)), bytes.NewReader(part)); err != nil {
						t.Error(err)
						return
					}
				}
				mu.Lock()
				arrived = append(arrived, sha)
				mu.Unlock()
				select {
				case sent <- struct{}{}:
				case <-stop:
				}
			}
		})
	}
	for round := range 4 {
		<-sent // photos keep coming: some more as long as a round takes
		for len(sent) > 0 {
			<-sent
		}
		mu.Lock()
		there := append([]register.Hash(nil), arrived...)
		mu.Unlock()
		to := filepath.Join(dir, fmt.Sprintf("bk%d", round/2)) // each second one goes on from an earlier
		mustSay(t, said(t, 0, "backup", "--data", data, "--to", to), "Sound: ")
		kept := boltstore.PhotosReadOnly(filepath.Join(to, photoFolder))
		for _, sha := range there {
			if whole, err := kept.Whole(ctx, sha); err != nil || !whole {
				t.Errorf("backup %d has not the photo %s whole: %v", round, sha, err)
			}
		}
		for _, sub := range []string{"parts/*", "mended-*", "../*.part-*"} {
			if left, _ := filepath.Glob(filepath.Join(to, photoFolder, sub)); len(left) > 0 {
				t.Errorf("backup %d holds %v", round, left)
			}
		}
		restored := filepath.Join(dir, fmt.Sprintf("restored%d", round))
		mustSay(t, said(t, 0, "restore", "--from", to, "--data", restored), "Sound: ")
		if err := os.RemoveAll(restored); err != nil {
			t.Fatal(err)
		}
	}
	close(stop)
	sending.Wait()
	if len(arrived) < 4 {
		t.Errorf("%d photos came meanwhile: too few to say anything", len(arrived))
	}
}
