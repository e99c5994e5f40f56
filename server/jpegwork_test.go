package server

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image"
	"image/jpeg"
	"io"
	"strings"
	"syscall"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/register"
)

// manyScans is a grey progressive JPEG of so many scans, each of which codes that no block has
// anything in it: 48 bytes a scan (ITU-T T.81, annexes B and G).
func manyScans(width, height, scans int) []byte {
	b := []byte{0xFF, 0xD8}
	segment := func(marker byte, body ...byte) {
		b = append(b, 0xFF, marker)
		b = binary.BigEndian.AppendUint16(b, uint16(len(body)+2))
		b = append(b, body...)
	}
	segment(0xDB, append([]byte{0}, bytes.Repeat([]byte{1}, 64)...)...)
	segment(0xC2, 8, byte(height>>8), byte(height), byte(width>>8), byte(width), 1, 1, 0x11, 0)
	counts := make([]byte, 16)
	counts[0] = 1
	segment(0xC4, append(append([]byte{0x10}, counts...), 0xE0)...) // the one code, 0: a run of 2^14 blocks and more that end
	var coded []byte
	bits, n := 0, 0
	for left := (width + 7) / 8 * ((height + 7) / 8); left > 0; left -= 1<<14 + 0x2AAA {
		bits, n = bits<<15|0x2AAA, n+15
		for ; n >= 8; n -= 8 {
			coded = append(coded, byte(bits>>(n-8)))
			bits &= 1<<(n-8) - 1
		}
	}
	coded = append(coded, byte(bits<<(8-n)), 0)
	for range scans {
		segment(0xDA, 1, 1, 0, 1, 63, 0)
		b = append(b, coded...)
	}
	return append(b, 0xFF, 0xD9)
}

// TestPhotoOfManyScans: 76 KB that took 6.6 s to decode are refused before they are, and stay
// as they came.
func TestPhotoOfManyScans(t *testing.T) {
	if _, err := jpeg.Decode(bytes.NewReader(manyScans(640, 480, 20))); err != nil {
		t.Fatalf("the attack is no JPEG: %v", err)
	}
	attack := manyScans(5792, 5792, 1600)
	s := newSite(t)
	token := enrolled(t, s)
	url := s.web.URL + "/photos/" + putNamed(t, s, attack).String()
	before := processorTime()
	res, body := get(t, url+"?small=1", token)
	if p := problemIn(t, string(body)); res.StatusCode != 422 || !strings.Contains(p.Reason, "too long to show") {
		t.Errorf("%d bytes of many scans: %s %.200s, want a refusal", len(attack), res.Status, body)
	}
	if took := processorTime() - before; took > time.Second {
		t.Errorf("refusing it took %v of processor", took)
	}
	if _, whole := get(t, url, token); !bytes.Equal(whole, attack) {
		t.Error("the photo is not kept as it came")
	}
}

func processorTime() time.Duration {
	var u syscall.Rusage
	_ = syscall.Getrusage(syscall.RUSAGE_SELF, &u)
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// TestWorkOfPhotos: what phones make is light or at least shown, what no camera makes is not.
func TestWorkOfPhotos(t *testing.T) {
	for _, c := range []struct {
		name  string
		photo []byte
		most  int
	}{
		{"a-photo-of-a-phone", quarters(t, 4000, 3000), newDrawnPhotos().lightWork},
		{"progressive-in-ten-scans", manyScans(5792, 5792, 10), mostWork},
		{"no-picture", []byte("not a picture at all"), 100},
		{"cut-short", quarters(t, 64, 64)[:100], 50_000},
	} {
		if got := jpegWork(c.photo); got > c.most {
			t.Errorf("%s: work of %d, want at most %d", c.name, got, c.most)
		}
	}
	for name, photo := range map[string][]byte{"many-scans": manyScans(5792, 5792, 100), "huge": manyScans(65_000, 65_000, 1)} {
		if got := jpegWork(photo); got <= mostWork {
			t.Errorf("%s: work of %d, want more than %d", name, got, mostWork)
		}
	}
}

// TestOnePhotoHoldsUpNoOther: while a picture that takes long is in its lane, small versions
// of others are made, and whoever does not wait for it is let go.
func TestOnePhotoHoldsUpNoOther(t *testing.T) {
	p := newDrawnPhotos()
	p.lightWork = mostWork / 64
	long, stuck, opened := manyScans(1050, 1050, 12), make(chan struct{}), 0
	slow := make(chan error, 1)
	go func() {
		_, err := p.of(t.Context(), drawing{register.Hash{1}, asSmall}, func() (io.ReadCloser, error) {
			if opened++; opened > 1 { // in its own lane
				<-stuck
			}
			return io.NopCloser(bytes.NewReader(long)), nil
		})
		slow <- err
	}()
	photo := quarters(t, 640, 480)
	for i := range 5 {
		small, err := p.of(t.Context(), drawing{register.Hash{2, byte(i)}, asSmall}, func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(photo)), nil })
		if size, _ := jpeg.DecodeConfig(bytes.NewReader(small)); err != nil || (image.Point{size.Width, size.Height}) != image.Pt(320, 240) {
			t.Fatalf("beside a picture that takes long: %v, %v", size, err)
		}
	}
	close(stuck)
	if err := <-slow; err != nil {
		t.Errorf("the picture that takes long: %v, want it shown in the end", err)
	}
	if opened != 2 {
		t.Errorf("the picture that takes long was opened %d times, want once in each lane", opened)
	}
}

// TestPhotosWaitingAreBounded: strangers' pictures wait up to a number, and a broken one is
// decoded once.
func TestPhotosWaitingAreBounded(t *testing.T) {
	p := newDrawnPhotos()
	stuck := make(chan struct{})
	for i := range mostMaking {
		if _, err := p.begin(drawing{register.Hash{byte(i)}, asSmall}, func() (io.ReadCloser, error) { <-stuck; return nil, io.ErrUnexpectedEOF }); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := p.begin(drawing{register.Hash{0xFF}, asSmall}, nil); !errors.Is(err, errManyDrawn) {
		t.Errorf("one photo more than may wait: %v, want %v", err, errManyDrawn)
	}
	close(stuck)
	broken, opened := quarters(t, 64, 64)[:300], 0
	for range 3 {
		for {
			_, err := p.of(t.Context(), drawing{register.Hash{0xFE}, asSmall}, func() (io.ReadCloser, error) { opened++; return io.NopCloser(bytes.NewReader(broken)), nil })
			if errors.Is(err, errManyDrawn) {
				continue // those before are on their way out
			}
			if _, ok := errors.AsType[*model.Problem](err); !ok {
				t.Fatalf("a broken photo: %v, want a problem", err)
			}
			break
		}
	}
	if opened != 1 {
		t.Errorf("a broken photo was decoded %d times, want once", opened)
	}
}

func FuzzJPEGWork(f *testing.F) {
	f.Add(quarters(f, 16, 16))
	f.Add(manyScans(64, 64, 3))
	f.Fuzz(func(t *testing.T, photo []byte) {
		if got := jpegWork(photo); got < 0 {
			t.Errorf("work of %d", got)
		}
	})
}
