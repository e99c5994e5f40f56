package photo_test

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/jpeg"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"headcut/model"
	"headcut/sync/photo"
	"headcut/sync/register"
	"headcut/sync/store/boltstore"
)

func aJPEG(t testing.TB) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 40, 30)), nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestCheckJPEG(t *testing.T) {
	good := aJPEG(t)
	frame := bytes.Index(good, []byte{0xFF, 0xC0})
	noSize := bytes.Clone(good)
	copy(noSize[frame+5:], []byte{0, 0})
	exif := append(append([]byte{0xFF, 0xD8, 0xFF, 0xE1, 0xFF, 0xFF}, make([]byte, 0xFFFD)...), good[2:]...)
	for name, c := range map[string]struct {
		bytes []byte
		good  bool
	}{
		"jpeg": {good, true}, "after-64-kB-of-exif": {exif, true}, "filled": {append([]byte{0xFF, 0xD8, 0xFF, 0xFF, 0xFF}, good[2:]...), true},
		"text": {[]byte("a note"), false}, "page": {[]byte("<html><script>alert(1)</script>"), false}, "empty": {nil, false},
		"png":                   {[]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01\x00\x00\x00\x01"), false},
		"program-behind-a-head": {[]byte("\xFF\xD8\xFF\x7FELF"), false}, "no-picture": {good[:frame], false}, "no-height": {noSize, false},
		"cut-in-the-frame": {good[:frame+7], false}, "only-filling": {append([]byte{0xFF, 0xD8}, bytes.Repeat([]byte{0xFF}, 2<<20)...), false},
		"only-huffman-tables": {[]byte("\xFF\xD8\xFF\xC4\x00\x13\x00\x01\x01\x01\x01\x01\x01\x01\x01\x01\x01\x01\x01\x01\x01\x01\x01"), false},
		"only-an-extension":   {[]byte("\xFF\xD8\xFF\xC8\x00\x08\x01\x01\x01\x01\x01\x01"), false},
		"only-conditioning":   {[]byte("\xFF\xD8\xFF\xCC\x00\x08\x01\x01\x01\x01\x01\x01"), false},
		"length-0":            {append([]byte{0xFF, 0xD8, 0xFF, 0xE0, 0, 0}, good[2:]...), false},
		"length-1":            {append([]byte{0xFF, 0xD8, 0xFF, 0xE0, 0, 1}, good[2:]...), false},
		"endless-segments":    {append([]byte{0xFF, 0xD8}, bytes.Repeat([]byte{0xFF, 0xE0, 0, 2}, 1<<18)...), false},
	} {
		reads := &countedReads{Reader: bytes.NewReader(c.bytes)}
		if p := photo.CheckJPEG(reads, int64(len(c.bytes))); (p == nil) != c.good {
			t.Errorf("%s: got %v, want it kept: %v", name, p, c.good)
		}
		if name != "only-filling" && reads.n > 3000 {
			t.Errorf("%s: %d reads", name, reads.n)
		}
	}
}

// What lies behind a photo's last byte is not looked at.
func TestLookKeepsToTheSize(t *testing.T) {
	good := aJPEG(t)
	frame := bytes.Index(good, []byte{0xFF, 0xC0})
	for size := range int64(frame + 9) {
		if photo.CheckJPEG(bytes.NewReader(good), size) == nil {
			t.Errorf("the first %d bytes are taken as a picture, whose frame begins at %d", size, frame)
		}
	}
	if problem := photo.CheckJPEG(bytes.NewReader(good), int64(frame+9)); problem != nil {
		t.Errorf("with its frame header: %v", problem)
	}
}

type countedReads struct {
	*bytes.Reader
	n int
}

func (c *countedReads) ReadAt(b []byte, at int64) (int, error) { c.n++; return c.Reader.ReadAt(b, at) }

// What is no photo is refused once all of it has come, and nothing of it is kept.
func TestOnlyPhotosAreKept(t *testing.T) {
	dir := t.TempDir()
	photos, err := boltstore.OpenPhotos(dir)
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		r.SetPathValue("sha", strings.TrimPrefix(r.URL.Path, "/photos/"))
		(&photo.Handler{Photos: photos, Check: photo.CheckJPEG, Logger: slog.New(slog.DiscardHandler), Admit: func(context.Context, string) (string, error) { return "d-1", nil }}).ServeHTTP(w, r)
	}))
	defer server.Close()
	client := photo.Client{Base: server.URL, Token: "x"}
	page := []byte("<html><script>alert(1)</script>")
	err = client.Send(t.Context(), register.HashOf(page), bytes.NewReader(page), int64(len(page)))
	if p, ok := errors.AsType[*model.Problem](err); !ok || !strings.Contains(p.Reason, "not a picture") || !strings.Contains(p.Fix, "stays on this phone") {
		t.Errorf("a page as a photo: %v, want it refused in plain words", err)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, "*", "*", "*")); len(left) > 0 {
		t.Errorf("of it there are left %v", left)
	}
	if list, err := os.ReadFile(filepath.Join(dir, "received")); err != nil || len(list) > 0 {
		t.Errorf("the list has %q (%v)", list, err)
	}
	good := aJPEG(t)
	if err := client.Send(t.Context(), register.HashOf(good), bytes.NewReader(good), int64(len(good))); err != nil {
		t.Errorf("a photo: %v", err)
	}
}

// FuzzCheckJPEG holds CheckJPEG to its bounds: whatever it reads, it ends and does not fail, and what it takes
// begins as a JPEG; and a picture stays one with any segment of an application before its own (ITU-T
// T.81, B.2.4.6), and any filling before that (B.1.1.2). Decoders pass over more than that, as bytes between segments: no phone
// writes those.
func FuzzCheckJPEG(f *testing.F) {
	whole := aJPEG(f)
	f.Add(whole, byte(1), byte(0))
	f.Add([]byte("\xFF\xD8\xFF\xFF\xFF\xC0"), byte(0), byte(3))
	f.Add([]byte("\xff\xd8\xff\x00\xff\xc0\x00\v\b0000\x010A\x00\xff\xda00"), byte(14), byte(255))
	f.Fuzz(func(t *testing.T, b []byte, application, filling byte) {
		if photo.CheckJPEG(bytes.NewReader(b), int64(len(b))) == nil && !bytes.HasPrefix(b, []byte{0xFF, 0xD8, 0xFF}) {
			t.Errorf("%q is taken as a picture", b)
		}
		b = b[:min(len(b), 0xFFFF-2)]
		with := append([]byte{0xFF, 0xD8}, bytes.Repeat([]byte{0xFF}, int(filling))...)
		with = append(with, 0xFF, 0xE0|application&0xF, byte((len(b)+2)>>8), byte(len(b)+2))
		with = append(append(with, b...), whole[2:]...)
		if problem := photo.CheckJPEG(bytes.NewReader(with), int64(len(with))); problem != nil {
			t.Errorf("a picture after a segment %q of application %d is refused: %v", b, application&0xF, problem)
		}
	})
}
