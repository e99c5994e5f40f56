package export

import (
	"cmp"
	"io"
	"os"
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

// folder is the text of one kind; append to text, then tell the spool by settle.
type folder struct {
	text   []byte
	chunks []chunk
	known  int // length of text counted in spool.held
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

// copyTo writes all text of f to w. The file goes to io.Copy as it is, so that from file
// to file or socket the kernel may copy by itself.
func (s *spool) copyTo(w io.Writer, f *folder) error {
	var buf []byte
	if len(f.chunks) > 0 {
		buf = make([]byte, 256<<10)
	}
	for _, c := range f.chunks {
		if _, err := s.file.Seek(c.from, io.SeekStart); err != nil {
			return err
		}
		if n, err := io.CopyBuffer(w, io.LimitReader(s.file, c.length), buf); err != nil || n != c.length {
			return cmp.Or(err, io.ErrUnexpectedEOF)
		}
	}
	_, err := w.Write(f.text)
	return err
}

// close takes the temporary file away.
func (s *spool) close() {
	if s.file != nil {
		s.file.Close()
		os.Remove(s.file.Name()) // left to the system's cleaning when it fails
	}
}
