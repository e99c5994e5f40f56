package server

import (
	"bufio"
	"errors"
)

// What is coded of a picture is followed bit by bit, to find where it ends: whatever lies behind that, up to the
// next marker, draws nothing. ITU-T T.81, annexes F (sequential) and G (progressive).

// The most blocks of 8 by 8 of a progressive picture whose coefficients are followed, and scans of any.
const (
	mostFollowed = 2 << 20
	mostScans    = 64
)

// jpegFrame is the header of a picture.
type jpegFrame struct {
	progressive bool
	mcusX       int // units of all components, in a row and in a column
	mcusY       int
	components  []*jpegComponent
}

type jpegComponent struct {
	id, quant byte
	h, v      int      // samples of a unit, in blocks
	blocksX   int      // of the component by itself
	blocksY   int      // the same
	set       []uint64 // of a progressive picture, by block: which coefficients are not nought
	coded     bool     // of a sequential picture: it had its scan
}

// frameIn reads a frame header (T.81, B.2.2) of a picture that browsers show; nil for others.
func frameIn(marker byte, body []byte) *jpegFrame {
	const head, each = 6, 3
	if len(body) < head || body[0] != 8 || marker > markerSOF2 {
		return nil
	}
	f := &jpegFrame{progressive: marker == markerSOF2}
	height, width, n := int(body[1])<<8|int(body[2]), int(body[3])<<8|int(body[4]), int(body[5])
	if height == 0 || width == 0 || n == 0 || n > 4 || len(body) < head+each*n {
		return nil
	}
	mostH, mostV := 1, 1
	for i := range n {
		b := body[head+each*i:]
		c := &jpegComponent{id: b[0], h: int(b[1] >> 4), v: int(b[1] & 15), quant: b[2]}
		if c.h == 0 || c.h > 4 || c.v == 0 || c.v > 4 || c.quant > 3 || f.component(c.id) != nil {
			return nil
		}
		mostH, mostV = max(mostH, c.h), max(mostV, c.v)
		f.components = append(f.components, c)
	}
	up := func(n, by int) int { return (n + by - 1) / by }
	f.mcusX, f.mcusY = up(width, 8*mostH), up(height, 8*mostV)
	blocks := 0
	for _, c := range f.components {
		c.blocksX, c.blocksY = up(up(width*c.h, mostH), 8), up(up(height*c.v, mostV), 8)
		blocks += f.mcusX * c.h * f.mcusY * c.v
	}
	if f.progressive {
		if blocks > mostFollowed {
			return nil
		}
		for _, c := range f.components {
			c.set = make([]uint64, f.mcusX*c.h*f.mcusY*c.v)
		}
	}
	return f
}

func (f *jpegFrame) component(id byte) *jpegComponent {
	for _, c := range f.components {
		if c.id == id {
			return c
		}
	}
	return nil
}

// jpegCodes decodes a Huffman table (T.81, annex C and F.2.2.3): by the length of a code less 1, how many codes
// come before it in the table, and the first code and how many there are of that length.
type jpegCodes struct {
	before, first, count [16]int
	values               []byte
	short                [256]uint16 // by the next 8 bits: the length of a code in them times 256, and its value; 0 for a longer one
}

func codesIn(table []byte) *jpegCodes {
	c, code, all := &jpegCodes{values: table[16:]}, 0, 0
	for i := range c.count {
		c.before[i], c.first[i], c.count[i] = all, code, int(table[i])
		for n := range c.count[i] {
			if at := (code + n) << (7 - min(i, 7)); i < 8 && at < 256 {
				for more := range min(1<<(7-i), 256-at) {
					c.short[at+more] = uint16(i+1)<<8 | uint16(c.values[all+n])
				}
			}
		}
		all += c.count[i]
		code = (code + c.count[i]) << 1
	}
	return c
}

