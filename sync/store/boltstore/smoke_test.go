package boltstore

import (
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/paulmach/orb"

	"headcut/sync/register"
	"headcut/sync/store"
)

func entry(t testing.TB, device string, seq uint64, feature string, saw map[string]uint64, set map[string]json.RawMessage) json.RawMessage {
	id, _ := uuid.NewV7()
	raw, err := register.Encode(register.Entry{Version: 1, ID: register.ID(id.String()), Property: "p", Feature: feature, Device: device, DeviceSeq: seq,
		Stamp: register.StampAt(time.Now()), SeenAt: "2026-11-25T09:30:00+10:00", Author: "A", Saw: saw, Set: set})
	if err != nil {
		t.Fatal(err)
	}
	return raw
}

func TestSmoke(t *testing.T) {
	ctx := context.Background()
	s, err := Open(filepath.Join(t.TempDir(), "r.db"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	var raws []json.RawMessage
	for i := range 2500 {
		raws = append(raws, entry(t, "a", uint64(i+1), fmt.Sprint("f", i%1200), nil, map[string]json.RawMessage{
			"kind": json.RawMessage(`"check-dam"`), "geometry": json.RawMessage(fmt.Sprintf(`{"type":"Point","coordinates":[%g,%g]}`, 147+float64(i%1200)*0.001, -20.0))}))
	}
	for range 2 {
		rs, err := s.Append(ctx, "p", raws)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%+v", rs[2499])
	}
	var at store.Position
	n := 0
	for {
		es, next, err := s.EntriesAfter(ctx, "p", at, 1000)
		if err != nil {
			t.Fatal(err)
		}
		if len(es) == 0 {
			break
		}
		n += len(es)
		at = next
	}
	t.Log(n, at)
	c := 0
	for _, err := range s.Features(ctx, "p", nil) {
		if err != nil {
			t.Fatal(err)
		}
		c++
	}
	b := 0
	for _, err := range s.Features(ctx, "p", &orb.Bound{Min: orb.Point{147.1, -21}, Max: orb.Point{147.2, -19}}) {
		if err != nil {
			t.Fatal(err)
		}
		b++
	}
	t.Log(c, b)
	start := time.Now()
	rep, err := s.Verify(ctx)
	t.Log(rep, err, time.Since(start))
}
