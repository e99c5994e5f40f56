package server

import (
	"encoding/binary"
	"image"
)

// orientation reads how a camera was held out of a JPEG's EXIF: 1 to 8 as tag 0x0112 of
// CIPA DC-008 (Exif 2.32, section 4.6.4) counts them; 1, upright, where it is not said.
func orientation(jpeg []byte) int {
	for at := 2; at+4 <= len(jpeg) && jpeg[at] == 0xFF; {
		marker, size := jpeg[at+1], int(binary.BigEndian.Uint16(jpeg[at+2:]))
		end := at + 2 + size
		if marker == markerSOS || size < 2 || end > len(jpeg) { // the picture itself begins
			return 1
		}
		if body := jpeg[at+4 : end]; marker == markerExif && len(body) > 14 && string(body[:6]) == "Exif\x00\x00" {
			return tiffOrientation(body[6:])
		}
		at = end
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
	size := image.Rect(0, 0, w, h)
	if orientation >= 5 { // lying on its side
		size = image.Rect(0, 0, h, w)
	}
	out := image.NewRGBA(size)
	for y := range h {
		for x := range w {
			var to image.Point
			switch orientation {
			case 2:
				to = image.Pt(w-1-x, y)
			case 3:
				to = image.Pt(w-1-x, h-1-y)
			case 4:
				to = image.Pt(x, h-1-y)
			case 5:
				to = image.Pt(y, x)
			case 6:
				to = image.Pt(h-1-y, x)
			case 7:
				to = image.Pt(h-1-y, w-1-x)
			case 8:
				to = image.Pt(y, w-1-x)
			}
			out.SetRGBA(to.X, to.Y, in.RGBAAt(x, y))
		}
	}
	return out
}
