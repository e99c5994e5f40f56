package server

import (
	"encoding/json"
	"fmt"
	"net/http"
	"testing"

	"headcut/sync/register"
)

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
			Device: fmt.Sprintf("planted-%x", hash[:8]), DeviceSeq: 1, Stamp: register.Stamp(1 << 20), SeenAt: "2026-03-01T18:00:00+10:00", Author: "R. Field",
			Set: map[string]json.RawMessage{"kind": json.RawMessage(`"photo-point"`), "photos": list},
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
	phone := s.talks(t, theirs)
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
