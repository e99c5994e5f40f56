package server

import (
	"bytes"
	_ "embed"
	"encoding/binary"
	"encoding/json"
	"image"
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
// nobody's name, wherever they stood in its file; it is upright and looks the same.
func TestLinkPhotoTellsNothingButItsPicture(t *testing.T) {
	s := newSite(t)
	token := enrolled(t, s)
	for name, photo := range map[string][]byte{"as a tool wrote it": cameraJPEG, "with all that phones add": withMore(cameraJPEG), "with bytes out of place": slices.Concat(cameraJPEG[:2], []byte("phone-of-rf"), cameraJPEG[2:]), "with notes behind what is coded": notedBehindScans(cameraJPEG, "phone-of-rf ")} {
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
			want, err := asShared.draw(cameraJPEG)
			if err != nil || !bytes.Equal(body, want) {
				t.Errorf("the picture is another (%v)", err)
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

// TestLinkPhotoIsUprightAndWhole: as large as it was sent, and turned as the camera was held.
func TestLinkPhotoIsUprightAndWhole(t *testing.T) {
	s := newSite(t)
	_, body := get(t, photoOfLink(t, s, withExif(binary.LittleEndian, "II", 6, quarters(t, 1640, 1480))), "")
	picture, err := jpeg.Decode(bytes.NewReader(body))
	if err != nil || picture.Bounds().Size() != image.Pt(1480, 1640) {
		t.Fatal(err, picture.Bounds())
	}
	for at, want := range map[image.Point]string{{100, 100}: "blue", {1400, 100}: "red", {100, 1600}: "white", {1400, 1600}: "green"} {
		if got := named(picture.At(at.X, at.Y)); got != want {
			t.Errorf("at %v: %s, want %s", at, got, want)
		}
	}
}

// TestLinkRefusesWhatIsNoPicture, with nothing of it in the answer.
func TestLinkRefusesWhatIsNoPicture(t *testing.T) {
	s := newSite(t)
	for name, photo := range map[string]string{
		"no picture": "phone-of-rf", "only a head": string(cameraJPEG[:200]), "a head and no picture": "\xFF\xD8\xFF\xD9phone-of-rf",
		"cut off": string(cameraJPEG[:len(cameraJPEG)/2]), "another kind": "\x89PNG\r\n\x1a\nphone-of-rf",
	} {
		res, body := get(t, photoOfLink(t, s, []byte(photo)), "")
		if res.StatusCode != 422 {
			t.Errorf("%s: answered %s", name, res.Status)
			continue
		}
		if p := problemIn(t, string(body)); p.Fix == "" || bytes.Contains(body, []byte("phone-of-rf")) {
			t.Errorf("%s: answered %s %s", name, res.Status, body)
		}
	}
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

// notedBehindScans is a JPEG with a note behind what is coded in each of its scans.
func notedBehindScans(whole []byte, note string) []byte {
	noted := slices.Clone(whole[:2])
	for at := 2; at+4 <= len(whole) && whole[at+1] != markerEOI; {
		end := at + 2 + int(binary.BigEndian.Uint16(whole[at+2:]))
		isScan := whole[at+1] == markerSOS
		for isScan && end+1 < len(whole) && (whole[end] != 0xFF || whole[end+1] == 0 || standsAlone(whole[end+1])) {
			end++
		}
		noted = append(noted, whole[at:end]...)
		if isScan && end+1 < len(whole) {
			noted = append(noted, note...)
		}
		at = end
	}
	return append(noted, 0xFF, markerEOI)
}
