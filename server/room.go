package server

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
)

// Room is how much may be kept, in bytes; 0: as much as there is. Photos are the first to be refused,
// since entries are small and say what the photos are of: they are taken until they alone fill a
// tenth of a room, or the disk has a tenth of Free left. Whatever is refused stays on the phone, which
// asks again later.
type Room struct {
	Device   int64 // of what a device sends: entries, photos and parts of them
	Property int64 // of a property's entries and photos
	Free     int64 // that the disk must keep free
}

// DefaultRoom is what serve gives: an officer's photos of some 80,000 points, and of two such.
var DefaultRoom = Room{Device: 50e9, Property: 100e9, Free: 2e9}

// entriesOfRoom is the share of a room that entries may fill.
const entriesOfRoom = 10

// shortOfRoom is from when on the office is warned, in hundredths.
const shortOfRoom = 80

// RoomUsed is how much of its room a device or a property uses.
type RoomUsed struct {
	Bytes int64 `json:"bytes"`
	Of    int64 `json:"of"`
}

// Short reports whether the room is nearly full.
func (r RoomUsed) Short() bool { return r.Of > 0 && r.Bytes >= r.Of/100*shortOfRoom }

// String is as the office reads it: "41.2 GB of 50 GB, nearly full".
func (r RoomUsed) String() string {
	switch text := SizeWords(r.Bytes) + " of " + SizeWords(r.Of); {
	case r.Of == 0:
		return SizeWords(r.Bytes)
	case r.Bytes >= r.Of:
		return text + ", full"
	case r.Short():
		return text + ", nearly full"
	default:
		return text
	}
}

// SizeWords writes bytes as people say them: "0.6 MB".
func SizeWords(bytes int64) string {
	for _, unit := range sizeUnits {
		if bytes >= unit.bytes {
			return strings.TrimSuffix(strconv.FormatFloat(float64(bytes)/float64(unit.bytes), 'f', 1, 64), ".0") + " " + unit.name
		}
	}
	return strconv.FormatInt(bytes, 10) + " bytes"
}

var sizeUnits = []struct {
	name  string
	bytes int64
}{{"TB", 1e12}, {"GB", 1e9}, {"MB", 1e6}, {"kB", 1e3}}

// ParseSize reads "50GB", "0.5 TB" or a number of bytes.
func ParseSize(text string) (int64, error) {
	number, unit := strings.TrimSpace(text), int64(1)
	for _, one := range sizeUnits {
		if rest, ok := strings.CutSuffix(strings.ToLower(number), strings.ToLower(one.name)); ok {
			number, unit = strings.TrimSpace(rest), one.bytes
			break
		}
	}
	n, err := strconv.ParseFloat(number, 64)
	if err != nil || !(n >= 0) || n*float64(unit) > 1e18 {
		return 0, &model.Problem{Reason: quote(text) + " is not a size", Fix: "write it as 50GB or 500MB; 0 is no limit"}
	}
	return int64(n * float64(unit)), nil
}

// rooms counts the bytes of entries, from a first reading of the register and then as they
// come, and remembers for a while what photos take.
type rooms struct {
	limits Room
	free   func() (bytes int64, known bool)

	mu       sync.Mutex
	device   map[string]int64
	property map[string]int64
	photos   map[string]photosTaken // by property
	counted  atomic.Bool            // the first reading is over
	warned   map[string]time.Time   // of Tend alone
}

func newRooms() *rooms {
	return &rooms{device: map[string]int64{}, property: map[string]int64{}, photos: map[string]photosTaken{}, warned: map[string]time.Time{}}
}

type photosTaken struct {
	at    time.Time
	bytes int64
}

// photosAsOf is for how long what a property's photos take is remembered.
const photosAsOf = time.Minute

// KeepRoom sets the limits, before the server answers anybody; free is what the disk of the
// register has left.
func (s *Server) KeepRoom(limits Room, free func() (int64, bool)) {
	s.room.limits, s.room.free = limits, free
}

func (r *rooms) took(device, property string, bytes int) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.device[device] += int64(bytes)
	r.property[property] += int64(bytes)
}

