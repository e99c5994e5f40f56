package server

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
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

// TestWhatOfASegmentLeaves: how colours are coded, how it was held.
func TestWhatOfASegmentLeaves(t *testing.T) {
	held := func(n uint16) string {
		return "Exif\x00\x00" + string(tiffOf(binary.LittleEndian, [2]uint16{0x010F, 7}, [2]uint16{0x0112, n}))
	}
	for name, c := range map[string]struct {
		marker     byte
		body, want string
		nothing    bool
	}{
		"the first of others": {0xC8, "abc", "", true},
		"the last of them":    {0xDF, "abc", "", true},
		"below":               {0xBF, "abc", "", true},
		"extension":           {0xC8, "abc", "", true},
		"comment":             {0xFE, "abc", "", true},
		"JFIF":                {0xE0, "JFIF\x00\x01\x02\x01\x00\x48\x00\x48\x03\x04thumbnail", "JFIF\x00\x01\x02\x01\x00\x48\x00\x48\x00\x00", false},
		"shortest JFIF":       {0xE0, "JFIF\x00\x01\x02\x01\x00\x48\x00\x48\x00\x00", "JFIF\x00\x01\x02\x01\x00\x48\x00\x48\x00\x00", false},
		"too short a JFIF":    {0xE0, "JFIF\x00\x01\x02\x01\x00\x48\x00\x48\x00", "", true},
		"another of E0":       {0xE0, "JFXX\x00\x01\x02\x01\x00\x48\x00\x48\x00\x00", "", true},
		"JFIF elsewhere":      {0xE2, "JFIF\x00\x01\x02\x01\x00\x48\x00\x48\x00\x00", "", true},
		"Adobe":               {0xEE, "Adobe\x00\x64\x00\x00\x00\x00\x01more", "Adobe\x00\x64\x00\x00\x00\x00\x01", false},
		"shortest Adobe":      {0xEE, "Adobe\x00\x64\x00\x00\x00\x00\x01", "Adobe\x00\x64\x00\x00\x00\x00\x01", false},
		"too short an Adobe":  {0xEE, "Adobe\x00\x64\x00\x00\x00\x00", "", true},
		"another of EE":       {0xEE, "adobe\x00\x64\x00\x00\x00\x00\x01", "", true},
		"Adobe elsewhere":     {0xED, "Adobe\x00\x64\x00\x00\x00\x00\x01", "", true},
		"held":                {0xE1, held(6), "Exif\x00\x00" + string(tiffOf(binary.BigEndian, [2]uint16{0x0112, 6})) + "\x00\x00\x00\x00", false},
		"held upright":        {0xE1, held(1), "", true},
		"too short an Exif":   {0xE1, "Exif\x00\x00MM\x00*\x00\x00\x00\x08", "", true},
		"another of E1":       {0xE1, "http:/" + held(6), "", true},
		"Exif elsewhere":      {0xE2, held(6), "", true},
	} {
		got := bareSegment(c.marker, []byte(c.body))
		if string(got) != c.want || (got == nil) != c.nothing {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
		if again := tiffHeld(got); c.marker == markerExif && !c.nothing && again != 6 {
			t.Errorf("%s: it is held as %d", name, again)
		}
	}
}

func tiffHeld(exif []byte) int {
	if len(exif) < 14 {
		return 1
	}
	return tiffOrientation(exif[6:])
}

// Parts of the smallest pictures, whose coded bytes are written by hand: grey, of blocks that are each a code of a
// bit for the first coefficient (none, or after another bit 14 more bits of it) and one that ends the block.
const (
	tinyDC   = "\x00\x01\x01\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x0E"
	tinyAC   = "\x10\x01\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00"
	tinyScan = "\xFF\xDA\x00\x08\x01\x01\x00\x00\x3F\x00"
	tinyEnd  = "\x3F\xFF\xD9" // a block of nought
)

var tinyQuant = "\x00" + strings.Repeat("q", 64)

// tinyHead is all before the scan of a picture that is so many blocks wide.
func tinyHead(blocks int) string {
	return "\xFF\xD8" + segmentOf(markerDQT, tinyQuant) + segmentOf(markerSOF0, string(frameOf(8, 8*blocks, 0x11)))
}

func tinyCodes() string { return segmentOf(markerDHT, tinyDC) + segmentOf(markerDHT, tinyAC) }

// TestBarePhotos: what is copied of whole files, and which are none. Whatever draws nothing is left out, in
// whatever place it stands.
func TestBarePhotos(t *testing.T) {
	one, two := tinyHead(1), tinyHead(2)
	bare := one + tinyCodes() + tinyScan + tinyEnd
	before := func(extra string) string { return one + extra + tinyCodes() + tinyScan + tinyEnd }
	frame := segmentOf(markerSOF0, string(frameOf(8, 8, 0x11)))
	restarts := two + segmentOf(markerDRI, "\x00\x01") + tinyCodes() + tinyScan
	const note = "phone-of-rf"
	for name, c := range map[string]struct{ photo, want string }{
		"plain":                     {bare, bare},
		"what follows":              {bare + note, bare},
		"a second picture":          {bare + bare, bare},
		"filling":                   {strings.ReplaceAll(bare, "\xFF\xC4", "\xFF\xFF\xC4"), bare},
		"a comment":                 {before(segmentOf(0xFE, note)), bare},
		"a comment of the most":     {before(segmentOf(0xFE, strings.Repeat("y", 65533))), bare},
		"application segments":      {before(segmentOf(0xE0, note) + segmentOf(0xE1, note) + segmentOf(0xED, note) + segmentOf(0xEF, note)), bare},
		"reserved segments":         {before(segmentOf(0xF0, note) + segmentOf(0xFD, note) + segmentOf(0xC8, note)), bare},
		"a number of lines":         {before(segmentOf(0xDC, note)), bare},
		"hierarchies":               {before(segmentOf(0xDE, note) + segmentOf(0xDF, note)), bare},
		"arithmetic conditioning":   {before(segmentOf(0xCC, note)), bare},
		"a table that nobody uses":  {before(segmentOf(markerDQT, "\x03"+strings.Repeat(note, 6)[:64])), bare},
		"one of 16 bits":            {before(segmentOf(markerDQT, "\x12"+strings.Repeat(note, 12)[:128])), bare},
		"one beside another":        {strings.Replace(bare, segmentOf(markerDQT, tinyQuant), segmentOf(markerDQT, tinyQuant+"\x01"+strings.Repeat(note, 6)[:64]), 1), bare},
		"one that is overwritten":   {"\xFF\xD8" + segmentOf(markerDQT, "\x00"+strings.Repeat(note, 6)[:64]) + bare[2:], bare},
		"codes that nobody uses":    {before(segmentOf(markerDHT, "\x13\x0B"+strings.Repeat("\x00", 15)+note)), bare},
		"codes, overwritten":        {before(segmentOf(markerDHT, "\x00\x0B"+strings.Repeat("\x00", 15)+note)), bare},
		"behind the frame's header": {strings.Replace(bare, frame, segmentOf(markerSOF0, string(frameOf(8, 8, 0x11))+note), 1), bare},
		"behind the scan's header":  {strings.Replace(bare, tinyScan, segmentOf(markerSOS, "\x01\x01\x00\x00\x3F\x00"+note), 1), bare},
		"behind the interval":       {strings.Replace(restarts, "\xFF\xDD\x00\x04\x00\x01", segmentOf(markerDRI, "\x00\x01"+note), 1) + "\x3F\xFF\xD0" + tinyEnd, restarts + "\x3F\xFF\xD0" + tinyEnd},
		"behind the last block":     {strings.Replace(bare, "\x3F\xFF\xD9", "\x3F"+note+"\xFF\xD9", 1), bare},
		"with restarts behind it":   {strings.Replace(bare, "\x3F\xFF\xD9", "\x3F\xFF\xD0"+note+"\xFF\x00\xFF\xD1\xFF\xD9", 1), bare},
		"before a restart":          {restarts + "\x3F" + note + "\xFF\xD0" + tinyEnd, restarts + "\x3F\xFF\xD0" + tinyEnd},
		"a comment behind the scan": {strings.Replace(bare, "\x3F\xFF\xD9", "\x3F\xFF\xFE\x00\x04hi\xFF\xD9", 1), bare},
		"one that stands alone":     {before("\xFF\x01\xFF\xD3"), bare},
		"a colour's coding twice":   {before(segmentOf(markerAdobe, "Adobe\x00\x64note\x00") + segmentOf(markerAdobe, "Adobe\x00\x64note\x01")), "\xFF\xD8" + segmentOf(markerAdobe, "Adobe\x00\x64\x00\x00\x00\x00\x00") + bare[2:]},
		"a stuffed byte":            {one + tinyCodes() + tinyScan + "\xBF\xFF\x00\x7F\xFF\xD9", one + tinyCodes() + tinyScan + "\xBF\xFF\x00\x7F\xFF\xD9"},
		"two blocks":                {two + tinyCodes() + tinyScan + "\x0F\xFF\xD9", two + tinyCodes() + tinyScan + "\x0F\xFF\xD9"},
		"restarts":                  {restarts + "\x3F\xFF\xD0" + tinyEnd, restarts + "\x3F\xFF\xD0" + tinyEnd},
		"cut in its picture":        {restarts + "\x3F", restarts + "\x3F"},
		"cut at a marker":           {restarts + "\x3F\xFF", restarts + "\x3F"},
		"cut at a restart":          {restarts + "\x3F\xFF\xD0", restarts + "\x3F\xFF\xD0"},
		"blocks that are missing":   {restarts + tinyEnd, restarts + tinyEnd},
		"cut before its picture":    {one, ""},
		"an end without a scan":     {one + "\xFF\xD9", ""},
		"a scan without a frame":    {"\xFF\xD8" + tinyCodes() + tinyScan + tinyEnd, ""},
		"a scan without its codes":  {one + tinyScan + tinyEnd, ""},
		"a code that is none":       {one + tinyCodes() + tinyScan + "\xFF\x00\xFF\x00\xFF\x00\xFF\xD9", ""},
		"a scan of no component":    {one + tinyCodes() + segmentOf(markerSOS, "\x00\x00\x3F\x00") + tinyEnd, ""},
		"a scan of another":         {one + tinyCodes() + segmentOf(markerSOS, "\x01\x07\x00\x00\x3F\x00") + tinyEnd, ""},
		"its component once more":   {one + tinyCodes() + tinyScan + "\x3F" + tinyScan + tinyEnd, ""},
		"another frame":             {one + frame + tinyCodes() + tinyScan + tinyEnd, ""},
		"a frame of no size":        {strings.Replace(bare, frame, segmentOf(markerSOF0, string(frameOf(0, 8, 0x11))), 1), ""},
		"a frame that is lossless":  {strings.Replace(bare, "\xFF\xC0", "\xFF\xC3", 1), ""},
		"a table cut short":         {before(segmentOf(markerDQT, "\x01"+note)), ""},
		"codes cut short":           {before(segmentOf(markerDHT, "\x01"+note)), ""},
		"no JPEG":                   {"\x89PNG", ""},
		"nothing":                   {"", ""},
		"a byte":                    {"\xFF", ""},
		"a length that is none":     {before("\xFF\xC4\x00\x01"), ""},
		"bytes between":             {before("x"), ""},
		"a marker that is none":     {before("\xFF\xBF\x00\x04ab"), ""},
		"another start":             {before("\xFF\xD8\x00\x04ab"), ""},
		"cut in a segment":          {one + tinyCodes() + tinyScan + "\x3F\xFF\xC4\x00\x08ab", ""},
		"cut in a second marker":    {one + tinyCodes() + tinyScan + "\x3F\xFF\xFE\x00\x04ab\xFF", ""},
	} {
		var out bytes.Buffer
		err := writeBare(&out, strings.NewReader(c.photo))
		if (err == nil) != (c.want != "") || err == nil && out.String() != c.want {
			t.Errorf("%s: %q, %v, want %q", name, out.String(), err, c.want)
		}
	}
	if _, err := segment(bufio.NewReader(strings.NewReader("\x00\x04a")), 0xC0); err == nil {
		t.Error("a segment that is cut off is read")
	}
}

// TestBarePictures: the pictures that Go's own decoder is tested with, made by the Independent JPEG Group's
// programs, in all samplings, sequential and progressive, with restarts, are the same to the bit when they are
// bare; and a note behind any of their scans is left out.
func TestBarePictures(t *testing.T) {
	root, err := exec.CommandContext(t.Context(), "go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	names, err := filepath.Glob(filepath.Join(strings.TrimSpace(string(root)), "src", "image", "testdata", "*.jpeg"))
	if err != nil || len(names) < 20 {
		t.Fatal(names, err)
	}
	const note = "phone-of-rf "
	for _, name := range names {
		whole, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		noted := notedBehindScans(whole, note)
		if !bytes.Contains(noted, []byte(note)) && !strings.Contains(name, "truncated") {
			t.Errorf("%s: no note is in it", name)
		}
		want, err := jpeg.Decode(bytes.NewReader(whole))
		if err != nil && !strings.Contains(name, "truncated") {
			t.Fatal(name, err)
		}
		for _, photo := range [][]byte{whole, noted} {
			var out bytes.Buffer
			if err := writeBare(&out, bytes.NewReader(photo)); err != nil {
				t.Errorf("%s: %v", name, err)
				continue
			}
			got, _ := jpeg.Decode(bytes.NewReader(out.Bytes()))
			if fmt.Sprint(got) != fmt.Sprint(want) {
				t.Errorf("%s: the picture is another", name)
			}
			if bytes.Contains(out.Bytes(), []byte(note)) || out.Len() > len(whole)+200 {
				t.Errorf("%s: of %d bytes %d leave, with the note: %t", name, len(whole), out.Len(), bytes.Contains(out.Bytes(), []byte(note)))
			}
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
