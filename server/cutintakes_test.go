package server

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/storetest"
)

// TestIntakeUnderWayStaysOpen: looking at the list closes what was cut off, and nothing that goes on.
func TestIntakeUnderWayStaysOpen(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Flat")
	if err != nil {
		t.Fatal(err)
	}
	maker := &storetest.Maker{Property: p.ID, Device: plantedPhone}
	if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{maker.Entry("a", nil, "kind", `"peg"`), maker.Entry("b", nil, "kind", `"peg"`), maker.Entry("a", nil, "name", `"A"`)}); err != nil {
		t.Fatal(err)
	}
	record := func(id string, after uint64, unfinished bool) change {
		return made(&intakeRecord{filed: filed{id: id}, Number: int(after) + 1, Property: p.ID, File: id + ".csv", Unfinished: unfinished, Ranges: []numberRange{{Register: p.ID, After: after}}})
	}
	if err := s.office.write(t.Context(), officeAuthor, record("cut", 0, true), record("goes-on", 1, true)); err != nil {
		t.Fatal(err)
	}
	s.underway["goes-on"] = true
	all := s.Intakes(t.Context())
	if len(all) != 2 || !all[0].CutOff || all[0].Underway || all[1].CutOff || !all[1].Underway {
		t.Errorf("the list is %+v", all)
	}
	for id, want := range map[string]uint64{"cut": 3, "goes-on": 0} {
		if got := s.office.intakes.of(id).Ranges; len(got) != 1 || got[0].UpTo != want {
			t.Errorf("%s has the entries %+v, want them up to %d", id, got, want)
		}
	}
	if _, err := s.UndoIntake(t.Context(), 2, ""); err == nil || !strings.Contains(err.Error(), "intake 2 is still on its way in") {
		t.Errorf("undone while it comes in: %v", err)
	}
	delete(s.underway, "goes-on")
	if all := s.Intakes(t.Context()); !all[1].CutOff || all[1].Underway {
		t.Errorf("when nobody goes on with it, it is %+v", all[1])
	}
}

// TestWhyAnIntakeWasCutOff, and how much of it is in, as far as that can be known.
func TestWhyAnIntakeWasCutOff(t *testing.T) {
	s := newSite(t)
	s.folder = "/data"
	p, _, err := s.PropertyOrNew(t.Context(), "Flat")
	if err != nil {
		t.Fatal(err)
	}
	for why, want := range map[error]string{&model.Problem{Path: "p", Reason: "no"}: "p: no", context.Canceled: "the command was ended", fmt.Errorf("x: %w", store.ErrFull): "the disk that /data is on is full", errors.New("odd"): "odd"} {
		if got := s.whyCutOff(why); got != want {
			t.Errorf("%v: %q, want %q", why, got, want)
		}
	}
	if err := s.office.write(t.Context(), officeAuthor, made(&intakeRecord{filed: filed{id: "i"}, Number: 7, Property: p.ID, File: "f", Unfinished: true, New: 5, Ranges: []numberRange{{Register: p.ID}}})); err != nil {
		t.Fatal(err)
	}
	run := &intakeRun{s: s.Server, id: "i", number: 7, file: "f"}
	if got := s.cutOff(t.Context(), run, context.Canceled); got.Reason != "the command was ended: intake 7 was cut off; it made 0 and edited 0 features before that" || !strings.Contains(got.Fix, "--undo 7") {
		t.Errorf("told %v", got)
	}
	if err := s.bolt.Close(); err != nil {
		t.Fatal(err)
	}
	s.office.intakes.of("i").Ranges = []numberRange{{Register: p.ID}}
	if got := s.cutOff(t.Context(), run, context.Canceled); !strings.HasSuffix(got.Reason, "what of the file is in could not be counted") {
		t.Errorf("of a store that fails told %v", got)
	}
}