func (r *rooms) entries(device, property string) (ofDevice, ofProperty int64) {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.device[device], r.property[property]
}

// short refuses when the disk keeps less than a share of what it must.
func (r *rooms) short(share int64) error {
	if r.limits.Free == 0 || r.free == nil {
		return nil
	}
	if left, known := r.free(); known && left < r.limits.Free/share {
		return &model.Problem{Reason: "the office's server is nearly out of disk", Fix: stays}
	}
	return nil
}

// freeWords is how much of the disk is free.
func (r *rooms) freeWords() string {
	if r.free != nil {
		if left, known := r.free(); known {
			return SizeWords(left)
		}
	}
	return "not known"
}

const stays = "Everything stays on this phone and is sent once there is room: tell the office"

func noRoom(whose string) error {
	return &model.Problem{Reason: "the office's server has no more room for " + whose, Fix: stays}
}

// entryRoom reports whether a device may add entries to a property.
func (s *Server) entryRoom(device, property string) error {
	r := s.room
	if err := r.short(entriesOfRoom); err != nil {
		return err
	}
	ofDevice, ofProperty := r.entries(device, property)
	switch {
	case r.limits.Device > 0 && ofDevice > r.limits.Device/entriesOfRoom:
		return noRoom("entries of this phone")
	case r.limits.Property > 0 && ofProperty > r.limits.Property/entriesOfRoom:
		return noRoom("entries of " + s.propertyOf(property).Name)
	}
	return nil
}

// photoRoom reports whether there is room for size bytes more of a photo, for who sends it, besides what is
// coming of others, and for the properties that name it.
func (s *Server) photoRoom(ctx context.Context, token string, sha register.Hash, size, coming int64) error {
	if s.room.limits == (Room{}) {
		return nil
	}
	if err := s.room.short(1); err != nil {
		return err
	}
	grant, err := s.admitToSync(ctx, token)
	if err != nil {
		return err
	}
	used, err := s.deviceRoom(ctx, grant.Device)
	if err != nil {
		return err
	}
	if used.full(size + coming) {
		return noRoom("photos of this phone")
	}
	for _, property := range grant.Properties {
		brought, err := s.photoNames.of(property).brought(ctx, s.store, property, sha)
		if err != nil {
			return err
		}
		if len(brought) == 0 {
			continue
		}
		if used, err = s.propertyRoom(ctx, property); err != nil {
			return err
		}
		if used.full(size) {
			return noRoom("photos of " + s.propertyOf(property).Name)
		}
		s.room.add(property, size)
	}
	return nil
}

// full reports whether size bytes more are too many, and when it is 0, whether any are.
func (r RoomUsed) full(size int64) bool { return r.Of > 0 && r.Bytes+max(size, 1) > r.Of }

// add counts bytes that are about to come, until the photos are counted again.
func (r *rooms) add(property string, bytes int64) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if was, known := r.photos[property]; known {
		was.bytes += bytes
		r.photos[property] = was
	}
}

func (s *Server) deviceRoom(ctx context.Context, device string) (RoomUsed, error) {
	photos, err := s.photos.Room(ctx, device)
	entries, _ := s.room.entries(device, "")
	return RoomUsed{photos + entries, s.room.limits.Device}, err
}

// propertyRoom counts each photo that is one of a property's.
func (s *Server) propertyRoom(ctx context.Context, property string) (RoomUsed, error) {
	r := s.room
	_, entries := r.entries("", property)
	used := RoomUsed{entries, r.limits.Property}
	r.mu.Lock()
	known, ok := r.photos[property]
	r.mu.Unlock()
	if ok && time.Since(known.at) < photosAsOf {
		used.Bytes += known.bytes
		return used, nil
	}
	now, bytes := time.Now(), int64(0)
	p := s.photoNames.of(property)
	if _, err := p.brought(ctx, s.store, property, register.Hash{}); err != nil {
		return used, err
	}
	p.mu.Lock()
	for sha, names := range p.named {
		devices, size, err := s.photos.Sent(ctx, sha)
		if err != nil {
			p.mu.Unlock()
			return used, err
		}
		if slices.ContainsFunc(names, func(n naming) bool { return slices.Contains(devices, n.device.Value()) }) || slices.Contains(devices, store.Anybody) {
			bytes += size
		}
	}
	p.mu.Unlock()
	r.mu.Lock()
	r.photos[property] = photosTaken{now, bytes}
	r.mu.Unlock()
	used.Bytes += bytes
	return used, nil
}

