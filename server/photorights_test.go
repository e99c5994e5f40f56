package server

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/photo"
	"headcut/sync/register"
)

// plantedPhone is the device that names the photos of these tests, and sent them.
const plantedPhone = "planted1"

var plantedEntries atomic.Uint64

// names has the register of a property name a photo, as a phone's entry does before the photo
// itself comes.
func names(t *testing.T, s *site, property string, shas ...register.Hash) {
	t.Helper()
	for _, sha := range shas {
		hash := register.HashOf(append([]byte(property), sha[:]...))
		list, err := json.Marshal([]register.Hash{sha})
		if err != nil {
			t.Fatal(err)
		}
		raw, err := register.Encode(register.Entry{
			Version: 1, ID: register.ID(fmt.Sprintf("%x-%x-7000-8000-%x", hash[:4], hash[4:6], hash[6:12])), Property: property, Feature: fmt.Sprintf("f-%x", hash[:8]),
			Device: plantedPhone, DeviceSeq: plantedEntries.Add(1), Stamp: register.Stamp(1 << 20), SeenAt: "2026-03-01T18:00:00+10:00", Author: "R. Field",
			Set: model.FieldValuesOf(map[string]json.RawMessage{"kind": json.RawMessage(`"photo-point"`), "photos": list}),
		})
		if err != nil {
			t.Fatal(err)
		}
		receipts, err := s.store.Append(t.Context(), property, []json.RawMessage{raw})
		if err != nil || receipts[0].Refused != "" {
			t.Fatalf("naming a photo: %+v %v", receipts, err)
		}
	}
}

// A phone reads the photos that its own properties name: not those of others, though it may have
// heard of their hashes, as when it had the right to a property once.
func TestPhotosAreReadByTheirProperties(t *testing.T) {
	s := newSite(t)
	ours := s.enrolledAs(t, "d1", "R. Field", "Stony Block")
	theirs := s.enrolledAs(t, "d2", "A. Neighbour", "Saltbush Flat")
	block, flat := ours.Properties[0].ID, theirs.Properties[0].ID
	first, later, foreign := put(t, s, quarters(t, 64, 48)), put(t, s, quarters(t, 48, 64)), put(t, s, quarters(t, 32, 32))
	names(t, s, block, first)
	names(t, s, flat, foreign)
	wants := func(what string, as enrolAnswer, sha register.Hash, status int) {
		t.Helper()
		for _, small := range []string{"", "?small=1"} {
			if res, body := get(t, s.web.URL+"/photos/"+sha.String()+small, as.Token); res.StatusCode != status {
				t.Errorf("%s%s: got %s %.80s, want %d", what, small, res.Status, body, status)
			}
		}
	}
	wants("a photo of one's own property", ours, first, http.StatusOK)
	wants("a photo of another property", theirs, first, http.StatusNotFound)
	wants("the other way round", ours, foreign, http.StatusNotFound)
	wants("a photo that nothing names", ours, later, http.StatusNotFound)
	names(t, s, block, later)
	wants("a photo named after the first was asked for", ours, later, http.StatusOK)
	wants("the same, from elsewhere", theirs, later, http.StatusNotFound)

	if _, err := s.Widen(t.Context(), "d2", Property{ID: block}); err != nil {
		t.Fatal(err)
	}
	wants("after the right was given", theirs, first, http.StatusOK)
	if _, err := s.Narrow(t.Context(), "d2", "Stony Block"); err != nil {
		t.Fatal(err)
	}
	wants("after the right was taken", theirs, first, http.StatusNotFound)
	if _, err := s.RevokeDevice(t.Context(), "d1"); err != nil {
		t.Fatal(err)
	}
	wants("with no rights at all", ours, first, http.StatusForbidden)

	// A merged property's photos are those of the one it is part of.
	phone := s.connects(t, theirs)
	phone.begins("begun-1", "Back Country")
	names(t, s, "begun-1", later)
	if _, err := s.Merge(t.Context(), "Back Country", "Saltbush Flat"); err != nil {
		t.Fatal(err)
	}
	third := s.enrolledAs(t, "d3", "B. Field", "Saltbush Flat")
	wants("of a property merged into one's own", third, later, http.StatusOK)
}

