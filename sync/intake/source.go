package intake

import (
	"bufio"
	"fmt"
	"io"

	"headcut/model"
)

// source hands a parser the bytes of a file, and stops it at the limits. Its error
// outlives the parser, which may wrap or hide the error of a reader.
type source struct {
	buffered *bufio.Reader
	left     int64 // bytes of the file still allowed
	token    int   // bytes since the parser last finished a token
	err      error // why reading stopped, unless at the end of the file
}

func newSource(r io.Reader) *source {
	return &source{buffered: bufio.NewReaderSize(r, 64<<10), left: MaxBytes}
}

var errTooLarge = &model.Problem{Reason: fmt.Sprintf("is larger than %d MiB", MaxBytes>>20), Fix: "split it into smaller files"}

// ReadByte lets encoding/xml take the file byte by byte, so that its position is exact.
func (s *source) ReadByte() (byte, error) {
	if s.err != nil {
		return 0, s.err
	}
	if s.token++; s.token > MaxToken {
		s.err = &model.Problem{Reason: fmt.Sprintf("has a tag or text of more than %d bytes", MaxToken)}
		return 0, s.err
	}
	b, err := s.buffered.ReadByte()
	if err != nil {
		return 0, s.failed(err)
	}
	if s.left--; s.left < 0 {
		s.err = errTooLarge
		return 0, s.err
	}
	return b, nil
}

func (s *source) Read(p []byte) (int, error) {
	if s.err != nil {
		return 0, s.err
	}
	n, err := s.buffered.Read(p)
	if s.left -= int64(n); s.left < 0 {
		s.err = errTooLarge
		return 0, s.err
	}
	return n, s.failed(err)
}

func (s *source) failed(err error) error {
	if err != nil && err != io.EOF {
		s.err = err
	}
	return err
}
