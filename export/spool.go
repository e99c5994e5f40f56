package export

import (
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
	f.chunks = append(f.chunks, chunk{s.size, int64(n)})
	s.size += int64(n)
	s.held -= f.known
	f.text, f.known = f.text[:0], 0
	return nil
}

// copyTo writes all text of f to w.
func (s *spool) copyTo(w io.Writer, f *folder) error {
	buf := make([]byte, folderInMemory)
	for _, c := range f.chunks {
		if _, err := io.CopyBuffer(w, onlyReader{io.NewSectionReader(s.file, c.from, c.length)}, buf); err != nil {
			return err
		}
	}
	_, err := w.Write(f.text)
	return err
}

// onlyReader hides a section's WriteTo, which would allocate a buffer for each chunk.
type onlyReader struct{ io.Reader }

// close takes the temporary file away.
func (s *spool) close() {
	if s.file != nil {
		s.file.Close()
		os.Remove(s.file.Name()) // left to the system's cleaning when it fails
	}
}
