package server

import (
	"crypto/sha256"
	"io/fs"
	"sync"
)

// builtFiles are the built files, which do not change while the server runs: each is read when it is
// first asked for and its bytes are shared by all answers, so that many of these cost neither copies nor
// hashing. Nobody may change what ReadFile returns.
type builtFiles struct {
	fs.FS

	mu    sync.Mutex
	whole map[string][]byte
	sums  map[string][sha256.Size]byte
}

func keepBuilt(folder fs.FS) *builtFiles {
	return &builtFiles{FS: folder, whole: map[string][]byte{}, sums: map[string][sha256.Size]byte{}}
}

// ReadFile implements [fs.ReadFileFS].
func (b *builtFiles) ReadFile(name string) ([]byte, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if content, kept := b.whole[name]; kept {
		return content, nil
	}
	content, err := fs.ReadFile(b.FS, name)
	if err == nil { // a name that is not there is not remembered: anybody can make them up
		b.whole[name] = content
	}
	return content, err
}

// sumOf is the SHA-256 of a built file; most are hashed for the phone's list and never sent whole.
func (b *builtFiles) sumOf(name string) ([sha256.Size]byte, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if sum, known := b.sums[name]; known {
		return sum, nil
	}
	content, err := fs.ReadFile(b.FS, name)
	if err != nil {
		return [sha256.Size]byte{}, err
	}
	b.sums[name] = sha256.Sum256(content)
	return b.sums[name], nil
}

// has reports whether there is a built file of a name.
func (b *builtFiles) has(name string) bool {
	info, err := fs.Stat(b, name)
	return err == nil && info.Mode().IsRegular()
}