// jpegScan is a scan that is followed, while it is copied.
type jpegScan struct {
	frame       *jpegFrame
	components  []*jpegComponent
	dc, ac      []*jpegCodes // by component
	from, to    int          // the band of coefficients
	refines     bool
	restartEach int // units, 0 for never
	in          *bufio.Reader
	out         *bufio.Writer
	bits        uint64
	hasBits     int   // of bits, not taken yet
	unsent      int   // bytes of bits, the last ones, that are not copied yet
	stopped     error // why no more bits come
	marker      byte  // that has come
	emptyRun    int   // blocks that are known to end
}

// errMarker is of a marker where more of the scan should be.
var errMarker = errors.New("a marker")

// copy copies what is coded of a scan, and gives the marker behind it. What stands between the last block and
// that is left out. io.EOF when the file ends before the marker.
func (s *jpegScan) copy() (marker byte, err error) {
	err = s.units()
	s.send()
	if err != nil && err != errMarker {
		return 0, err
	}
	for {
		for s.marker == 0 {
			if err := s.passOver(); err != nil {
				return 0, err
			}
		}
		if s.marker < markerRST0 || s.marker > markerRST7 {
			return s.marker, nil
		}
		s.marker = 0
	}
}

// units follows all units of a scan: of one component by itself its blocks, else those of all (T.81, A.2).
func (s *jpegScan) units() error {
	across, down := s.frame.mcusX, s.frame.mcusY
	alone := len(s.components) == 1
	if alone {
		across, down = s.components[0].blocksX, s.components[0].blocksY
	}
	for n := range across * down {
		if s.restartEach > 0 && n > 0 && n%s.restartEach == 0 {
			if err := s.restart(); err != nil {
				return err
			}
		}
		x, y := n%across, n/across
		for i, c := range s.components {
			if alone {
				if err := s.block(i, y*s.frame.mcusX*c.h+x); err != nil {
					return err
				}
				continue
			}
			for v := range c.v {
				for h := range c.h {
					if err := s.block(i, (y*c.v+v)*s.frame.mcusX*c.h+x*c.h+h); err != nil {
						return err
					}
				}
			}
		}
	}
	return nil
}

// restart passes on to the next restart marker, and copies it.
func (s *jpegScan) restart() error {
	s.send()
	s.hasBits, s.unsent, s.emptyRun, s.stopped = 0, 0, 0, nil
	for s.marker == 0 {
		if err := s.passOver(); err != nil {
			return err
		}
	}
	if s.marker < markerRST0 || s.marker > markerRST7 {
		return errMarker
	}
	_, _ = s.out.Write([]byte{0xFF, s.marker})
	s.marker = 0
	return nil
}

// passOver reads a byte that draws nothing.
func (s *jpegScan) passOver() error {
	_, err := s.coded()
	if err == errMarker {
		return nil
	}
	return err
}

// coded reads a coded byte, without what was stuffed behind it.
func (s *jpegScan) coded() (byte, error) {
	if s.marker != 0 {
		return 0, errMarker
	}
	b, err := s.in.ReadByte()
	if err != nil || b != 0xFF {
		return b, err
	}
	for b == 0xFF && err == nil { // filling
		b, err = s.in.ReadByte()
	}
	switch {
	case err != nil:
		return 0, err
	case b == 0:
		return 0xFF, nil
	}
	s.marker = b
	return 0, errMarker
}

// send copies the bytes of which a bit was taken.
func (s *jpegScan) send() {
	for ; s.unsent > s.hasBits/8; s.unsent-- {
		b := byte(s.bits >> (8 * (s.unsent - 1)))
		_ = s.out.WriteByte(b) // Flush returns the first error
		if b == 0xFF {
			_ = s.out.WriteByte(0)
		}
	}
}

// fill reads bits ahead, as far as they go.
func (s *jpegScan) fill() {
	s.send()
	for s.hasBits <= 40 && s.stopped == nil {
		b, err := s.coded()
		if err != nil {
			s.stopped = err
			return
		}
		s.bits = s.bits<<8 | uint64(b)
		s.hasBits += 8
		s.unsent++
	}
}