// putNamed stores a photo that the property of enrolled names.
func putNamed(t *testing.T, s *site, photo []byte) register.Hash {
	t.Helper()
	p, err := s.Property("Stony Block")
	if err != nil {
		t.Fatal(err)
	}
	sha := put(t, s, photo)
	names(t, s, p.ID, sha)
	return sha
}

// sendPart sends a part of a photo as a phone does, and gives the answer.
func sendPart(t *testing.T, s *site, as enrolAnswer, sha register.Hash, off, size int, part []byte) *http.Response {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), "PATCH", s.web.URL+"/photos/"+sha.String(), bytes.NewReader(part))
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Authorization", "Bearer "+as.Token)
	req.Header.Set("Upload-Offset", strconv.Itoa(off))
	req.Header.Set("Upload-Length", strconv.Itoa(size))
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	_ = res.Body.Close()
	return res
}

// hasPhotoSays is what the server answers to a phone that asks how much of a photo is there.
func hasPhotoSays(t *testing.T, s *site, as enrolAnswer, sha register.Hash) photo.Progress {
	t.Helper()
	have, err := (&photo.Client{Base: s.web.URL, Token: as.Token}).Has(t.Context(), sha)
	if err != nil {
		t.Fatal(err)
	}
	return have
}

// A phone that has learnt the hash of another property's photo names it in an entry of its own: the
// photo does not become readable by that, nor by anybody adding to the same list, nor through a
// landholder's link. It does when a phone that names it sends the bytes.
func TestNamingAPhotoIsNotHavingIt(t *testing.T) {
	s := newSite(t)
	officer := s.enrolledAs(t, "officer1", "R. Field", "Stony Block", "Saltbush Flat")
	thief := s.enrolledAs(t, "thief1", "A. Neighbour", "Saltbush Flat")
	p, err := s.Property("Stony Block")
	if err != nil {
		t.Fatal(err)
	}
	flat := thief.Properties[0].ID
	secret := quarters(t, 64, 48)
	sha := register.HashOf(secret)
	seqs := map[string]uint64{}
	name := func(as enrolAnswer, property string, saw map[string]uint64, shas ...register.Hash) {
		t.Helper()
		seqs[as.Device+property]++
		list, err := json.Marshal(shas)
		if err != nil {
			t.Fatal(err)
		}
		set := map[string]json.RawMessage{"photos": list}
		if saw == nil {
			set["kind"], set["status"] = json.RawMessage(`"check-dam"`), json.RawMessage(`"built"`)
		}
		hash := register.HashOf([]byte(as.Device + property + strconv.Itoa(int(seqs[as.Device+property]))))
		raw, err := register.Encode(register.Entry{Version: 1, ID: register.ID(fmt.Sprintf("%x-%x-7000-8000-%x", hash[:4], hash[4:6], hash[6:12])), Property: property, Feature: "dam",
			Device: as.Device, DeviceSeq: seqs[as.Device+property], Stamp: register.Stamp(1 << 20), SeenAt: "2026-03-01T18:00:00+10:00", Author: as.Author, Saw: saw, Set: model.FieldValuesOf(set)})
		if err != nil {
			t.Fatal(err)
		}
		if receipts, err := s.store.Append(t.Context(), property, []json.RawMessage{raw}); err != nil || receipts[0].Refused != "" {
			t.Fatalf("naming a photo: %+v %v", receipts, err)
		}
	}
	reads := func(what string, as enrolAnswer, may bool) {
		t.Helper()
		for _, small := range []string{"", "?small=1"} {
			if res, _ := get(t, s.web.URL+"/photos/"+sha.String()+small, as.Token); (res.StatusCode == http.StatusOK) != may {
				t.Errorf("%s%s: got %s, want it read: %v", what, small, res.Status, may)
			}
		}
	}
	name(officer, p.ID, nil, sha)
	if res := sendPart(t, s, officer, sha, 0, len(secret), secret); res.StatusCode != http.StatusNoContent {
		t.Fatalf("sending: %s", res.Status)
	}
	reads("the officer who took it", officer, true)

	if have := hasPhotoSays(t, s, thief, sha); have.Complete || have.Offset != 0 {
		t.Errorf("who knows the hash alone is told %+v, want nothing", have)
	}
	name(thief, flat, nil, sha)
	reads("who names it in a property of theirs", thief, false)
	if have := hasPhotoSays(t, s, thief, sha); have.Complete || have.Offset != 0 {
		t.Errorf("who names it is told %+v, want to be asked for the bytes", have)
	}
	// The officer adds a photo to the list that the thief began, and so writes all its hashes.
	name(officer, flat, map[string]uint64{"thief1": 1}, sha, register.HashOf([]byte("one more")))
	reads("after an honest phone added to the list", thief, false)
	link, err := s.Share(t.Context(), thief.Properties[0], "a neighbour", s.at.Add(time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	if res, _ := get(t, s.web.URL+"/map/"+link+"/photos/"+sha.String(), ""); res.StatusCode != http.StatusNotFound {
		t.Errorf("through a link of the thief's property: %s, want not found", res.Status)
	}
	wrong := bytes.Repeat([]byte{7}, len(secret))
	if res := sendPart(t, s, thief, sha, 0, len(wrong), wrong); res.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("guessed bytes: %s, want refused", res.Status)
	}
	reads("after guessed bytes", thief, false)
	reads("the officer, all the while", officer, true)

	if res := sendPart(t, s, thief, sha, 0, len(secret), secret); res.StatusCode != http.StatusNoContent {
		t.Fatalf("sending the bytes: %s", res.Status)
	}
	reads("who had the bytes and sent them", thief, true)
	s.shut() // what is known of it outlives the process
	s.Server = openSite(t, s.dir, s.at).Server
	s.web = httptest.NewServer(s.Handler())
	reads("after a restart", thief, true)
	if files, _ := filepath.Glob(filepath.Join(s.dir, "photos", "photo", "*")); len(files) != 1 {
		t.Errorf("%d photos are kept, want one", len(files))
	}
}

// A phone that says in the entry of its photo that it saw all that another will ever write does not
// take the photo from the property by that, once that other has added to the list.
func TestForgedSightTakesNoPhotoAway(t *testing.T) {
	s := newSite(t)
	officer := s.enrolledAs(t, "officer1", "R. Field", "Stony Block")
	forger := s.enrolledAs(t, "forger1", "A. Neighbour", "Stony Block")
	taken := quarters(t, 64, 48)
	sha := register.HashOf(taken)
	for i, by := range []struct {
		enrolAnswer
		saw map[string]uint64
		set map[string]json.RawMessage
	}{
		{forger, map[string]uint64{"officer1": 1<<53 - 1}, map[string]json.RawMessage{"kind": json.RawMessage(`"gully-head"`), "photos": json.RawMessage(`["` + sha.String() + `"]`)}},
		{officer, map[string]uint64{"forger1": 1}, map[string]json.RawMessage{"photos": json.RawMessage(`["` + sha.String() + `","` + register.HashOf([]byte("one more")).String() + `"]`)}},
	} {
		s.at = s.at.Add(time.Hour)
		raw, err := register.Encode(register.Entry{Version: 1, ID: register.ID(fmt.Sprintf("0192a000-0000-7000-8000-%012d", i)), Property: by.Properties[0].ID, Feature: "head", Device: by.Device, DeviceSeq: 1,
			Stamp: register.StampAt(s.at), SeenAt: s.at.Format(time.RFC3339), Author: by.Author, Saw: by.saw, Set: model.FieldValuesOf(by.set)})
		if err != nil {
			t.Fatal(err)
		}
		if receipts, err := s.store.Append(t.Context(), by.Properties[0].ID, []json.RawMessage{raw}); err != nil || receipts[0].Refused != "" {
			t.Fatalf("naming the photo: %+v %v", receipts, err)
		}
	}
	if res := sendPart(t, s, forger, sha, 0, len(taken), taken); res.StatusCode != http.StatusNoContent {
		t.Fatalf("sending: %s", res.Status)
	}
	for _, by := range []enrolAnswer{officer, forger} {
		if res, _ := get(t, s.web.URL+"/photos/"+sha.String(), by.Token); res.StatusCode != http.StatusOK {
			t.Errorf("the photo is answered to %s with %s, want it read", by.Device, res.Status)
		}
	}
}

// A phone that was enrolled again under another id sends what it recorded under the former one.
func TestPhotoOfAFormerID(t *testing.T) {
	s := newSite(t)
	first := s.enrolledAs(t, "d1", "R. Field", "Stony Block")
	taken := quarters(t, 64, 48)
	sha := register.HashOf(taken)
	raw, err := register.Encode(register.Entry{Version: 1, ID: "0192a000-0000-7000-8000-000000000001", Property: first.Properties[0].ID, Feature: "head", Device: "d1", DeviceSeq: 1, Stamp: 1 << 20,
		SeenAt: "2026-03-01T18:00:00+10:00", Author: "R. Field", Set: model.FieldValuesOf(map[string]json.RawMessage{"kind": json.RawMessage(`"gully-head"`), "photos": json.RawMessage(`["` + sha.String() + `"]`)})})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.store.Append(t.Context(), first.Properties[0].ID, []json.RawMessage{raw}); err != nil {
		t.Fatal(err)
	}
	for device, proof := range map[string]string{"d2": first.Token, "d3": strings.Repeat("x", 40)} {
		code, _, err := s.InviteDevice(t.Context(), "R. Field", first.Properties[0])
		if err != nil {
			t.Fatal(err)
		}
		body, err := json.Marshal(map[string]any{"code": code, "device": device, "token": strings.Repeat(device, 40)[:40], "former": map[string]string{"device": "d1", "token": proof}})
		if err != nil {
			t.Fatal(err)
		}
		var again enrolAnswer
		if _, answer := ask(t, "POST", s.web.URL+"/enrol", string(body)); json.Unmarshal([]byte(answer), &again) != nil || again.Token == "" {
			t.Fatalf("enrolling again: %s", answer)
		}
		if device == "d3" {
			continue // it proved nothing, and sends nothing
		}
		if res := sendPart(t, s, again, sha, 0, len(taken), taken); res.StatusCode != http.StatusNoContent {
			t.Fatalf("sending: %s", res.Status)
		}
		if res, _ := get(t, s.web.URL+"/photos/"+sha.String(), again.Token); res.StatusCode != http.StatusOK {
			t.Errorf("a photo named under the former id: %s, want it read", res.Status)
		}
	}
}

// No device can spoil, learn of or hold up what another has sent half.
func TestHalfSentPhotosAreTheirDevices(t *testing.T) {
	s := newSite(t)
	honest := s.enrolledAs(t, "honest1", "R. Field", "Stony Block")
	spoiler := s.enrolledAs(t, "spoiler1", "A. Neighbour", "Stony Block")
	taken := quarters(t, 320, 240)
	sha, half := register.HashOf(taken), len(taken)/2
	if res := sendPart(t, s, spoiler, sha, 0, len(taken), bytes.Repeat([]byte{9}, half)); res.StatusCode != http.StatusNoContent {
		t.Fatalf("the spoiler's half: %s", res.Status)
	}
	if have := hasPhotoSays(t, s, honest, sha); have.Offset != 0 {
		t.Errorf("the honest phone is told of %d bytes that it did not send", have.Offset)
	}
	if res := sendPart(t, s, honest, sha, 0, len(taken), taken[:half]); res.StatusCode != http.StatusNoContent {
		t.Fatalf("the honest half: %s", res.Status)
	}
	if res := sendPart(t, s, spoiler, sha, half, len(taken), bytes.Repeat([]byte{9}, len(taken)-half)); res.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("the spoiler's end: %s, want its own parts dropped", res.Status)
	}
	if res := sendPart(t, s, honest, sha, half, len(taken), taken[half:]); res.StatusCode != http.StatusNoContent || res.Header.Get("Upload-Complete") != "?1" {
		t.Errorf("the honest end: %s, want the receipt", res.Status)
	}
}

