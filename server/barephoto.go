package server

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"net/http"
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

// writeBare copies a JPEG with nothing but its picture, unchanged, and how the camera was held.
// What is not known to be the picture is left out: place, camera, time, owner, comments,
// thumbnails, colour profiles, and all that follows the picture.
func writeBare(to io.Writer, photo io.Reader) error {
	in, out := bufio.NewReaderSize(photo, 32<<10), bufio.NewWriterSize(to, 32<<10)
	var start [2]byte
	if _, err := io.ReadFull(in, start[:]); err != nil || start != [2]byte{0xFF, markerSOI} {
		return orNotBare(err)
	}
	_, _ = out.Write(start[:]) // Flush returns the first error
	marker, err := nextMarker(in)
	for scans := 0; ; {
		if err != nil {
			return orNotBare(err)
		}
		if marker == markerEOI && scans > 0 {
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
		if body = bareSegment(marker, body); body != nil {
			_, _ = out.Write(binary.BigEndian.AppendUint16([]byte{0xFF, marker}, uint16(len(body)+2)))
			_, _ = out.Write(body)
		}
		if marker != markerSOS {
			marker, err = nextMarker(in)
			continue
		}
		scans++
		if marker, err = copyScan(out, in); errors.Is(err, io.EOF) { // cut off: the part that is there can be shown
			return out.Flush()
		}
	}
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

// bareSegment is what may leave of a segment, nil for nothing.
func bareSegment(marker byte, body []byte) []byte {
	switch {
	case marker >= 0xC0 && marker <= 0xDF && marker != 0xC8: // tables, frames and scans
		return body
	case marker == markerJFIF && bytes.HasPrefix(body, []byte("JFIF\x00")) && len(body) >= 14:
		return append(bytes.Clone(body[:12]), 0, 0) // without its thumbnail
	case marker == markerAdobe && bytes.HasPrefix(body, []byte("Adobe")) && len(body) >= 12:
		return body[:12] // says how colours are coded
	case marker == markerExif && bytes.HasPrefix(body, []byte("Exif\x00\x00")) && len(body) > 14:
		if held := tiffOrientation(body[6:]); held != 1 {
			return []byte("Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00" + string(rune(held)) + "\x00\x00\x00\x00\x00\x00")
		}
	}
	return nil
}

// copyScan copies what is coded of a picture up to the next marker, which it gives.
func copyScan(out *bufio.Writer, in *bufio.Reader) (byte, error) {
	for {
		coded, err := in.ReadSlice(0xFF)
		_, _ = out.Write(bytes.TrimSuffix(coded, []byte{0xFF}))
		if errors.Is(err, bufio.ErrBufferFull) {
			continue
		} else if err != nil {
			return 0, err
		}
		b, err := in.ReadByte()
		for err == nil && b == 0xFF { // filling
			b, err = in.ReadByte()
		}
		if err != nil {
			return 0, err
		}
		if b != 0 && (b < markerRST0 || b > markerRST7) {
			return b, nil
		}
		_, _ = out.Write([]byte{0xFF, b})
	}
}
