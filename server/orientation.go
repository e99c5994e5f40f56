package server

import (
	"encoding/binary"
	"image"
)

// orientation reads how a camera was held out of a JPEG's EXIF: 1 to 8 as tag 0x0112 of
// CIPA DC-008 (Exif 2.32, section 4.6.4) counts them; 1, upright, where it is not said.
func orientation(jpeg []byte) int {
	for marker, body := range segments(jpeg) {
		switch {
		case marker == markerSOS: // the picture itself begins
			return 1
		case marker == markerExif && len(body) > 14 && string(body[:6]) == "Exif\x00\x00":
			return tiffOrientation(body[6:])
		}
	}
	return 1
}

// tiffOrientation looks through the first directory of a TIFF structure.
func tiffOrientation(tiff []byte) int {
	var order binary.ByteOrder = binary.BigEndian
	if string(tiff[:2]) == "II" {
		order = binary.LittleEndian
	}
	const entryBytes = 12
	first := uint64(order.Uint32(tiff[4:]))
	if first+2 > uint64(len(tiff)) {
		return 1
	}
	directory := tiff[first:]
	for n := range int(order.Uint16(directory)) {
		at := 2 + n*entryBytes
		if at+entryBytes > len(directory) {
			return 1
		}
		if order.Uint16(directory[at:]) == 0x0112 {
			if value := int(order.Uint16(directory[at+8:])); value >= 1 && value <= 8 {
				return value
			}
			return 1
		}
	}
	return 1
}

// upright turns and mirrors a picture so that it is seen as its camera saw it.
func upright(in *image.RGBA, orientation int) *image.RGBA {
	if orientation == 1 {
		return in
	}
	w, h := in.Rect.Dx(), in.Rect.Dy()
	lying := orientation >= 5 // on its side: rows become columns
	fromRight := orientation == 2 || orientation == 3 || orientation >= 7
	fromBelow := orientation == 3 || orientation == 4 || orientation == 6 || orientation == 7
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	if lying {
		out = image.NewRGBA(image.Rect(0, 0, h, w))
	}
	for y := range h {
		for x := range w {
			to := image.Pt(x, y)
			if fromRight {
				to.X = w - 1 - x
			}
			if fromBelow {
				to.Y = h - 1 - y
			}
			if lying {
				to = image.Pt(to.Y, to.X)
			}
			out.SetRGBA(to.X, to.Y, in.RGBAAt(x, y))
		}
	}
	return out
}
