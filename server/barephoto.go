package server

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"net/http"
	"slices"
	"strconv"

	"headcut/model"
)

// sendBarePhoto sends a JPEG without what its camera wrote into it. The file is read twice:
// how long the answer is, and whether it can be given at all, is known before it begins.
func (s *Server) sendBarePhoto(w http.ResponseWriter, r *http.Request, photo io.ReadSeeker) {
	var length byteCount
	err := writeBare(&length, photo)
	if errors.Is(err, errNotBare) {
		refuse(w, http.StatusUnprocessableEntity, &model.Problem{Path: "photo", Reason: "this photo is damaged or no JPEG, so what its camera wrote into it cannot be left out", Fix: "ask the officer for the photo: it is kept as it came"})
		return
	}
	if err == nil {
		_, err = photo.Seek(0, io.SeekStart)
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "image/jpeg")
	w.Header().Set("Content-Length", strconv.Itoa(int(length)))
	w.Header().Set("Cache-Control", "private, max-age=86400")
	if err := writeBare(w, photo); err != nil {
		panic(http.ErrAbortHandler) // the reader has gone, or sees that the photo is cut short
	}
}

// errNotBare is of what is no JPEG all through.
var errNotBare = errors.New("no JPEG all through")

// writeBare copies a JPEG with nothing but its picture, unchanged, and how the camera was held. Only what
// draws it leaves: the frame, the tables that a scan uses, each before its scan, the scans up to their last
// block. Place, camera, time, owner, comments, thumbnails, colour profiles, tables for nothing, bytes behind
// the end of a segment or a scan and all that follows the picture are left out.
func writeBare(to io.Writer, photo io.Reader) error {
	in, out := bufio.NewReaderSize(photo, 32<<10), bufio.NewWriterSize(to, 32<<10)
	var start [2]byte
	if _, err := io.ReadFull(in, start[:]); err != nil || start != [2]byte{0xFF, markerSOI} {
		return orNotBare(err)
	}
	_, _ = out.Write(start[:]) // Flush returns the first error
	b := barePhoto{in: in, out: out, said: map[byte]bool{}}
	marker, err := nextMarker(in)
	for {
		if err != nil {
			return orNotBare(err)
		}
		if marker == markerEOI && b.scans > 0 {
			_, _ = out.Write([]byte{0xFF, markerEOI})
			return out.Flush()
		}
		if standsAlone(marker) { // and means nothing here
			marker, err = nextMarker(in)
			continue
		}
		body, readErr := segment(in, marker)
		if readErr != nil {
			return orNotBare(readErr)
		}
		if marker != markerSOS {
			if err := b.segment(marker, body); err != nil {
				return err
			}
			marker, err = nextMarker(in)
			continue
		}
		if marker, err = b.scan(body); errors.Is(err, io.EOF) { // cut off: the part that is there can be shown
			return out.Flush()
		}
	}
}

// barePhoto is a JPEG that is being copied.
type barePhoto struct {
	in    *bufio.Reader
	out   *bufio.Writer
	said  map[byte]bool // by marker: what stands once
	frame *jpegFrame
	head  func() // writes its header, once its tables are out; nil when that is done
	scans int

	quants      [4]bareTable
	codes       [8]bareTable // for the first coefficient, then for the others
	restartEach int          // units
	restartSent int          // the same, as written
}

// bareTable is one that scans may use.
type bareTable struct {
	body []byte
	sent bool
}

func (b *barePhoto) write(marker byte, body []byte) {
	_, _ = b.out.Write(binary.BigEndian.AppendUint16([]byte{0xFF, marker}, uint16(len(body)+2)))
	_, _ = b.out.Write(body)
}

// segment takes note of what scans need, and passes on what leaves by itself.
func (b *barePhoto) segment(marker byte, body []byte) error {
	switch {
	case marker == markerDQT:
		return tablesIn(body, b.quants[:], func(first byte, _ []byte) (int, int) { return int(first & 15), 64 + 64*int(first>>4&1) })
	case marker == markerDHT:
		return tablesIn(body, b.codes[:], func(first byte, rest []byte) (int, int) {
			size := 16
			for _, n := range rest[:min(16, len(rest))] {
				size += int(n)
			}
			return int(first>>4&1)<<2 | int(first&3), size
		})
	case marker == markerDRI && len(body) >= 2:
		b.restartEach = int(binary.BigEndian.Uint16(body))
	case marker >= markerSOF0 && marker <= 0xCF && marker != 0xC8 && marker != 0xCC:
		frame := frameIn(marker, body)
		if frame == nil || b.frame != nil {
			return errNotBare
		}
		b.frame = frame
		b.head = func() { b.write(marker, body[:6+3*len(frame.components)]) }
	default:
		if body := bareSegment(marker, body); body != nil && !b.said[marker] {
			b.said[marker] = true
			b.write(marker, body)
		}
	}
	return nil
}