// TestFileIsTakenInUnderAPart: what a merged property has of a feature stays in that one's register.
func TestFileIsTakenInUnderAPart(t *testing.T) {
	s := newSite(t)
	root, _, err := s.PropertyOrNew(t.Context(), "Saltbush")
	if err != nil {
		t.Fatal(err)
	}
	part, _, err := s.PropertyOrNew(t.Context(), "Hut")
	if err != nil {
		t.Fatal(err)
	}
	if _, problem := s.change(t, PropertyChange{Do: "merge", Which: "Hut", Into: "Saltbush"}); problem != "" {
		t.Fatal(problem)
	}
	made := ofRows(t, root.ID)
	phone := &storetest.Maker{Property: part.ID, Device: plantedPhone}
	say := func(i int, strike bool) {
		t.Helper()
		raws := []json.RawMessage{phone.Entry(made[i].Feature, nil, "kind", `"check-dam"`, "notes", `"since"`)}
		if strike {
			raws = append(raws, phone.Strike(made[i].Feature, nil, true))
		}
		if _, err := s.bolt.Append(t.Context(), part.ID, raws); err != nil {
			t.Fatal(err)
		}
	}
	say(0, false)
	say(1, true)
	taken := takeRows(t, s, hiddenRows)
	if taken.New != 2 || taken.Edited != 2 || taken.StruckFeatures != 1 || len(taken.Refused) > 0 {
		t.Errorf("taken %+v", taken)
	}
	for i := range made {
		if there, err := s.bolt.EntriesOf(t.Context(), part.ID, made[i].Feature); err != nil || len(there) != 2+i {
			t.Errorf("the part has %d entries of feature %d, %v", len(there), i, err)
		}
		if there, err := s.bolt.EntriesOf(t.Context(), root.ID, made[i].Feature); err != nil || len(there) > 0 {
			t.Errorf("the whole has %d entries of feature %d, %v", len(there), i, err)
		}
	}
}

// twiceTried fails to keep photos for some time.
type twiceTried struct {
	store.Photos
	fails []error
	tries int
}

func (p *twiceTried) Offset(context.Context, store.Sending) (int64, error) { return 3, nil }

func (p *twiceTried) WriteAt(_ context.Context, _ store.Sending, at, size int64, r io.Reader, _ ...store.PhotoCheck) (int64, error) {
	raw, err := io.ReadAll(r)
	if err != nil || string(raw) != "toe"[min(at, 3):] {
		return 0, fmt.Errorf("of %d bytes from %d on came %q, %v", size, at, raw, err)
	}
	if p.tries++; p.tries <= len(p.fails) {
		return at, p.fails[p.tries-1]
	}
	return size, nil
}

// TestDamagedUploadIsDroppedOnce: a photo of a file is tried again when what a phone had sent of it was
// damaged, once.
func TestDamagedUploadIsDroppedOnce(t *testing.T) {
	odd := errors.New("odd")
	for name, c := range map[string]struct {
		fails []error
		tries int
		want  error
	}{
		"good": {nil, 1, nil}, "damaged before": {[]error{store.ErrPhotoDamaged}, 2, nil}, "damaged": {[]error{store.ErrPhotoDamaged, store.ErrPhotoDamaged, store.ErrPhotoDamaged}, 2, store.ErrPhotoDamaged}, "odd": {[]error{odd, nil}, 1, odd},
	} {
		s := newSite(t)
		photos := &twiceTried{Photos: s.photos, fails: c.fails}
		s.photos = photos
		err := (&handoverTaking{s: s.Server, ctx: t.Context()}).photoOf(store.Sending{Device: "d1", SHA: register.Hash{1}}, []byte("toe"))
		if !errors.Is(err, c.want) || photos.tries != c.tries {
			t.Errorf("%s: %v after %d tries", name, err, photos.tries)
		}
	}
}

// TestEnrollingOnAStoreThatFails is answered as the server's own trouble, and the code is good after it.
func TestEnrollingOnAStoreThatFails(t *testing.T) {
	s := newSite(t)
	_, code := s.invited(t, "Flat")
	if err := s.bolt.Close(); err != nil {
		t.Fatal(err)
	}
	status, body := s.tries(t, enrolRequest{Code: code, Device: "d1", Token: strings.Repeat("d1", 20)})
	if status != 500 || !strings.Contains(body, "the server could not do this") {
		t.Errorf("%d %s", status, body)
	}
}
