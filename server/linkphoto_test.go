package server

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"image"
	"image/jpeg"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"headcut/sync/store/storetest"
)

// photographed is a site with so many dams, each photographed once, with a link, and the
// hashes of the photos.
func photographed(t testing.TB, s *site, dams int) (p Property, secret string, shas []string, maker *storetest.Maker) {
	t.Helper()
	p, _, err := s.PropertyOrNew(t.Context(), "Ridge Block")
	if err != nil {
		t.Fatal(err)
	}
	maker = &storetest.Maker{Property: p.ID, Device: plantedPhone}
	var raw []json.RawMessage
	for i := range dams {
		sum := sha256.Sum256(jpegOf(t, i))
		shas = append(shas, hex.EncodeToString(sum[:]))
		raw = append(raw, maker.Entry(fmt.Sprint("dam-", i), nil, "kind", `"check-dam"`, "status", `"built"`,
			"geometry", fmt.Sprintf(`{"type":"Point","coordinates":[147.3,%f]}`, -22.6+float64(i)*1e-4), "photos", `["`+shas[i]+`"]`))
	}
	if _, err := s.bolt.Append(t.Context(), p.ID, raw); err != nil {
		t.Fatal(err)
	}
	if secret, err = s.Share(t.Context(), p, "", s.at.Add(time.Hour)); err != nil {
		t.Fatal(err)
	}
	return p, secret, shas, maker
}

func jpegOf(t testing.TB, i int) []byte {
	t.Helper()
	img := image.NewGray(image.Rect(0, 0, 16, 16))
	img.Pix[0], img.Pix[120], img.Pix[255] = byte(i), byte(i>>8), byte(i>>4)
	for at := range 8 {
		img.Pix[at*20] = byte(i * (at + 3))
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, img, &jpeg.Options{Quality: 100}); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func (s *site) statusOf(secret, sha string) int {
	answer := httptest.NewRecorder()
	s.Handler().ServeHTTP(answer, httptest.NewRequest(http.MethodGet, "/map/"+secret+"/photos/"+sha, nil))
	return answer.Code
}

// A photo that the page no longer shows is refused at once, and one that came is given.
func TestLinkGivesThePhotosThatItsPageShowsNow(t *testing.T) {
	s := newSite(t)
	p, secret, shas, maker := photographed(t, s, 3)
	want := func(when string, statuses ...int) {
		t.Helper()
		for i, status := range statuses {
			if got := s.statusOf(secret, shas[i]); got != status {
				t.Errorf("%s: photo %d: got %d, want %d", when, i, got, status)
			}
		}
	}
	put(t, s, jpegOf(t, 0))
	put(t, s, jpegOf(t, 1))
	want("two came", 200, 200, 404)
	put(t, s, jpegOf(t, 2))
	want("the third came", 200, 200, 200)
	say := func(feature string, pairs ...string) {
		t.Helper()
		if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{maker.Entry(feature, nil, pairs...)}); err != nil {
			t.Fatal(err)
		}
	}
	say("dam-0", "sensitive", "true")
	want("one became sensitive", 404, 200, 200)
	say("look", "kind", `"visit"`, "of", `"dam-1"`, "photos", `["`+shas[0]+`"]`)
	want("a visit shows the same", 200, 200, 200)
	say("look", "sensitive", "true")
	want("and is hidden", 404, 200, 200)
	say("dam-1", "photos", "null")
	want("another lost its photo", 404, 404, 200)
	s.at = s.at.Add(2 * time.Hour)
	want("the link has expired", 410, 410, 410)
}

// Of a large property no more is read for a photo than of a small one.
func TestLinkPhotoIsLookedUp(t *testing.T) {
	allocs := func(dams int) float64 {
		s := newSite(t)
		_, secret, shas, _ := photographed(t, s, dams)
		return testing.AllocsPerRun(20, func() { s.statusOf(secret, shas[1]) })
	}
	if small, large := allocs(5), allocs(400); large > 2*small {
		t.Errorf("a photo takes %.0f allocations among 400 features and %.0f among 5", large, small)
	}
}

// A page asks for each of its photos by a request of its own.
func BenchmarkLinkPhoto(b *testing.B) {
	for _, dams := range []int{100, 2000} {
		b.Run(fmt.Sprint(dams, "-features"), func(b *testing.B) {
			s := newSite(b)
			_, secret, shas, _ := photographed(b, s, dams)
			for b.Loop() { // not received yet: what is measured is whether it may be given
				if got := s.statusOf(secret, shas[7]); got != 404 {
					b.Fatal(got)
				}
			}
		})
	}
}
