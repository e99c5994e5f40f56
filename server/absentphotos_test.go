package server

import (
	"encoding/json"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"headcut/sync/register"
	"headcut/sync/wire"
)

// TestLostPhotosComeAgain: photos are deleted by mistake, and no backup is restored. The office sees
// what is missing and who may have it, and asks the phone at its next connection, which was told
// once that the server has them. That the phone sends them then is shown by
// viewer/fieldtest/sync: TestPhotosLostAtTheServerComeAgain.
func TestLostPhotosComeAgain(t *testing.T) {
	s := newSite(t)
	phone := s.enrolledAs(t, plantedPhone, "R. Field", "Stony Block")
	jpegs := [][]byte{quarters(t, 64, 48), quarters(t, 32, 32)}
	shas := []register.Hash{putNamed(t, s, jpegs[0]), putNamed(t, s, jpegs[1])}
	lists := func(want int, with string) {
		t.Helper()
		var devices []DeviceRow
		var properties []PropertyRow
		for path, rows := range map[string]any{"/office/devices": &devices, "/office/properties": &properties} {
			if status, body := ask(t, http.MethodGet, s.admin.URL+path, ""); status != http.StatusOK || json.Unmarshal([]byte(body), rows) != nil {
				t.Fatalf("%s: %d %s", path, status, body)
			}
		}
		whose := ""
		for _, who := range properties[0].PhotosWith {
			whose += who
		}
		if devices[0].PhotosNotHere != want || properties[0].PhotosNotHere != want || whose != with {
			t.Errorf("the lists say %d and %d photos, with %q; want %d with %q", devices[0].PhotosNotHere, properties[0].PhotosNotHere, whose, want, with)
		}
	}
	lists(0, "")

	for _, sha := range shas {
		if err := os.Remove(filepath.Join(s.dir, "photos", "photo", sha.String())); err != nil {
			t.Fatal(err)
		}
	}
	s.at = s.at.Add(2 * time.Hour)
	lists(2, "R. Field")
	grant, err := s.admitToSync(t.Context(), phone.Token)
	if err != nil {
		t.Fatal(err)
	}
	asked, err := s.wantedPhotos(t.Context(), grant)
	if err != nil || len(asked) != 2 || !slices.Contains(asked, shas[0]) || !slices.Contains(asked, shas[1]) {
		t.Errorf("the phone is asked for %v (%v), want %v", asked, err, shas)
	}
	for _, jpeg := range jpegs {
		put(t, s, jpeg)
	}
	lists(0, "")
}

// TestPhotosAreAskedForAtEachConnection: a phone is asked for what is missing as soon as an entry
// names it, and again at each connection, as the frame may be lost or the photo lost later; of more
// than a frame takes, for the next ones. It is not asked for a photo that it did not bring in.
func TestPhotosAreAskedForAtEachConnection(t *testing.T) {
	s := newSite(t)
	phone := s.enrolledAs(t, plantedPhone, "R. Field", "Stony Block")
	other := s.enrolledAs(t, "d2", "A. Other", "Stony Block")
	property := phone.Properties[0].ID
	asked := func(as enrolAnswer) []register.Hash {
		t.Helper()
		grant, err := s.admitToSync(t.Context(), as.Token)
		if err != nil {
			t.Fatal(err)
		}
		photos, err := s.wantedPhotos(t.Context(), grant)
		if err != nil {
			t.Fatal(err)
		}
		return photos
	}
	wants := func(what string, as enrolAnswer, want ...register.Hash) {
		t.Helper()
		if got := asked(as); !slices.Equal(got, want) {
			t.Errorf("%s: asked for %d photos, want %d", what, len(got), len(want))
		}
	}
	wants("nothing is named", phone)
	var lost []register.Hash
	for i := range wire.MaxPhotos + 20 {
		lost = append(lost, register.HashOf([]byte{byte(i), byte(i >> 8)}))
	}
	names(t, s, property, lost[0])
	wants("named since", phone, lost[0])
	wants("at once again", phone, lost[0])
	names(t, s, property, lost[1:]...)
	here := put(t, s, quarters(t, 64, 48))
	names(t, s, property, here)
	wants("more than a frame takes", phone, lost[:wire.MaxPhotos]...)
	wants("the next", phone, append(slices.Clone(lost[wire.MaxPhotos:]), lost[:wire.MaxPhotos-20]...)...)
	wants("of a phone that brought in none", other)

	if err := os.Remove(filepath.Join(s.dir, "photos", "photo", here.String())); err != nil {
		t.Fatal(err)
	}
	s.at = s.at.Add(allAgainAfter)
	if got := append(asked(phone), asked(phone)...); !slices.Contains(got, here) {
		t.Error("a photo that was lost since is not asked for")
	}
	put(t, s, quarters(t, 64, 48))
	s.at = s.at.Add(absentAgainAfter)
	if got := append(asked(phone), asked(phone)...); slices.Contains(got, here) {
		t.Error("a photo that has come is asked for again")
	}
}
