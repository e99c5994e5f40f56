package server

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"strings"
	"testing"
)

// tiffOf is a TIFF structure (TIFF 6.0, section 2) whose directory begins at 8 and has these entries:
// tag and short value.
func tiffOf(order binary.AppendByteOrder, entries ...[2]uint16) []byte {
	b := []byte("MM")
	if order == binary.AppendByteOrder(binary.LittleEndian) {
		b = []byte("II")
	}
	b = order.AppendUint32(order.AppendUint16(b, 42), 8)
	b = order.AppendUint16(b, uint16(len(entries)))
	for _, e := range entries {
		b = order.AppendUint16(b, e[0])
		b = order.AppendUint16(b, 3)
		b = order.AppendUint32(b, 1)
		b = order.AppendUint16(order.AppendUint16(b, e[1]), 0)
	}
	return b
}

// TestOrientationInDirectories: found in either order of bytes, wherever in the first directory, and
// upright where it is not, or the directory is cut short.
func TestOrientationInDirectories(t *testing.T) {
	const tag = 0x0112
	for name, c := range map[string]struct {
		tiff []byte
		want int
	}{
		"big":            {tiffOf(binary.BigEndian, [2]uint16{tag, 6}), 6},
		"little":         {tiffOf(binary.LittleEndian, [2]uint16{tag, 6}), 6},
		"second":         {tiffOf(binary.BigEndian, [2]uint16{0x010F, 3}, [2]uint16{tag, 8}), 8},
		"first of two":   {tiffOf(binary.BigEndian, [2]uint16{tag, 3}, [2]uint16{tag, 8}), 3},
		"upright":        {tiffOf(binary.BigEndian, [2]uint16{tag, 1}), 1},
		"nought":         {tiffOf(binary.BigEndian, [2]uint16{tag, 0}), 1},
		"nine":           {tiffOf(binary.BigEndian, [2]uint16{tag, 9}), 1},
		"another tag":    {tiffOf(binary.BigEndian, [2]uint16{0x0113, 6}), 1},
		"none":           {tiffOf(binary.BigEndian), 1},
		"cut off":        {tiffOf(binary.BigEndian, [2]uint16{tag, 6})[:21], 1},
		"no directory":   {tiffOf(binary.BigEndian)[:9], 1},
		"beyond the end": {append([]byte("MM\x00*\xff\xff\xff\xff"), 0, 1), 1},
	} {
		if got := tiffOrientation(c.tiff); got != c.want {
			t.Errorf("%s: %d, want %d", name, got, c.want)
		}
		jpeg := []byte("\xFF\xD8" + segmentOf(markerExif, "Exif\x00\x00"+string(c.tiff)) + "\xFF\xD9")
		if got := orientation(jpeg); got != c.want {
			t.Errorf("%s: of a JPEG it is %d, want %d", name, got, c.want)
		}
	}
	exif := segmentOf(markerExif, "Exif\x00\x00"+string(tiffOf(binary.BigEndian, [2]uint16{0x0112, 6})))
	for name, c := range map[string]struct {
		jpeg string
		want int
	}{
		"after another segment": {segmentOf(markerExif, "http://ns.adobe.com/xap/1.0/\x00") + exif, 6},
		"after the picture":     {segmentOf(markerSOS, "\x01\x01\x00\x00\x3F\x00") + exif, 1},
		"too short":             {segmentOf(markerExif, "Exif\x00\x00MM\x00*\x00\x00\x00\x08") + exif, 6},
		"in another segment":    {strings.Replace(exif, "\xFF\xE1", "\xFF\xE2", 1), 1},
	} {
		if got := orientation([]byte("\xFF\xD8" + c.jpeg)); got != c.want {
			t.Errorf("%s: %d, want %d", name, got, c.want)
		}
	}
}

// TestUprightPictures: of two by three, held in each way (CIPA DC-008, 4.6.4: which row and column of
// the picture its first row and column are).
func TestUprightPictures(t *testing.T) {
	in := image.NewRGBA(image.Rect(0, 0, 2, 3))
	for i := range 6 {
		in.SetRGBA(i%2, i/2, color.RGBA{R: 'a' + uint8(i), A: 255})
	}
	for held, want := range []string{1: "ab cd ef", 2: "ba dc fe", 3: "fe dc ba", 4: "ef cd ab", 5: "ace bdf", 6: "eca fdb", 7: "fdb eca", 8: "bdf ace"} {
		if held == 0 {
			continue
		}
		out := upright(in, held)
		var rows []string
		for y := range out.Rect.Dy() {
			row := ""
			for x := range out.Rect.Dx() {
				row += string(rune(out.RGBAAt(x, y).R))
			}
			rows = append(rows, row)
		}
		if got := strings.Join(rows, " "); got != want {
			t.Errorf("held as %d: %s, want %s", held, got, want)
		}
	}
}

