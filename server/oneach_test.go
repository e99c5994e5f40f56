package server

import (
	"encoding/json"
	"slices"
	"testing"

	"headcut/model"
	"headcut/sync/exchange"
	"headcut/sync/register"
)

// TestItemsWithFigures are works, what was visited, and the two kinds that have figures of their own.
func TestItemsWithFigures(t *testing.T) {
	b := bookOf(t, folded(t, "seen", fields{"kind": "hazard"}), folded(t, "v", fields{"kind": "visit", "of": "seen"}))
	for i := range model.Kinds {
		kind := &model.Kinds[i]
		want := kind.Work || kind.Name == "scald" || kind.Name == "gully-head"
		if got := b.usesSheet(kind, "other"); got != want {
			t.Errorf("a %s has figures: %t", kind.Name, got)
		}
		if !b.usesSheet(kind, "seen") {
			t.Errorf("a %s that was visited has no figures", kind.Name)
		}
	}
}

// TestPropertiesOfADevice are named once each, and a part within the whole not at all.
func TestPropertiesOfADevice(t *testing.T) {
	s := newSite(t)
	property := func(id, name, into string) change {
		return made(&propertyRecord{filed: filed{id: id}, Name: name, MergedInto: into})
	}
	if err := s.office.write(t.Context(), officeAuthor, property("a", "Flat", ""), property("b", "Flat", ""), property("c", "Hut", "a"), property("d", "Creek", ""),
		made(&deviceRecord{filed: filed{id: "1"}, Device: "d1", Author: "R. Field", Properties: []string{"a", "b", "c", "d"}}),
		made(&deviceRecord{filed: filed{id: "2"}, Device: "d2", Author: "A. Marri", Properties: []string{"c"}})); err != nil {
		t.Fatal(err)
	}
	for i, want := range [][]string{{"Flat", "Creek"}, {"Flat"}} {
		if got := s.Devices()[i].Properties; !slices.Equal(got, want) {
			t.Errorf("device %d has %q, want %q", i+1, got, want)
		}
	}
}

// TestPhotosOfWhatAPhoneWas are asked for of what it is now.
func TestPhotosOfWhatAPhoneWas(t *testing.T) {
	s := newSite(t)
	as := s.enrolledAs(t, "d2", "R. Field", "Flat")
	property := as.Properties[0].ID
	d := s.office.devices.one(byDevice, "d2")
	if err := s.office.write(t.Context(), officeAuthor, changed(d, func(d *deviceRecord) { d.FormerIDs = []string{"d1"} })); err != nil {
		t.Fatal(err)
	}
	sha := func(n byte) register.Hash { return register.Hash{n} }
	s.absent.of.Store(property, &absence{all: s.at, last: s.at, photos: []absentPhoto{{sha(1), []string{"d1"}}, {sha(2), []string{"d2"}}, {sha(3), []string{"d3"}}, {sha(4), []string{"d3", "d1"}}, {sha(1), []string{"d2"}}}})
	got, err := s.wantedPhotos(t.Context(), exchange.Grant{Device: "d2", Properties: []string{property}})
	if err != nil || !slices.Equal(got, []register.Hash{sha(1), sha(2), sha(4)}) {
		t.Errorf("asked for %v, %v", got, err)
	}
}

// TestIntakeOfOneRowIsUndone, also where its entry is the first of the register.
func TestIntakeOfOneRowIsUndone(t *testing.T) {
	s := newSite(t)
	taken := s.takes(t, "one.csv", "latitude,longitude,name\n-19.1,144.2,One\n", "")
	if taken.NewFeatures != 1 || taken.New != 1 {
		t.Fatalf("taken: %+v", taken)
	}
	undone, err := s.UndoIntake(t.Context(), 1, "")
	if err != nil || undone.Struck != 1 || undone.Unchanged != 0 {
		raw, _ := json.Marshal(undone)
		t.Errorf("undone: %s, %v", raw, err)
	}
}
