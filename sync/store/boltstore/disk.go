package boltstore

import (
	"io"
	"io/fs"
	"os"
)

// disk is what the photo store asks of a file system, so that tests can make each step fail.
type disk interface {
	open(name string, flag int) (diskFile, error)
	stat(name string) (fs.FileInfo, error)
	readDir(name string) ([]fs.DirEntry, error)
	rename(from, to string) error
	remove(name string) error
	syncDir(name string) error
}

type diskFile interface {
	io.ReadWriteSeeker
	io.ReaderAt
	io.Closer
	Sync() error
	Truncate(size int64) error
}

type osDisk struct{}

func (osDisk) open(name string, flag int) (diskFile, error) { return os.OpenFile(name, flag, 0o600) }
func (osDisk) stat(name string) (fs.FileInfo, error)        { return os.Stat(name) }
func (osDisk) readDir(name string) ([]fs.DirEntry, error)   { return os.ReadDir(name) }
func (osDisk) rename(from, to string) error                 { return os.Rename(from, to) }
func (osDisk) remove(name string) error                     { return os.Remove(name) }
func (osDisk) syncDir(name string) error                    { return FlushFolder(name) }

// beside runs two steps at once: a disk that is asked for two flushes together does them in
// little more than the time of one.
func beside(one, other func() error) (oneErr, otherErr error) {
	done := make(chan error, 1)
	go func() { done <- other() }()
	oneErr = one()
	return oneErr, <-done
}