// take reads up to 16 bits.
func (s *jpegScan) take(n int) (value int, err error) {
	if s.hasBits < n {
		if s.fill(); s.hasBits < n {
			return 0, s.stopped
		}
	}
	s.hasBits -= n
	return int(s.bits>>s.hasBits) & (1<<n - 1), nil
}

// symbol reads one by a table.
func (s *jpegScan) symbol(codes *jpegCodes) (int, error) {
	if codes == nil {
		return 0, errNotBare
	}
	if s.hasBits < 16 {
		s.fill()
	}
	if s.hasBits >= 8 {
		if short := codes.short[byte(s.bits>>(s.hasBits-8))]; short != 0 {
			s.hasBits -= int(short >> 8)
			return int(short & 0xFF), nil
		}
	}
	code := 0
	for i := range codes.count {
		bit, err := s.take(1)
		if err != nil {
			return 0, err
		}
		code = code<<1 | bit
		if at := code - codes.first[i]; at >= 0 && at < codes.count[i] {
			return int(codes.values[codes.before[i]+at]), nil
		}
	}
	return 0, errNotBare
}

// block follows one.
func (s *jpegScan) block(i, at int) error {
	k := s.from
	if k == 0 {
		if s.refines {
			_, err := s.take(1)
			return err
		}
		size, err := s.symbol(s.dc[i])
		if err != nil {
			return err
		}
		if size > 16 {
			return errNotBare
		}
		if _, err := s.take(size); err != nil {
			return err
		}
		k = 1
	}
	if s.to == 0 {
		return nil
	}
	var none uint64
	set := &none
	if s.frame.progressive {
		set = &s.components[i].set[at]
	}
	if s.refines {
		return s.refined(s.ac[i], k, set)
	}
	return s.band(s.ac[i], k, set)
}

// band follows the first bits of a block's coefficients from k on.
func (s *jpegScan) band(codes *jpegCodes, k int, set *uint64) error {
	if s.emptyRun > 0 {
		s.emptyRun--
		return nil
	}
	for k <= s.to {
		symbol, err := s.symbol(codes)
		if err != nil {
			return err
		}
		run, size := symbol>>4, symbol&15
		if size == 0 {
			if run == 15 {
				k += 16
				continue
			}
			if run > 0 && !s.frame.progressive {
				return errNotBare
			}
			more, err := s.take(run)
			s.emptyRun = 1<<run - 1 + more
			return err
		}
		if k += run; k > s.to {
			return errNotBare
		}
		if _, err := s.take(size); err != nil {
			return err
		}
		*set |= 1 << k
		k++
	}
	return nil
}

// refined follows one bit more of a block's coefficients from k on (T.81, G.1.2.3).
func (s *jpegScan) refined(codes *jpegCodes, k int, set *uint64) error {
	for s.emptyRun == 0 && k <= s.to {
		symbol, err := s.symbol(codes)
		if err != nil {
			return err
		}
		run, size := symbol>>4, symbol&15
		switch {
		case size > 1:
			return errNotBare
		case size == 0 && run < 15:
			more, err := s.take(run)
			if err != nil {
				return err
			}
			s.emptyRun = 1<<run + more
			continue
		case size == 1:
			if _, err := s.take(1); err != nil {
				return err
			}
		}
		for ; k <= s.to; k++ {
			if *set>>k&1 == 1 {
				if _, err := s.take(1); err != nil {
					return err
				}
			} else if run--; run < 0 {
				break
			}
		}
		if size == 1 {
			if k > s.to {
				return errNotBare
			}
			*set |= 1 << k
		}
		k++
	}
	if s.emptyRun == 0 {
		return nil
	}
	for ; k <= s.to; k++ {
		if *set>>k&1 == 1 {
			if _, err := s.take(1); err != nil {
				return err
			}
		}
	}
	s.emptyRun--
	return nil
}
