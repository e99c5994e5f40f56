package photo

import (
	"encoding/binary"
	"io"

	"headcut/model"
)

// mostSegments bounds how many segments before a JPEG's picture are passed over: a camera writes some
// twenty.
const mostSegments = 256

// CheckJPEG is a [store.PhotoCheck] for what phones send: JPEG, by its first bytes and the size that its frame
// header gives (ITU-T T.81, annex B). It reads a few bytes of each segment and decodes nothing.
func CheckJPEG(photo io.ReaderAt, size int64) *model.Problem {
	var b [9]byte
	read := func(at int64, n int) bool {
		_, err := photo.ReadAt(b[:n], at)
		return err == nil && at+int64(n) <= size
	}
	if !read(0, 3) || b[0] != 0xFF || b[1] != 0xD8 || b[2] != 0xFF {
		return notJPEG
	}
	at := int64(2)
	for range mostSegments {
		for read(at, 2) && b[0] == 0xFF && b[1] == 0xFF { // filling
			if at++; at > size || at > 1<<20 {
				return notJPEG
			}
		}
		marker := b[1]
		if !read(at, 4) || b[0] != 0xFF || marker < 0xC0 || marker == 0xD9 || marker == 0xDA {
			return notJPEG
		}
		length := int64(binary.BigEndian.Uint16(b[2:]))
		if marker >= 0xC0 && marker <= 0xCF && marker != 0xC4 && marker != 0xC8 && marker != 0xCC {
			if !read(at, 9) || binary.BigEndian.Uint16(b[5:]) == 0 || binary.BigEndian.Uint16(b[7:]) == 0 {
				return notJPEG
			}
			return nil
		}
		at += 2 + length // a length below 2, which is none, leads back to itself and is no marker
	}
	return notJPEG
}

// notJPEG refuses what is no photo. Its path tells it from what is wrong with a part.
var notJPEG = &model.Problem{Path: "photo", Reason: "one of the photos is not a picture that the server keeps (JPEG)",
	Fix: "it stays on this phone: take it again, or save it to a file and give that to the office"}