// Tend counts what is kept, then sweeps and looks after the room every hour until ctx ends.
func (s *Server) Tend(ctx context.Context) {
	if err := s.countEntries(ctx); err != nil && ctx.Err() == nil {
		s.log.Error("the room that entries take could not be counted", "error", err)
	}
	for {
		s.tendOnce(ctx)
		select {
		case <-ctx.Done():
			return
		case <-time.After(time.Hour):
		}
	}
}

// PartsKept is for how long a part of a photo is kept after its device last added to it.
const PartsKept = 14 * 24 * time.Hour

func (s *Server) tendOnce(ctx context.Context) {
	swept, err := s.photos.Sweep(ctx, PartsKept)
	if err != nil && ctx.Err() == nil {
		s.log.Error("parts of photos could not be swept", "error", err)
	}
	if swept > 0 {
		s.log.Info("parts of photos were left unfinished for two weeks and are removed; the phones begin them again", "parts", swept)
	}
	if left := s.room.short(1); left != nil {
		s.log.Warn("the disk is nearly full: photos are refused and stay on the phones", "free", s.room.freeWords(), "keep free", SizeWords(s.room.limits.Free))
	}
	for _, row := range s.Devices() {
		if used, err := s.deviceRoom(ctx, row.Device); err == nil && used.Short() {
			s.warn("device "+row.Device, "a phone has little room left: photos are refused when it is full, and stay on it; serve --device-room gives more", "phone", fmt.Sprintf("%d, %s", row.Row, row.Author), "room", used)
		}
	}
	for _, p := range s.Properties() {
		if used, err := s.propertyRoom(ctx, p.ID); err == nil && used.Short() {
			s.warn("property "+p.ID, "a property has little room left: its photos are refused when it is full, and stay on the phones; serve --property-room gives more", "property", p.Name, "room", used)
		}
	}
}

// warn says something once a day.
func (s *Server) warn(about, what string, args ...any) {
	if last, ever := s.room.warned[about]; !ever || time.Since(last) > 24*time.Hour {
		s.room.warned[about] = time.Now()
		s.log.Warn(what, args...)
	}
}

// countEntries reads the entries that were here at the start, once.
func (s *Server) countEntries(ctx context.Context) error {
	properties := s.allProperties()
	until := map[string]uint64{}
	for _, property := range properties {
		newest, err := s.store.Newest(ctx, property)
		if err != nil {
			return err
		}
		until[property] = newest
	}
	for _, property := range properties {
		if err := s.countUpTo(ctx, property, until[property]); err != nil {
			return err
		}
	}
	s.room.counted.Store(true)
	return nil
}

// countUpTo counts the entries of a property up to a number: those that come meanwhile are counted as
// they come.
func (s *Server) countUpTo(ctx context.Context, property string, last uint64) error {
	for at := (store.Position{}); ; {
		page, next, err := s.store.RawAfter(ctx, property, at, namesAtOnce)
		if err != nil {
			return err
		}
		for _, e := range page {
			if e.N > last {
				return nil
			}
			if entry, err := register.Decode(e.Raw); err == nil {
				s.room.took(entry.Device, property, len(e.Raw))
			}
		}
		if len(page) == 0 {
			return nil
		}
		at = next
	}
}

// withRoom adds what devices use, once it is known.
func (s *Server) withRoom(ctx context.Context, rows []DeviceRow) []DeviceRow {
	for i := range rows {
		if used, err := s.deviceRoom(ctx, rows[i].Device); err == nil && s.room.counted.Load() {
			rows[i].Room = &used
		}
	}
	return rows
}
