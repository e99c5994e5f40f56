package server

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"fmt"
	"image/jpeg"
	"slices"
	"testing"
	"time"

	"headcut/sync/register"
	"headcut/sync/store/storetest"
)

// cameraJPEG is a picture of ours into which ExifTool 12.57 wrote what cameras write, as EXIF, XMP,
// IPTC and a comment: 22.6543 S 147.3219 E, 310 m; maker, model, serial number, owner and
// a thumbnail; held as orientation 6 says.
//
//go:embed testdata/camera.jpg
var cameraJPEG []byte

// wordsOfCamera are in cameraJPEG and in what withMore adds.
var wordsOfCamera = []string{"Lenswright", "SN-447120", "LW 26mm", "R. Field", "Q7 firmware", "phone-of-rf", "bora ground", "2026:03:01", "22.6543", "GPS",
	"Display of Q7", "second picture", "moving picture", "JFXX", "xmp", "8BIM"}

// withMore adds what phones write that the tool does not: a colour profile that names its
// display, an extension of JFIF, a list of pictures, and what follows the picture.
func withMore(photo []byte) []byte {
	more := segmentOf(0xE2, "ICC_PROFILE\x00\x01\x01Display of Q7") + segmentOf(0xE0, "JFXX\x00\x13\x01\x01abc") + segmentOf(0xE2, "MPF\x00second picture") + segmentOf(0xFE, "phone-of-rf")
	frame := bytes.LastIndex(photo, []byte{0xFF, 0xC0}) // not that of the thumbnail
	return slices.Concat(photo[:frame], []byte(more), photo[frame:], []byte("\xFF\xD8second picture\xFF\xD9ftyp moving picture"))
}

func segmentOf(marker byte, body string) string {
	return string([]byte{0xFF, marker, byte((len(body) + 2) >> 8), byte(len(body) + 2)}) + body
}

