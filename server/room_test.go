package server

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"strings"
	"testing"

	"headcut/model"
	"headcut/sync/photo"
	"headcut/sync/register"
	"headcut/sync/wire"
)

// sends sends a photo that an entry of the phone has named, and tells why it was not taken.
func sends(t *testing.T, s *site, as enrolAnswer, picture []byte) *model.Problem {
	t.Helper()
	err := (&photo.Client{Base: s.web.URL, Token: as.Token}).Send(t.Context(), register.HashOf(picture), bytes.NewReader(picture), int64(len(picture)))
	problem, ok := errors.AsType[*model.Problem](err)
	if err != nil && !ok {
		t.Fatal(err)
	}
	return problem
}

// namesBy has a phone name a photo, through its conversation.
func (c *connected) namesBy(property string, seq uint64, sha register.Hash) wire.Frame {
	hash := register.HashOf(fmt.Append(nil, c.device, seq))
	raw, err := register.Encode(register.Entry{Version: 1, ID: register.ID(fmt.Sprintf("%x-%x-7000-8000-%x", hash[:4], hash[4:6], hash[6:12])), Property: property, Feature: fmt.Sprintf("f-%d", seq),
		Device: c.device, DeviceSeq: seq, Stamp: 1 << 20, SeenAt: "2026-03-01T18:00:00+10:00", Author: c.author,
		Set: model.FieldValuesOf(map[string]json.RawMessage{"kind": json.RawMessage(`"photo-point"`), "photos": json.RawMessage(`["` + sha.String() + `"]`)})})
	if err != nil {
		c.t.Fatal(err)
	}
	return c.asks(&wire.Push{Push: seq, Property: property, Entries: []json.RawMessage{raw}})
}

// A phone and a property have so much room: photos are refused first, in words for the officer,
// entries go on, others are not held up, and with more room what was refused goes in.
func TestRoom(t *testing.T) {
	s := newSite(t)
	filler := s.enrolledAs(t, "filler1", "A. Filler", "Stony Block")
	other := s.enrolledAs(t, "other1", "R. Field", "Stony Block", "Saltbush Flat")
	block, flat := other.Properties[0].ID, other.Properties[1].ID
	var log bytes.Buffer
	s.log = slog.New(slog.NewTextHandler(&log, nil))
	free := int64(1e12)
	limits := Room{Device: 100_000, Property: 160_000, Free: 1e9}
	s.KeepRoom(limits, func() (int64, bool) { return free, true })
	if err := s.countEntries(t.Context()); err != nil {
		t.Fatal(err)
	}
	picture := func(n int) []byte { // of 40 kB
		return append(quarters(t, 16+n, 16), bytes.Repeat([]byte{byte(n)}, 40_000)...)
	}
	filling, honest := s.connects(t, filler), s.connects(t, other)
	taken := 0
	var refused *model.Problem
	for n := uint64(1); n < 5 && refused == nil; n++ {
		if got, ok := filling.namesBy(block, n, register.HashOf(picture(int(n)))).(*wire.Receipts); !ok || got.Receipts[0].N == 0 {
			t.Fatalf("entry %d: %+v", n, got)
		}
		if refused = sends(t, s, filler, picture(int(n))); refused == nil {
			taken++
		}
	}
	if taken != 2 || refused == nil || refused.Reason != "the office's server has no more room for photos of this phone" || !strings.Contains(refused.Fix, "stays on this phone") {
		t.Fatalf("%d photos of 40 kB went into 100 kB, then %v, want 2 and words", taken, refused)
	}
	s.tendOnce(t.Context())

	honest.namesBy(flat, 1, register.HashOf(picture(11)))
	honest.namesBy(block, 2, register.HashOf(picture(12)))
	if p := sends(t, s, other, picture(11)); p != nil {
		t.Errorf("another phone is held up: %v", p)
	}
	s.room.mu.Lock()
	clear(s.room.photos) // a minute later
	s.room.mu.Unlock()
	s.KeepRoom(Room{Device: 1e9, Property: 110_000}, s.room.free)
	if p := sends(t, s, other, picture(12)); p == nil || p.Reason != "the office's server has no more room for photos of Stony Block" {
		t.Errorf("a full property: %v, want it named", p)
	}
	if p := sends(t, s, other, picture(11)); p != nil {
		t.Errorf("what is here already: %v, want it acknowledged", p)
	}
	rows := s.withRoom(t.Context(), s.Devices())
	if rows[0].Room == nil || rows[0].Room.Bytes < 80_000 || rows[0].Room.Bytes > 84_000 {
		t.Errorf("the office is told %v of what the first phone sent, want the two photos and its entries", rows[0].Room)
	}
	s.KeepRoom(Room{Device: 5_000, Property: 1e9}, s.room.free) // of which entries fill a tenth
	if got, ok := filling.namesBy(block, 9, register.Hash{9}).(*wire.Problem); !ok || got.Problem.Reason != "the office's server has no more room for entries of this phone" || got.Closing {
		t.Errorf("entries that alone fill a tenth of the room: %+v, want them kept back", got)
	}
	s.KeepRoom(limits, s.room.free)
	free = 9e8
	if p := sends(t, s, other, picture(12)); p == nil || p.Reason != "the office's server is nearly out of disk" {
		t.Errorf("with the disk nearly full a photo gets %v", p)
	}
	if got, ok := filling.namesBy(block, 9, register.Hash{9}).(*wire.Receipts); !ok || got.Receipts[0].N == 0 {
		t.Errorf("and an entry %+v, want it taken", got)
	}
	free = 9e7
	if got, ok := filling.namesBy(block, 10, register.Hash{10}).(*wire.Problem); !ok || got.Problem.Reason != "the office's server is nearly out of disk" {
		t.Errorf("with the last of the disk an entry gets %+v, want it kept back", got)
	}
	free = 1e12
	s.KeepRoom(Room{}, nil)
	for n := 1; n <= 3; n++ {
		if p := sends(t, s, filler, picture(n)); p != nil {
			t.Errorf("with room again photo %d: %v", n, p)
		}
	}
	if !strings.Contains(log.String(), "a phone has little room left") || !strings.Contains(log.String(), "1, A. Filler") || strings.Contains(log.String(), "a property has little") {
		t.Errorf("the log says %q, want the phone named that fills its room", log.String())
	}
}

