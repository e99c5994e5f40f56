package server

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"net/http"
	"strings"
	"testing"

	"headcut/sync/register"
	"headcut/sync/store"
)

// quarters is a JPEG whose four quarters are red, green / blue, white, w by h.
func quarters(t testing.TB, w, h int) []byte {
	t.Helper()
	picture := image.NewRGBA(image.Rect(0, 0, w, h))
	colours := [2][2]color.RGBA{{{200, 0, 0, 255}, {0, 160, 0, 255}}, {{0, 0, 200, 255}, {255, 255, 255, 255}}}
	for y := range h {
		for x := range w {
			picture.SetRGBA(x, y, colours[2*y/h][2*x/w])
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, picture, &jpeg.Options{Quality: 90}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// withExif puts an APP1 segment with an orientation, and a secret, after the first marker.
func withExif(order binary.ByteOrder, mark string, orientation int, jpeg []byte) []byte {
	tiff := append([]byte(mark), 0, 0, 0, 0, 0, 0)
	order.PutUint16(tiff[2:], 42)
	order.PutUint32(tiff[4:], 8)
	tiff = append(tiff, make([]byte, 2+2*12+4)...)
	order.PutUint16(tiff[8:], 2)
	order.PutUint16(tiff[10:], 0x0100) // another tag before it
	order.PutUint16(tiff[22:], 0x0112)
	order.PutUint16(tiff[24:], 3)
	order.PutUint32(tiff[26:], 1)
	order.PutUint16(tiff[30:], uint16(orientation))
	body := append([]byte("Exif\x00\x00"), append(tiff, "where it was taken"...)...)
	segment := binary.BigEndian.AppendUint16([]byte{0xFF, 0xE1}, uint16(len(body)+2))
	return append(append(append([]byte{}, jpeg[:2]...), append(segment, body...)...), jpeg[2:]...)
}

// enrolled gives the token of a device on a property of a site.
func enrolled(t *testing.T, s *site) string {
	t.Helper()
	p, _, err := s.PropertyOrNew(t.Context(), "Stony Block")
	if err != nil {
		t.Fatal(err)
	}
	code, _, err := s.InviteDevice(t.Context(), "R. Field", p)
	if err != nil {
		t.Fatal(err)
	}
	_, body := ask(t, "POST", s.web.URL+"/enrol", `{"code":"`+code+`","device":"d-1","author":"R. Field"}`)
	var answer enrolAnswer
	if err := json.Unmarshal([]byte(body), &answer); err != nil || answer.Token == "" {
		t.Fatalf("enrolling: %s", body)
	}
	return answer.Token
}

func get(t *testing.T, url, token string) (*http.Response, []byte) {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), "GET", url, nil)
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Accept-Encoding", "identity")
	if token != "" {
		req.Header.Set("Authorization", "Bearer "+token)
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return res, body
}

// put stores a photo as if it had arrived.
func put(t *testing.T, s *site, photo []byte) register.Hash {
	t.Helper()
	return putBy(t, s, plantedPhone, photo)
}

func putBy(t *testing.T, s *site, device string, photo []byte) register.Hash {
	t.Helper()
	sha := register.HashOf(photo)
	if _, err := s.photos.WriteAt(t.Context(), store.Sending{Device: device, SHA: sha}, 0, int64(len(photo)), bytes.NewReader(photo)); err != nil {
		t.Fatal(err)
	}
	return sha
}

func TestSmallPhotoIsSmallAndUpright(t *testing.T) {
	s := newSite(t)
	token := enrolled(t, s)
	red, green, blue, white := "red", "green", "blue", "white"
	// By CIPA DC-008 each value says which sides of the scene the first row and the first
	// column of the file are: 1 top and left, 2 top and right, 3 bottom and right, 4 bottom
	// and left, 5 left and top, 6 right and top, 7 right and bottom, 8 left and bottom. want
	// is what must be shown top left, top right, bottom left, bottom right.
	for _, c := range []struct {
		name          string
		photo         []byte
		width, height int
		want          [4]string
	}{
		{"wide", quarters(t, 1600, 1200), 320, 240, [4]string{red, green, blue, white}},
		{"tall", quarters(t, 900, 1600), 180, 320, [4]string{red, green, blue, white}},
		{"small-stays", quarters(t, 200, 100), 200, 100, [4]string{red, green, blue, white}},
		{"thin", quarters(t, 4000, 8), 320, 1, [4]string{}},
		{"orientation-1", withExif(binary.BigEndian, "MM", 1, quarters(t, 640, 480)), 320, 240, [4]string{red, green, blue, white}},
		{"orientation-2", withExif(binary.BigEndian, "MM", 2, quarters(t, 640, 480)), 320, 240, [4]string{green, red, white, blue}},
		{"orientation-3", withExif(binary.LittleEndian, "II", 3, quarters(t, 640, 480)), 320, 240, [4]string{white, blue, green, red}},
		{"orientation-4", withExif(binary.BigEndian, "MM", 4, quarters(t, 640, 480)), 320, 240, [4]string{blue, white, red, green}},
		{"orientation-5", withExif(binary.BigEndian, "MM", 5, quarters(t, 640, 480)), 240, 320, [4]string{red, blue, green, white}},
		{"orientation-6", withExif(binary.LittleEndian, "II", 6, quarters(t, 640, 480)), 240, 320, [4]string{blue, red, white, green}},
		{"orientation-7", withExif(binary.BigEndian, "MM", 7, quarters(t, 640, 480)), 240, 320, [4]string{white, green, blue, red}},
		{"orientation-8", withExif(binary.BigEndian, "MM", 8, quarters(t, 640, 480)), 240, 320, [4]string{green, white, red, blue}},
		{"orientation-9-is-none", withExif(binary.BigEndian, "MM", 9, quarters(t, 640, 480)), 320, 240, [4]string{red, green, blue, white}},
	} {
		t.Run(c.name, func(t *testing.T) {
			url := s.web.URL + "/photos/" + putNamed(t, s, c.photo).String()
			res, body := get(t, url+"?small=1", token)
			if res.StatusCode != 200 || res.Header.Get("Content-Type") != "image/jpeg" {
				t.Fatalf("small version: %s of %s: %.200s", res.Status, res.Header.Get("Content-Type"), body)
			}
			picture, err := jpeg.Decode(bytes.NewReader(body))
			if err != nil {
				t.Fatal(err)
			}
			if got := picture.Bounds().Size(); got != image.Pt(c.width, c.height) {
				t.Errorf("small version: got %v, want %d by %d", got, c.width, c.height)
			}
			for i, want := range c.want {
				x, y := c.width/4+i%2*c.width/2, c.height/4+i/2*c.height/2
				if got := named(picture.At(x, y)); want != "" && got != want {
					t.Errorf("at %d,%d: got %s, want %s", x, y, got, want)
				}
			}
			if bytes.Contains(body, []byte("where it was taken")) || bytes.Contains(body, []byte("Exif")) {
				t.Error("the small version tells what the camera wrote")
			}
			if _, whole := get(t, url, token); !bytes.Equal(whole, c.photo) {
				t.Error("the whole photo is no longer what was sent")
			}
		})
	}
}

// named is the nearest of the four colours.
func named(c color.Color) string {
	r, g, b, _ := c.RGBA()
	switch hi := func(v uint32) bool { return v > 0x6000 }; [3]bool{hi(r), hi(g), hi(b)} {
	case [3]bool{true, false, false}:
		return "red"
	case [3]bool{false, true, false}:
		return "green"
	case [3]bool{false, false, true}:
		return "blue"
	case [3]bool{true, true, true}:
		return "white"
	}
	return fmt.Sprint(c)
}

func TestSmallPhotoIsRefused(t *testing.T) {
	s := newSite(t)
	token := enrolled(t, s)
	picture := putNamed(t, s, quarters(t, 64, 64)).String()
	text := putNamed(t, s, []byte("not a picture at all")).String()
	cut := putNamed(t, s, quarters(t, 64, 64)[:200]).String()
	huge := quarters(t, 64, 64)
	at := bytes.Index(huge, []byte{0xFF, 0xC0}) // the frame's header: precision, then height and width
	binary.BigEndian.PutUint16(huge[at+5:], 60000)
	binary.BigEndian.PutUint16(huge[at+7:], 60000)
	bomb := putNamed(t, s, huge).String()
	for _, c := range []struct {
		name, sha, token string
		status           int
		says             string
	}{
		{"no-token", picture, "", 403, "not enrolled"},
		{"foreign-token", picture, "x", 403, "not enrolled"},
		{"not-a-name", "abc", token, 400, "not the name of a photo"},
		{"not-here", strings.Repeat("0", 64), token, 404, "has not come yet"},
		{"text", text, token, 422, "cannot be shown"},
		{"cut-short", cut, token, 422, "cannot be shown"},
		{"huge-when-decoded", bomb, token, 422, "60000 by 60000"},
	} {
		t.Run(c.name, func(t *testing.T) {
			res, body := get(t, s.web.URL+"/photos/"+c.sha+"?small=1", c.token)
			if res.StatusCode != c.status || !strings.Contains(string(body), c.says) {
				t.Errorf("got %s: %s, want %d saying %q", res.Status, body, c.status, c.says)
			}
		})
	}
}

// Small versions are made once, and no more are kept than the memory set aside for them.
func TestDrawnPhotosAreKeptWithinLimits(t *testing.T) {
	p := newDrawnPhotos()
	made := 0
	body := quarters(t, 32, 32)
	open := func() (io.ReadCloser, error) { made++; return io.NopCloser(bytes.NewReader(body)), nil }
	for range 3 {
		if _, err := p.of(t.Context(), drawing{register.Hash{1}, asSmall}, open); err != nil {
			t.Fatal(err)
		}
	}
	if made != 1 {
		t.Errorf("the same small version was made %d times, want once", made)
	}
	for i := byte(0); i < 10; i++ {
		if _, err := p.of(t.Context(), drawing{register.Hash{2, i}, asSmall}, open); err != nil {
			t.Fatal(err)
		}
	}
	if want := 11 * (512 + len(p.kept.of(drawing{register.Hash{1}, asSmall}, nil).jpeg)); p.kept.weight != want || p.kept.most != keptBytes {
		t.Errorf("11 small versions weigh %d of %d, want %d", p.kept.weight, p.kept.most, want)
	}
}

func FuzzOrientation(f *testing.F) {
	f.Add(withExif(binary.LittleEndian, "II", 6, quarters(f, 16, 16)))
	f.Add(withExif(binary.BigEndian, "MM", 8, quarters(f, 16, 16)))
	f.Add([]byte{0xFF, 0xD8, 0xFF, 0xE1, 0, 16, 'E', 'x', 'i', 'f', 0, 0, 'M', 'M', 0, 42, 0xFF, 0xFF, 0xFF, 0xFF})
	f.Fuzz(func(t *testing.T, jpeg []byte) {
		if got := orientation(jpeg); got < 1 || got > 8 {
			t.Errorf("orientation: got %d, want 1 to 8", got)
		}
	})
}
