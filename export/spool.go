package export

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
)

// How much text a spool keeps in memory: for one folder, and for all of them.
const (
	folderInMemory = 64 << 10
	allInMemory    = 4 << 20
)

// spool sorts text that comes in any order into folders, in flat memory: what grows past
// its share goes to a temporary file. A small property never touches the disk. The other
// way, running over the features once for each folder, costs a reading of the register
// per kind and would be wrong when an officer's entries arrive in between.
type spool struct {
	folders []*folder
	file    *os.File // nil until needed
	size    int64    // of the file
	held    int      // bytes in memory
}

// folder is the text of one kind; append to text, then tell the spool by settle. What recurs
// in it, most of its bytes, is spooled as short codes: writing and reading them is cheap.
type folder struct {
	text    []byte
	chunks  []chunk
	known   int      // length of text counted in spool.held
	phrases [][]byte // by code
}

// A code is phraseMark, which no clean text holds, and a byte that says which phrase.
const (
	phraseMark  = 0x01
	codeLength  = 2
	mostPhrases = 256
)

// phrase makes a code that copyTo writes as text; the text itself when there are no more codes.
func (f *folder) phrase(text ...string) (code []byte) {
	whole := []byte(strings.Join(text, ""))
	if f.fullOfPhrases() {
		return whole
	}
	f.phrases = append(f.phrases, whole)
	return []byte{phraseMark, byte(len(f.phrases) - 1)}
}

func (f *folder) fullOfPhrases() bool { return len(f.phrases) == mostPhrases }

// inFull appends text with its phrases in full to dst, but for the half of a code at its end,
// which is left.
func (f *folder) inFull(dst, text []byte) (out, left []byte, err error) {
	for {
		at := bytes.IndexByte(text, phraseMark)
		if at < 0 {
			return append(dst, text...), nil, nil
		}
		dst, text = append(dst, text[:at]...), text[at:]
		if len(text) < codeLength {
			return dst, text, nil
		}
		which := int(text[1])
		if which >= len(f.phrases) {
			return dst, nil, fmt.Errorf("the spool of an export asks for phrase %d of %d", which, len(f.phrases))
		}
		dst, text = append(dst, f.phrases[which]...), text[codeLength:]
	}
}

// chunk is a stretch of the temporary file.
type chunk struct{ from, length int64 }

func (s *spool) add() *folder {
	f := &folder{}
	s.folders = append(s.folders, f)
	return f
}

// settle counts what was appended to f, and moves text to the file when it is too much.
func (s *spool) settle(f *folder) error {
	s.held += len(f.text) - f.known
	f.known = len(f.text)
	if s.held > allInMemory {
		for _, one := range s.folders {
			if err := s.spill(one); err != nil {
				return err
			}
			one.text = nil // many small folders: give back their memory too
		}
		return nil
	}
	if len(f.text) > folderInMemory {
		return s.spill(f)
	}
	return nil
}

func (s *spool) spill(f *folder) error {
	if len(f.text) == 0 {
		return nil
	}
	if s.file == nil {
		file, err := os.CreateTemp("", "headcut-export-*")
		if err != nil {
			return err
		}
		s.file = file
	}
	n, err := s.file.WriteAt(f.text, s.size)
	if err != nil {
		return err
	}
	if last := len(f.chunks) - 1; last >= 0 && f.chunks[last].from+f.chunks[last].length == s.size {
		f.chunks[last].length += int64(n)
	} else {
		f.chunks = append(f.chunks, chunk{s.size, int64(n)})
	}
	s.size += int64(n)
	s.held -= f.known
	f.text, f.known = f.text[:0], 0
	return nil
}

// readAtOnce is how much text of a folder copyTo takes at once.
const readAtOnce = 64 << 10

// copyTo writes all text of f to w.
func (s *spool) copyTo(w io.Writer, f *folder) error {
	var out, buf, left []byte
	write := func(text []byte) (err error) {
		if out, left, err = f.inFull(out[:0], text); err == nil {
			_, err = w.Write(out)
		}
		return err
	}
	for _, c := range f.chunks {
		for from, end := c.from, c.from+c.length; from < end; {
			n := int(min(readAtOnce, end-from))
			buf = append(slices.Grow(buf[:0], readAtOnce+codeLength), left...)
			read := buf[:len(left)+n]
			if _, err := s.file.ReadAt(read[len(left):], from); err == io.EOF {
				return io.ErrUnexpectedEOF
			} else if err != nil {
				return err
			}
			if err := write(read); err != nil {
				return err
			}
			from += int64(n)
		}
	}
	return write(f.text)
}

// close takes the temporary file away.
func (s *spool) close() {
	if s.file != nil {
		s.file.Close()
		os.Remove(s.file.Name()) // left to the system's cleaning when it fails
	}
}