// What was here before a start counts, and what a phone sends twice counts once.
func TestRoomIsCountedAtAStart(t *testing.T) {
	s := newSite(t)
	phone := s.enrolledAs(t, "d1", "R. Field", "Stony Block")
	property := phone.Properties[0].ID
	conn := s.connects(t, phone)
	for n := uint64(1); n <= 3; n++ {
		conn.namesBy(property, n, register.Hash{byte(n)})
	}
	conn.namesBy(property, 3, register.Hash{3})
	device, ofProperty := s.room.entries("d1", property)
	if device != ofProperty || device < 600 {
		t.Fatalf("three entries take %d and %d bytes", device, ofProperty)
	}
	s.shut()
	s = openSite(t, s.dir, s.at)
	ctx, stop := context.WithCancel(t.Context())
	stop()
	s.Tend(ctx) // which ends at once
	if err := s.countEntries(t.Context()); err != nil {
		t.Fatal(err)
	}
	if again, _ := s.room.entries("d1", property); again != device {
		t.Errorf("after a start they take %d bytes, want %d", again, device)
	}
}

func TestSizes(t *testing.T) {
	for text, want := range map[string]int64{"50GB": 50e9, "0.5 TB": 5e11, " 20 mb ": 20e6, "3kB": 3000, "1234": 1234, "0": 0} {
		if n, err := ParseSize(text); err != nil || n != want {
			t.Errorf("%q is %d, %v, want %d", text, n, err, want)
		}
	}
	for _, text := range []string{"", "GB", "-1GB", "much", "NaN", "1e30", "Inf TB"} {
		if n, err := ParseSize(text); err == nil {
			t.Errorf("%q is taken for %d", text, n)
		}
	}
	for bytes, want := range map[int64]string{50e9: "50 GB", 41_234_000_000: "41.2 GB", 999: "999 bytes", 600_000: "600 kB"} {
		if got := SizeWords(bytes); got != want {
			t.Errorf("%d is %q, want %q", bytes, got, want)
		}
	}
	if got := (RoomUsed{45e9, 50e9}).String(); got != "45 GB of 50 GB, nearly full" {
		t.Error(got)
	}
}

// What is no picture is refused by the server that phones reach, and in a file that is handed over.
func TestWhatIsNoPhotoIsRefused(t *testing.T) {
	s := newSite(t)
	phone := enrolAnswer{Token: enrolled(t, s)}
	p, err := s.Property("Stony Block")
	if err != nil {
		t.Fatal(err)
	}
	page := []byte("<html><script>alert(1)</script>")
	if p := sends(t, s, phone, page); p == nil || p.Path != "photo" {
		t.Errorf("a page as a photo: %v, want it refused", p)
	}
	good := quarters(t, 20, 20)
	taken := carry(t, s, 0, saved(t, p.ID, 1, 1, page, good)...)
	if taken.New != 1 || taken.PhotosNew != 1 || len(taken.Refused) != 1 || !strings.Contains(taken.Refused[0].Reason, "not a picture") {
		t.Errorf("handed over: %+v, want the photo taken and the page refused", taken)
	}
	if res, _ := get(t, s.web.URL+"/photos/"+register.HashOf(page).String(), phone.Token); res.StatusCode != http.StatusNotFound {
		t.Errorf("the page is given: %s", res.Status)
	}
}