// photoOfLink gives a photo to a link's page, and the address there.
func photoOfLink(t *testing.T, s *site, photo []byte) string {
	t.Helper()
	p, _, err := s.PropertyOrNew(t.Context(), "Ridge Block")
	if err != nil {
		t.Fatal(err)
	}
	device := "d-" + register.HashOf(photo).String()[:8]
	sha := putBy(t, s, device, photo).String()
	maker := &storetest.Maker{Property: p.ID, Device: device}
	entry := maker.Entry("dam-"+sha[:8], nil, "kind", `"check-dam"`, "status", `"built"`, "geometry", `{"type":"Point","coordinates":[147.3,-22.6]}`, "photos", `["`+sha+`"]`)
	if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{entry}); err != nil {
		t.Fatal(err)
	}
	secret, err := s.Share(t.Context(), p, "", s.at.Add(time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	return s.web.URL + "/map/" + secret + "/photos/" + sha
}

// TestLinkPhotoTellsNothingButItsPicture: a photo on a link carries no place, no device and
// nobody's name, its picture is the same to the bit, and it is still held as it was.
func TestLinkPhotoTellsNothingButItsPicture(t *testing.T) {
	s := newSite(t)
	token := enrolled(t, s)
	for name, photo := range map[string][]byte{"as a tool wrote it": cameraJPEG, "with all that phones add": withMore(cameraJPEG)} {
		t.Run(name, func(t *testing.T) {
			address := photoOfLink(t, s, photo)
			for _, size := range []string{"", "?small=1"} {
				res, body := get(t, address+size, "")
				if res.StatusCode != 200 || res.ContentLength != int64(len(body)) {
					t.Fatalf("%s: %s, %d bytes said of %d", size, res.Status, res.ContentLength, len(body))
				}
				for _, word := range wordsOfCamera {
					if bytes.Contains(body, []byte(word)) {
						t.Errorf("%s: the photo says %q", size, word)
					}
				}
				if !bytes.HasSuffix(body, []byte{0xFF, markerEOI}) {
					t.Errorf("%s: something follows the picture", size)
				}
			}
			_, body := get(t, address, "")
			if got := orientation(body); got != 6 {
				t.Errorf("held as %d says, want 6", got)
			}
			want, err := jpeg.Decode(bytes.NewReader(cameraJPEG))
			if err != nil {
				t.Fatal(err)
			}
			got, err := jpeg.Decode(bytes.NewReader(body))
			if err != nil || fmt.Sprint(got) != fmt.Sprint(want) {
				t.Errorf("the picture is another (%v)", err)
			}
			if n := bytes.Count(body, []byte("Exif")); n != 1 {
				t.Errorf("%d EXIF segments, want that with the orientation", n)
			}
			if p, err := s.Property("Ridge Block"); err != nil {
				t.Fatal(err)
			} else if _, err := s.Widen(t.Context(), "d-1", p); err != nil {
				t.Fatal(err)
			}
			_, stored := get(t, s.web.URL+"/photos/"+address[len(address)-64:], token)
			if !bytes.Equal(stored, photo) {
				t.Error("what devices get is no longer the photo as it came")
			}
		})
	}
}

// TestBareSegments: what stays of a segment, by its marker and by what it says it is, however short.
func TestBareSegments(t *testing.T) {
	for _, c := range []struct {
		name, body string
		marker     byte
		want       string
	}{
		{"how colours are coded", "Adobe\x00\x64\x00\x00\x00\x00\x01", markerAdobe, "Adobe\x00\x64\x00\x00\x00\x00\x01"},
		{"with more behind it", "Adobe\x00\x64\x00\x00\x00\x00\x01phone-of-rf", markerAdobe, "Adobe\x00\x64\x00\x00\x00\x00\x01"},
		{"too short", "Adobe\x00\x64\x00\x00\x00\x00", markerAdobe, ""},
		{"of another maker", "phone-of-rf, more", markerAdobe, ""},
		{"of another maker, short", "rf", markerAdobe, ""},
		{"under another marker", "Adobe\x00\x64\x00\x00\x00\x00\x01", 0xED, ""},
		{"JFIF, with a thumbnail", "JFIF\x00\x01\x02\x00\x00\x01\x00\x01\x01\x01abc", markerJFIF, "JFIF\x00\x01\x02\x00\x00\x01\x00\x01\x00\x00"},
		{"JFIF, too short", "JFIF\x00\x01\x02\x00\x00\x01\x00\x01\x00", markerJFIF, ""},
		{"its extension", "JFXX\x00\x13\x01\x01\x01\x01\x01\x01\x01\x01abc", markerJFIF, ""},
		{"an extension of JPEG", "phone-of-rf", 0xC8, ""},
		{"a comment", "phone-of-rf", 0xFE, ""},
		{"EXIF of nothing", "Exif\x00\x00MM\x00*\x00\x00\x00\x00", markerExif, ""},
	} {
		if got := bareSegment(c.marker, []byte(c.body)); string(got) != c.want {
			t.Errorf("%s: %q stays of %q, want %q", c.name, got, c.body, c.want)
		}
	}
}

// TestLinkRefusesPhotoItCannotBare: what is no JPEG all through may hide anything.
func TestLinkRefusesPhotoItCannotBare(t *testing.T) {
	s := newSite(t)
	for name, photo := range map[string]string{
		"no picture": "phone-of-rf", "only a head": string(cameraJPEG[:200]), "a head and no picture": "\xFF\xD8\xFF\xD9phone-of-rf",
		"bytes out of place": "\xFF\xD8phone-of-rf" + string(cameraJPEG[2:]), "another kind": "\x89PNG\r\n\x1a\nphone-of-rf",
	} {
		res, body := get(t, photoOfLink(t, s, []byte(photo)), "")
		if p := problemIn(t, string(body)); res.StatusCode != 422 || p.Fix == "" || bytes.Contains(body, []byte("phone-of-rf")) {
			t.Errorf("%s: answered %s %s", name, res.Status, body)
		}
	}
	if res, body := get(t, photoOfLink(t, s, cameraJPEG[:len(cameraJPEG)-200]), ""); res.StatusCode != 200 || bytes.Contains(body, []byte("GPS")) {
		t.Errorf("one that is cut off within its picture: %s", res.Status)
	}
}

// FuzzBarePhoto: whatever is sent in, nothing of a comment leaves, and what leaves is bare.
func FuzzBarePhoto(f *testing.F) {
	f.Add(cameraJPEG)
	f.Add(withMore(cameraJPEG))
	f.Fuzz(func(t *testing.T, photo []byte) {
		var once, twice bytes.Buffer
		if writeBare(&once, bytes.NewReader(photo)) != nil {
			return
		}
		if err := writeBare(&twice, bytes.NewReader(once.Bytes())); err != nil || !bytes.Equal(once.Bytes(), twice.Bytes()) {
			t.Errorf("bared twice it is another: %v", err)
		}
	})
}

// TestNothingIsForSearchEngines: no answer of the network's side may be listed anywhere.
func TestNothingIsForSearchEngines(t *testing.T) {
	s := newSite(t)
	photo := photoOfLink(t, s, cameraJPEG)
	link := photo[:len(photo)-len("/photos/")-64]
	for _, address := range []string{link, link + "/land.json", link + "/works.kml", link + "/works.geojson", photo, photo + "?small=1", link + "x", link + "x/land.json", s.web.URL + "/", s.web.URL + "/field/", s.web.URL + "/nowhere"} {
		res, body := get(t, address, "")
		if got := res.Header.Get("X-Robots-Tag"); got != "noindex, nofollow, noarchive, noimageindex" {
			t.Errorf("%s: X-Robots-Tag is %q", address, got)
		}
		if page := bytes.Contains(body, []byte("<html")); page && !bytes.Contains(body, []byte(`<meta name="robots" content="noindex">`)) {
			t.Errorf("%s: the page does not say noindex", address)
		}
	}
}
