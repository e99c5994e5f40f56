package visit

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// corners are the colours of a picture's quarters, by which it is known again: top left, top
// right, bottom left, bottom right.
var corners = [4]color.RGBA{{190, 60, 50, 255}, {60, 150, 70, 255}, {60, 80, 180, 255}, {200, 180, 60, 255}}

// picture is a file like a camera's: four quarters with grain in them, so that it does not
// pack down to nothing. orientation is as EXIF has it, 1 for upright.
func picture(t testing.TB, width, height, grain, quality, orientation int) string {
	t.Helper()
	img := image.NewYCbCr(image.Rect(0, 0, width, height), image.YCbCrSubsampleRatio420)
	random := rand.New(rand.NewPCG(1, uint64(width)))
	noise := make([]int, 1<<16)
	for i := range noise {
		noise[i] = random.IntN(2*grain+1) - grain
	}
	var quarters [4][3]uint8
	for i, c := range corners {
		quarters[i][0], quarters[i][1], quarters[i][2] = color.RGBToYCbCr(c.R, c.G, c.B)
	}
	at := func(x, y int) int { return x*2/width + 2*(y*2/height) }
	for y := range height {
		start := random.IntN(len(noise))
		for x := range width {
			img.Y[y*img.YStride+x] = uint8(min(255, max(0, int(quarters[at(x, y)][0])+noise[(start+x)&0xffff])))
		}
	}
	for y := range (height + 1) / 2 {
		for x := range (width + 1) / 2 {
			q := quarters[at(min(2*x, width-1), min(2*y, height-1))]
			img.Cb[y*img.CStride+x], img.Cr[y*img.CStride+x] = q[1], q[2]
		}
	}
	var file bytes.Buffer
	if err := jpeg.Encode(&file, img, &jpeg.Options{Quality: quality}); err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(t.TempDir(), "picture.jpg")
	if err := os.WriteFile(name, turned(file.Bytes(), orientation), 0o644); err != nil {
		t.Fatal(err)
	}
	return name
}

// turned puts an EXIF segment with an orientation behind a JPEG's start marker: a TIFF header
// and one entry, tag 0x0112 (Exif 2.3, sections 4.5 and 4.6; from memory).
func turned(file []byte, orientation int) []byte {
	if orientation == 1 {
		return file
	}
	exif := append([]byte("Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00"), byte(orientation), 0, 0, 0, 0, 0, 0)
	segment := append([]byte{0xff, 0xe1, 0, byte(len(exif) + 2)}, exif...)
	return append(append(append([]byte{}, file[:2]...), segment...), file[2:]...)
}

// wantQuarters checks that a picture shows the quarters in this order.
func wantQuarters(t *testing.T, img image.Image, order [4]int) {
	t.Helper()
	box := img.Bounds()
	for i, want := range order {
		x, y := box.Dx()*(1+2*(i%2))/4, box.Dy()*(1+2*(i/2))/4
		var sum [3]int
		n := 0
		for dy := -20; dy <= 20; dy += 4 {
			for dx := -20; dx <= 20; dx += 4 {
				r, g, b, _ := img.At(x+dx, y+dy).RGBA()
				sum[0], sum[1], sum[2], n = sum[0]+int(r>>8), sum[1]+int(g>>8), sum[2]+int(b>>8), n+1
			}
		}
		c := corners[want]
		for j, w := range [3]int{int(c.R), int(c.G), int(c.B)} {
			if got := sum[j] / n; got < w-25 || got > w+25 {
				t.Errorf("quarter %d of the picture is %v, want about %v", i, [3]int{sum[0] / n, sum[1] / n, sum[2] / n}, c)
				break
			}
		}
	}
}

// notes are what a camera writes into a picture of when and where it was taken.
type notes struct {
	taken    time.Time   // zero for none
	place    *[2]float64 // longitude and latitude
	littleII bool        // byte order
}

// noted is a picture with these notes as EXIF: a list with the places of two others, which
// have DateTimeOriginal and the position (Exif 2.32, section 4.6; from memory).
func noted(t testing.TB, n notes) string {
	t.Helper()
	name := picture(t, 1600, 1200, 10, 85, 1)
	file, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	exif := append([]byte("Exif\x00\x00"), n.tiff()...)
	segment := append([]byte{0xff, 0xe1, byte((len(exif) + 2) >> 8), byte(len(exif) + 2)}, exif...)
	file = slices.Concat(file[:2], segment, file[2:])
	if _, err := jpeg.Decode(bytes.NewReader(file)); err != nil {
		t.Fatalf("the picture with notes is no JPEG: %v", err)
	}
	if err := os.WriteFile(name, file, 0o644); err != nil {
		t.Fatal(err)
	}
	return name
}

func (n notes) tiff() []byte {
	var order binary.AppendByteOrder = binary.BigEndian
	out := []byte("MM")
	if n.littleII {
		order, out = binary.LittleEndian, []byte("II")
	}
	entry := func(tag, kind uint16, count, value uint32) {
		out = order.AppendUint16(order.AppendUint16(out, tag), kind)
		out = order.AppendUint32(order.AppendUint32(out, count), value)
	}
	way := func(tag uint16, letter byte) {
		out = order.AppendUint16(order.AppendUint16(out, tag), 2)
		out = append(order.AppendUint32(out, 2), letter, 0, 0, 0)
	}
	const first, second, third = 8, 8 + 2 + 2*12 + 4, 8 + 2 + 2*12 + 4 + 2 + 12 + 4 + 20
	out = order.AppendUint32(order.AppendUint16(out, 42), first)
	lists := uint16(0)
	if !n.taken.IsZero() {
		lists++
	}
	if n.place != nil {
		lists++
	}
	out = order.AppendUint16(out, lists)
	if !n.taken.IsZero() {
		entry(0x8769, 4, 1, second)
	}
	if n.place != nil {
		entry(0x8825, 4, 1, third)
	}
	out = append(out, make([]byte, second-len(out))...)
	out = order.AppendUint16(out, 1)
	entry(0x9003, 2, 20, second+2+12+4)
	out = order.AppendUint32(out, 0)
	if n.taken.IsZero() {
		out = append(out, make([]byte, 20)...)
	} else {
		out = append(append(out, n.taken.Local().Format("2006:01:02 15:04:05")...), 0)
	}
	if n.place == nil {
		return out
	}
	out = order.AppendUint16(out, 4)
	ways, values := [2]byte{'N', 'E'}, third+2+4*12+4
	lat, lon := n.place[1], n.place[0]
	if lat < 0 {
		ways[0], lat = 'S', -lat
	}
	if lon < 0 {
		ways[1], lon = 'W', -lon
	}
	way(1, ways[0])
	entry(2, 5, 3, uint32(values))
	way(3, ways[1])
	entry(4, 5, 3, uint32(values+24))
	out = order.AppendUint32(out, 0)
	for _, deg := range []float64{lat, lon} {
		whole := math.Floor(deg)
		for _, part := range [][2]uint32{{uint32(whole), 1}, {0, 1}, {uint32(math.Round((deg - whole) * 3600 * 1e4)), 1e4}} {
			out = order.AppendUint32(order.AppendUint32(out, part[0]), part[1])
		}
	}
	return out
}