// TestSegmentsOfAJPEG are those with a body, up to a length that is wrong (ITU-T T.81, B.1.1).
func TestSegmentsOfAJPEG(t *testing.T) {
	for name, c := range map[string]struct{ jpeg, want string }{
		"two":              {segmentOf(0xC0, "ab") + segmentOf(0xFE, ""), "C0 ab, FE "},
		"filling":          {"\xFF\xFF" + segmentOf(0xC0, "ab"), "C0 ab"},
		"coded":            {segmentOf(0xDA, "ab") + "c\xFF\x00d\xFF\xD0e\xFF\xD7" + segmentOf(0xC4, "f"), "DA ab, C4 f"},
		"alone":            {"\xFF\x01\xFF\xD8" + segmentOf(0xC4, "f"), "C4 f"},
		"the end":          {segmentOf(0xC4, "f") + "\xFF\xD9" + segmentOf(0xC4, "g"), "C4 f"},
		"too short":        {"\xFF\xC4\x00\x01" + segmentOf(0xC4, "g"), ""},
		"of nothing":       {"\xFF\xC4\x00\x02" + segmentOf(0xC4, "g"), "C4 , C4 g"},
		"too long":         {segmentOf(0xC4, "g") + "\xFF\xC4\x00\x05ab", "C4 g"},
		"cut in its head":  {segmentOf(0xC4, "g") + "\xFF\xC4\x00", "C4 g"},
		"up to the last":   {segmentOf(0xC4, "g") + "\xFF\xC4\x00\x04ab", "C4 g, C4 ab"},
		"one after filler": {segmentOf(0xC4, "g") + "xyz" + segmentOf(0xDE, "h"), "C4 g, DE h"},
	} {
		var got []string
		for marker, body := range segments([]byte("\xFF\xD8" + c.jpeg)) {
			got = append(got, fmt.Sprintf("%X %s", marker, body))
		}
		if strings.Join(got, ", ") != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
	for range segments([]byte("\xFF\xD8" + segmentOf(0xC4, "f") + segmentOf(0xC4, "g"))) { // it may be left early
		break
	}
}

// frameOf is the body of a frame's header (ITU-T T.81, B.2.2): eight bits, then components of their
// sampling.
func frameOf(height, width int, sampling ...byte) []byte {
	b := []byte{8, byte(height >> 8), byte(height), byte(width >> 8), byte(width), byte(len(sampling))}
	for i, s := range sampling {
		b = append(b, byte(i+1), s, 0)
	}
	return b
}

// TestBlocksOfFrames: as ITU-T T.81, A.1 and A.2 count them, in whole units of the picture.
func TestBlocksOfFrames(t *testing.T) {
	for name, c := range map[string]struct {
		body []byte
		each []int
		all  int
	}{
		"grey":                {frameOf(16, 24, 0x11), []int{6}, 6},
		"grey, sampled":       {frameOf(16, 24, 0x22), []int{6}, 6},
		"grey, a pixel more":  {frameOf(17, 25, 0x11), []int{12}, 12},
		"grey, a pixel less":  {frameOf(15, 23, 0x11), []int{6}, 6},
		"colour, all alike":   {frameOf(16, 24, 0x11, 0x11, 0x11), []int{6, 6, 6}, 18},
		"colour, 4:2:0":       {frameOf(16, 32, 0x22, 0x11, 0x11), []int{8, 2, 2}, 12},
		"colour, 4:2:2":       {frameOf(16, 32, 0x21, 0x11, 0x11), []int{8, 4, 4}, 16},
		"colour, one over":    {frameOf(17, 33, 0x22, 0x11, 0x11), []int{24, 6, 6}, 36},
		"sampled by nought":   {frameOf(8, 8, 0x00, 0x11, 0x11), []int{1, 1, 1}, 3},
		"no size":             {frameOf(0, 0, 0x11), []int{0}, 0},
		"cut in its head":     {frameOf(16, 24, 0x11)[:5], nil, 0},
		"no components":       {frameOf(16, 24), nil, 0},
		"cut in a component":  {frameOf(16, 24, 0x11)[:8], nil, 0},
		"cut in a second one": {frameOf(16, 24, 0x11, 0x11)[:11], []int{6}, 6},
	} {
		var blocks [256]int
		if got := frameBlocks(c.body, &blocks); got != c.all {
			t.Errorf("%s: %d blocks, want %d", name, got, c.all)
		}
		for i, want := range c.each {
			if blocks[i+1] != want {
				t.Errorf("%s: component %d has %d blocks, want %d", name, i+1, blocks[i+1], want)
			}
		}
	}
}

// TestWorkOfScans: each goes over the blocks of its components, one that refines over its band too.
func TestWorkOfScans(t *testing.T) {
	var blocks [256]int
	blocks[1], blocks[2] = 10, 100
	for name, c := range map[string]struct {
		body []byte
		want int
	}{
		"one":                {[]byte{1, 1, 0, 0, 63, 0}, blockWork * 10},
		"both":               {[]byte{2, 1, 0, 2, 0, 0, 63, 0}, blockWork * 110},
		"of none":            {[]byte{1, 9, 0, 0, 63, 0}, 0},
		"refines all":        {[]byte{1, 2, 0, 0, 63, 0x10}, (blockWork + 64) * 100},
		"refines one":        {[]byte{1, 2, 0, 5, 5, 0x21}, (blockWork + 1) * 100},
		"first of its band":  {[]byte{1, 2, 0, 1, 63, 0x01}, blockWork * 100},
		"a band turned over": {[]byte{1, 2, 0, 5, 4, 0x10}, blockWork * 100},
		"one far over":       {[]byte{1, 2, 0, 63, 0, 0x10}, blockWork * 100},
		"cut short":          {[]byte{1, 2, 0, 0, 63}, 0},
		"cut short of two":   {[]byte{2, 1, 0, 0, 63, 0}, 0},
	} {
		if got := scanWork(c.body, &blocks); got != c.want {
			t.Errorf("%s: %d, want %d", name, got, c.want)
		}
	}
}

// TestWorkOfPictures is that of their bytes, segments, blocks and scans; endless where the
// coefficients of a progressive one would fill the memory.
func TestWorkOfPictures(t *testing.T) {
	picture := func(sof byte, frame []byte, scans int) []byte {
		return []byte("\xFF\xD8" + segmentOf(sof, string(frame)) + strings.Repeat(segmentOf(markerSOS, "\x01\x01\x00\x00\x3F\x00"), scans) + "\xFF\xD9")
	}
	for name, c := range map[string]struct {
		jpeg           []byte
		segments, scan int // scan: blocks that are gone over
		blocks         int
	}{
		"baseline":             {picture(0xC0, frameOf(16, 24, 0x11), 1), 2, 6, 6},
		"extended":             {picture(0xC1, frameOf(16, 24, 0x11), 1), 2, 6, 6},
		"progressive":          {picture(0xC2, frameOf(16, 24, 0x11), 3), 4, 18, 6},
		"lossless":             {picture(0xC3, frameOf(16, 24, 0x11), 1), 2, 0, 0},
		"a table":              {picture(0xBF, frameOf(16, 24, 0x11), 1), 2, 0, 0},
		"no scan":              {picture(0xC0, frameOf(16, 24, 0x11), 0), 1, 0, 6},
		"as many as are kept":  {picture(0xC2, frameOf(8*800, 8*1024, 0x11), 1), 2, 800 << 10, 800 << 10},
		"large, not held":      {picture(0xC0, frameOf(8*800, 8*1025, 0x11), 1), 2, 800 * 1025, 800 * 1025},
		"a scan without bytes": {[]byte("\xFF\xD8" + segmentOf(0xC0, string(frameOf(16, 24, 0x11))) + "\xFF\xDA\x00\x02\xFF\xD9"), 2, 0, 6},
	} {
		if got, want := jpegWork(c.jpeg), byteWork*len(c.jpeg)+segmentWork*c.segments+blockWork*c.scan+inverseWork*c.blocks; got != want {
			t.Errorf("%s: %d, want %d", name, got, want)
		}
	}
	for name, jpeg := range map[string][]byte{
		"a row more than is kept": picture(0xC2, frameOf(8*800, 8*1025, 0x11), 1),
		"no end of components":    picture(0xC0, frameOf(65535, 65535, bytes.Repeat([]byte{0xFF}, 60)...), 1),
	} {
		if got := jpegWork(jpeg); got < mostWork {
			t.Errorf("%s: %d, want no end of it", name, got)
		}
	}
}