// tablesIn are the tables of a segment, whose first byte says which each is, and how long.
func tablesIn(body []byte, into []bareTable, which func(first byte, rest []byte) (at, size int)) error {
	for len(body) > 0 {
		at, size := which(body[0], body[1:])
		if at >= len(into) || len(body) < 1+size {
			return errNotBare
		}
		if table := body[:1+size]; !bytes.Equal(table, into[at].body) {
			into[at] = bareTable{body: table}
		}
		body = body[1+size:]
	}
	return nil
}

// scan copies one, after the tables that it uses, and gives the marker behind it.
func (b *barePhoto) scan(body []byte) (marker byte, err error) {
	if b.scans++; b.frame == nil || b.scans > mostScans || len(body) < 1 || len(body) < 4+2*int(body[0]) || body[0] == 0 {
		return 0, errNotBare
	}
	use := func(marker byte, t *bareTable) {
		if t.body != nil && !t.sent {
			t.sent = true
			b.write(marker, t.body)
		}
	}
	for _, c := range b.frame.components {
		use(markerDQT, &b.quants[c.quant])
	}
	if b.head != nil {
		b.head()
		b.head = nil
	}
	if b.restartEach != b.restartSent {
		b.restartSent = b.restartEach
		b.write(markerDRI, binary.BigEndian.AppendUint16(nil, uint16(b.restartEach)))
	}
	n := int(body[0])
	s := &jpegScan{frame: b.frame, in: b.in, out: b.out, restartEach: b.restartEach,
		from: int(body[1+2*n]), to: int(body[2+2*n]), refines: body[3+2*n]>>4 > 0}
	if !b.frame.progressive {
		s.from, s.to, s.refines = 0, 63, false
	}
	if s.to > 63 || s.from > s.to || s.from > 0 && n > 1 || b.frame.progressive && s.from == 0 && s.to > 0 {
		return 0, errNotBare
	}
	for i := range n {
		c := b.frame.component(body[1+2*i])
		if c == nil || c.coded || slices.Contains(s.components, c) {
			return 0, errNotBare
		}
		c.coded = !b.frame.progressive
		s.components = append(s.components, c)
		dc, ac := &b.codes[body[2+2*i]>>4&3], &b.codes[4|body[2+2*i]&3]
		s.dc, s.ac = append(s.dc, nil), append(s.ac, nil)
		if s.from == 0 && !s.refines && dc.body != nil {
			use(markerDHT, dc)
			s.dc[i] = codesIn(dc.body[1:])
		}
		if s.to > 0 && ac.body != nil {
			use(markerDHT, ac)
			s.ac[i] = codesIn(ac.body[1:])
		}
	}
	b.write(markerSOS, body[:4+2*n])
	return s.copy()
}

func orNotBare(err error) error {
	if err == nil || errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return errNotBare
	}
	return err
}

// nextMarker reads a marker, which any number of filling bytes may precede.
func nextMarker(in *bufio.Reader) (byte, error) {
	b, err := in.ReadByte()
	if err == nil && b != 0xFF {
		return 0, errNotBare
	}
	for err == nil && b == 0xFF {
		b, err = in.ReadByte()
	}
	return b, err
}

// segment reads what follows a marker. It is nil only together with an error.
func segment(in *bufio.Reader, marker byte) ([]byte, error) {
	var length [2]byte
	if _, err := io.ReadFull(in, length[:]); err != nil {
		return nil, err
	}
	n := int(binary.BigEndian.Uint16(length[:]))
	if n < 2 || marker < 0xC0 || marker == markerSOI || marker == markerEOI {
		return nil, errNotBare
	}
	body := make([]byte, n-2)
	_, err := io.ReadFull(in, body)
	return body, err
}

// bareSegment is what may leave of an application's segment, nil for nothing.
func bareSegment(marker byte, body []byte) []byte {
	switch {
	case marker == markerJFIF && bytes.HasPrefix(body, []byte("JFIF\x00")) && len(body) >= 14:
		return append(bytes.Clone(body[:12]), 0, 0) // without its thumbnail
	case marker == markerAdobe && bytes.HasPrefix(body, []byte("Adobe")) && len(body) >= 12:
		return []byte{'A', 'd', 'o', 'b', 'e', 0, 100, 0, 0, 0, 0, body[11]} // how colours are coded
	case marker == markerExif && bytes.HasPrefix(body, []byte("Exif\x00\x00")) && len(body) > 14:
		if held := tiffOrientation(body[6:]); held != 1 {
			return []byte("Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00" + string(rune(held)) + "\x00\x00\x00\x00\x00\x00")
		}
	}
	return nil
}