// Photos that came before it was kept who sent them belong to the properties that named them then:
// to those that name them later they do not. What nothing named then is its first namer's.
func TestPhotosOfAnOlderServer(t *testing.T) {
	s := newSite(t)
	ours := s.enrolledAs(t, "d1", "R. Field", "Stony Block")
	theirs := s.enrolledAs(t, "d2", "A. Neighbour", "Saltbush Flat")
	named, stray := put(t, s, quarters(t, 64, 48)), put(t, s, quarters(t, 48, 64))
	names(t, s, ours.Properties[0].ID, named)
	s.shut()
	if err := os.WriteFile(filepath.Join(s.dir, "photos", "received"), []byte(named.String()+"\n"+stray.String()+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	wants := func(what string, as enrolAnswer, sha register.Hash, status int) {
		t.Helper()
		if res, _ := get(t, s.web.URL+"/photos/"+sha.String(), as.Token); res.StatusCode != status {
			t.Errorf("%s: %s, want %d", what, res.Status, status)
		}
	}
	for range 2 { // the second time the list is as this version keeps it
		s = openSite(t, s.dir, s.at)
		wants("named by its property", ours, named, http.StatusOK)
		wants("named nowhere", ours, stray, http.StatusNotFound)
		s.shut()
	}
	s = openSite(t, s.dir, s.at)
	raw, err := register.Encode(register.Entry{Version: 1, ID: "0192a000-0000-7000-8000-000000000001", Property: theirs.Properties[0].ID, Feature: "head", Device: "d2", DeviceSeq: 1, Stamp: 1 << 20,
		SeenAt: "2026-03-01T18:00:00+10:00", Author: "A. Neighbour", Set: model.FieldValuesOf(map[string]json.RawMessage{"kind": json.RawMessage(`"gully-head"`), "photos": json.RawMessage(`["` + named.String() + `","` + stray.String() + `"]`)})})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.store.Append(t.Context(), theirs.Properties[0].ID, []json.RawMessage{raw}); err != nil {
		t.Fatal(err)
	}
	wants("named by another after the upgrade", theirs, named, http.StatusNotFound)
	wants("that nothing named", theirs, stray, http.StatusOK)
}

// A photo that somebody hands in with a file that no phone sealed is the property's whose entry in
// the file names it, and no other's: a file that names a photo and has not its bytes gives nothing.
func TestPhotoHandedInIsItsPropertys(t *testing.T) {
	s := newSite(t)
	officer := s.enrolledAs(t, "officer1", "R. Field", "Stony Block", "Saltbush Flat")
	handed, sent := quarters(t, 64, 48), quarters(t, 48, 64)
	if res := sendPart(t, s, officer, register.HashOf(sent), 0, len(sent), sent); res.StatusCode != http.StatusNoContent {
		t.Fatalf("sending: %s", res.Status)
	}
	items := saved(t, officer.Properties[0].ID, 1, 2, handed)
	for i, sha := range []register.Hash{register.HashOf(handed), register.HashOf(sent)} {
		e, err := register.Decode(items[i].Entry)
		if err != nil {
			t.Fatal(err)
		}
		e.Device, e.Set = "officer1", e.Set.With("photos", json.RawMessage(`["`+sha.String()+`"]`)) // as a forger writes it
		if items[i].Entry, err = register.Encode(e); err != nil {
			t.Fatal(err)
		}
	}
	if taken := carry(t, s, 0, items...); taken.HandedIn != 2 || taken.PhotosNew != 1 {
		t.Fatalf("handed in: %+v", taken)
	}
	for sha, want := range map[register.Hash]int{register.HashOf(handed): http.StatusOK, register.HashOf(sent): http.StatusNotFound} {
		if res, _ := get(t, s.web.URL+"/photos/"+sha.String(), officer.Token); res.StatusCode != want {
			t.Errorf("%s: %s, want %d", sha, res.Status, want)
		}
	}
}
